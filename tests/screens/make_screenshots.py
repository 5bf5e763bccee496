"""Pictures of every page for docs/screens: python -m tests.screens.make_screenshots [NAME ...].

Starts the app, opens a bundled case and goes through the pages as a visitor would; names on the
command line restrict it to these pictures.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.browser import CHROMIUM, FLAGS
from tests.screens import conftest
from tests.screens.visitor import Visitor

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "screens"
CASES = FOLDER.parents[1] / "fixtures"
WIDTH = 1280


def family(visitor: Visitor) -> None:
    visitor.expects(*visitor.answers())


def start(visitor: Visitor) -> None:
    visitor.unfold("File")
    visitor.press("Start anew")
    visitor.page.keyboard.press("Escape")


def impossible(visitor: Visitor) -> None:
    visitor.person("I-1")
    visitor.unfold("More about I-1")
    visitor.pick("No disease allele", "Genotype known for certain")
    visitor.sees("cannot all be true")


def condition(visitor: Visitor) -> None:
    visitor.go("Condition")
    visitor.unfold("Age at onset")


def answer(visitor: Visitor) -> None:
    visitor.go("Answer")


def evidence(visitor: Visitor) -> None:
    visitor.go("Evidence")
    visitor.key("ArrowRight", 5)
    visitor.write("12", "Falls")
    visitor.page.wait_for_timeout(1200)


def projector(visitor: Visitor) -> None:
    evidence(visitor)
    visitor.page.get_by_text("Large type").click()
    visitor.key("ArrowRight")
    visitor.page.wait_for_timeout(1500)


def what_if(visitor: Visitor) -> None:
    visitor.go("What if")
    visitor.page.wait_for_timeout(1500)


def practice(visitor: Visitor) -> None:
    visitor.go("Practice")
    box = visitor.page.get_by_label("Your answer").first
    box.fill("1/2")
    box.press("Enter")
    visitor.press("A hint")
    visitor.press("One row more")
    visitor.page.wait_for_timeout(600)


def crosses(visitor: Visitor) -> None:
    visitor.go("Crosses")
    visitor.press("Fill all")


def offspring(visitor: Visitor) -> None:
    visitor.go("Crosses")
    visitor.page.get_by_role("tab", name="Offspring").click()
    visitor.page.wait_for_timeout(1500)


def report(visitor: Visitor) -> None:
    visitor.go("Report")
    visitor.page.get_by_text("Page 1 of").wait_for()


#: Name of the picture: what to do, colour scheme, width and height, bundled case.
PICTURES: dict[str, tuple[Callable[[Visitor], None], str, int, int, str]] = {
    "start": (start, "light", WIDTH, 560, "healthy-sister"),
    "family": (family, "light", WIDTH, 1130, "negative-test"),
    "family-dark": (family, "dark", WIDTH, 1130, "first-cousins"),
    "family-narrow": (family, "light", 390, 1500, "healthy-sister"),
    "impossible": (impossible, "light", WIDTH, 1300, "healthy-sister"),
    "condition": (condition, "light", WIDTH, 1500, "late-onset"),
    "answer": (answer, "light", WIDTH, 1300, "negative-test"),
    "evidence": (evidence, "light", WIDTH, 950, "negative-test"),
    "evidence-projector": (projector, "dark", WIDTH, 1200, "negative-test"),
    "what-if": (what_if, "light", WIDTH, 950, "reduced-penetrance"),
    "practice": (practice, "light", WIDTH, 1300, "healthy-sister"),
    "crosses": (crosses, "light", WIDTH, 850, "healthy-sister"),
    "crosses-offspring": (offspring, "dark", WIDTH, 1050, "healthy-sister"),
    "report": (report, "light", WIDTH, 1300, "healthy-sister"),
}


def save(visitor: Visitor, name: str) -> None:
    """Write the picture with few colours, so that the folder stays small."""
    from PIL import Image

    picture = Image.open(io.BytesIO(visitor.page.screenshot())).convert("RGB")
    picture.quantize(224).save(FOLDER / f"{name}.png", optimize=True)


def make(chromium: Any, address: str, names: list[str]) -> None:
    """Make the pictures, each in a browser of its own."""
    for name in names or list(PICTURES):
        act, scheme, width, height, case = PICTURES[name]
        context = chromium.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme
        )
        visitor = Visitor(context.new_page(), address)
        visitor.open()
        visitor.open_file(CASES / f"{case}.json")
        visitor.page.locator("[data-person]").first.wait_for()
        act(visitor)
        visitor.rest()
        visitor.page.mouse.move(5, height - 5)
        visitor.page.wait_for_timeout(500)
        save(visitor, name)
        context.close()


def main(names: list[str]) -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    from playwright.sync_api import sync_playwright

    with contextlib.ExitStack() as stack:
        given = os.environ.get("APP_ADDRESS")
        address = given or stack.enter_context(conftest.running_app())
        playwright = stack.enter_context(sync_playwright())
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        make(chromium, address, names)
        chromium.close()


if __name__ == "__main__":
    main(sys.argv[1:])
