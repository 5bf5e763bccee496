"""Pages of printed documents as pictures, to be looked at when anything about them changes.

`python -m tests.document.gallery` writes them into ``docs/gallery/reports``.
"""

import io
from pathlib import Path

import pypdfium2

from risk import actions
from risk.bundled import bundled_cases

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "gallery" / "reports"
#: Pixels a point; enough to read a page, small enough to keep.
SCALE = 1.25
GREYS = 8


def documents() -> dict[str, bytes]:
    """Return the documents of the gallery by name."""

    def case(name: str):
        return actions.load(bundled_cases()[name].read_bytes())

    named = {"author": "A. Student", "date": "2026-03-01"}
    class_set = [case("healthy-sister"), case("healthy-sons")]
    return {
        "negative-test": actions.report([case("negative-test")], **named),
        "late-onset": actions.report([case("late-onset")], page="letter", **named),
        "variant-classes": actions.report([case("variant-classes")], **named),
        "summary": actions.report([case("first-cousins")], working=False, **named),
        "blank": actions.report([case("healthy-sister")], blank=True, working=False, **named),
        "worksheet": actions.worksheet(class_set, title="Week 3", **named),
        "key": actions.answer_key(class_set, title="Week 3", **named),
    }


def main() -> None:
    """Write one grey picture a page, and remove those of pages that are no longer there."""
    made = documents()
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.glob("*.png"):
        old.unlink()
    for name, content in made.items():
        for number, page in enumerate(pypdfium2.PdfDocument(content), 1):
            picture = page.render(scale=SCALE, grayscale=True).to_pil().convert("L")
            buffer = io.BytesIO()
            picture.quantize(GREYS).save(buffer, "PNG", optimize=True)
            (FOLDER / f"{name}-{number}.png").write_bytes(buffer.getvalue())


if __name__ == "__main__":
    main()
