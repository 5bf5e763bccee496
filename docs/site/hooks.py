"""What the site takes from outside docs/, and the pages that its menu does not list.

README, DEVELOPERS and the bundled cases stay where a reader of the repository looks for them.
Links are written so that they work there; here they are turned to where the site has the files.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

from mkdocs.structure.files import File, Files

from risk.caution import CAUTION

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
#: Files from outside docs/ and the names they have on the site.
BROUGHT = {
    ROOT / "README.md": "readme.md",
    ROOT / "DEVELOPERS.md": "developers.md",
    ROOT / "CHANGELOG.md": "changelog.md",
    ROOT / "LICENSE": "LICENSE.txt",
    ROOT / "fixtures" / "README.md": "bundled-cases.md",
    **{path: f"fixtures/{path.name}" for path in sorted((ROOT / "fixtures").glob("*.json"))},
}
LINK = re.compile(r"(?<=\]\()(?P<to>[^)#\s:]+)(?=[)#])")


def on_config(config: Any) -> Any:
    config.extra["caution"] = CAUTION
    return config


def on_files(files: Files, config: Any) -> Files:
    for path, name in BROUGHT.items():
        files.append(File.generated(config, name, abs_src_path=str(path)))
    listed = set(re.findall(r"[\w/-]+\.md", str(config.nav)))
    more = [
        file.src_uri
        for file in files.documentation_pages()
        if file.src_uri not in {*listed, "readme.md"} and not file.src_uri.startswith("site/")
    ]
    if more:
        config.nav = [*config.nav, {"More": sorted(more)}]
    return files


def on_page_markdown(markdown: str, page: Any, config: Any, files: Files) -> str:
    source = Path(page.file.abs_src_path)
    here = os.path.dirname(page.file.src_uri) or "."

    def turned(link: re.Match[str]) -> str:
        target = (source.parent / link["to"]).resolve()
        if target in BROUGHT:
            return os.path.relpath(BROUGHT[target], here)
        if target.is_relative_to(DOCS):
            return os.path.relpath(target.relative_to(DOCS), here)
        return link["to"]

    return LINK.sub(turned, markdown)


def on_page_content(html: str, page: Any, config: Any, files: Files) -> str:
    return html.replace("<pre>", '<pre tabindex="0">')  # what scrolls can be reached by keyboard
