"""Pages for those who cannot see them: checked by `page-validation` against PDF/UA-1.

`page-validation` (MIT; the Matterhorn Protocol's machine checks of ISO 14289-1) is an independent
reader.  What no machine can check, such as whether a description fits, is not called checked.
"""

import io
import json
import re
from pathlib import Path

import page
import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import random_family

from risk import actions
from risk.document.blocks import Document, Heading, Paragraph
from risk.render.pdf import document_to_pdf
from risk.render.pdf_faces import letters
from risk.render.pdf_scene import to_pdf
from tests.scene.families import grown

CASES = [actions.read(path) for path in sorted(Path("fixtures").glob("*.json"))]


def faults(content):
    report = page.validate_pdf_bytes(content, profile="ua1")
    return [f"{each.rule_id}: {each.message}" for each in report.failures]


def test_the_checker_finds_what_is_wrong():
    """Without the mark of a tagged file, and without its title, it is no longer conformant."""
    whole = actions.report(CASES[:1], working=False)
    assert faults(whole) == []
    assert faults(whole.replace(b"/Marked true", b"/Marked false"))
    assert faults(whole.replace(b"dc:title", b"dc:titel"))


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize(
    "options", [{}, {"working": False}, {"blank": True}], ids=["whole", "short", "blank"]
)
def test_reports_of_all_bundled_cases_conform(size, options):
    assert faults(actions.report(CASES, page=size, **options)) == []


def test_worksheets_and_keys_conform():
    assert faults(actions.worksheet(CASES)) == []
    assert faults(actions.answer_key(CASES)) == []


@pytest.mark.parametrize("seed", range(4))
def test_reports_of_large_families_conform(seed):
    """With their drawing on a sheet of its own."""
    case = actions.load(json.dumps(random_family(seed, 70)))
    assert faults(actions.report([case])) == []


@pytest.mark.parametrize("size", ["a4", "fit"])
@pytest.mark.parametrize("people", [6, 90])
def test_drawings_conform_and_are_one_figure_with_a_description(size, people):
    scene = actions.draw(grown(people, 1))
    content = to_pdf(scene, size)
    assert faults(content) == []
    root = pypdf.PdfReader(io.BytesIO(content)).trailer["/Root"]
    assert root["/Lang"] == "en"
    kids = root["/StructTreeRoot"]["/K"].get_object()["/K"]
    kids = [kid.get_object() for kid in (kids if isinstance(kids, list) else [kids])]
    (figure,) = [kid for kid in kids if kid["/S"] == "/Figure"]
    assert figure["/Alt"] == f"{scene.title}. {scene.desc}".strip(". ")


ANY = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@settings(max_examples=20)
@given(ANY, ANY)
def test_whatever_the_texts_are_the_file_conforms(title, text):
    """A title that nothing can be seen of is the one thing that the standard does not take."""
    document = Document(title=f"On {title}", blocks=(Heading(text), Paragraph(text)), footer="x")
    assert faults(document_to_pdf(document)) == []


def test_headings_leave_no_level_out():
    blocks = [Heading("a", 2), Heading("b", 1), Heading("c", 3), Heading("d", 3), Heading("e", 2)]
    blocks = [each for head in blocks for each in (head, Paragraph("text"))]
    content = document_to_pdf(Document(title="t", blocks=tuple(blocks), footer="x"))
    assert faults(content) == []
    root = pypdf.PdfReader(io.BytesIO(content)).trailer["/Root"]["/StructTreeRoot"]
    kids = root["/K"].get_object()["/K"]
    assert [kid.get_object()["/S"] for kid in kids if "H" in kid.get_object()["/S"]] == [
        "/H1", "/H2", "/H2", "/H3", "/H3", "/H3"
    ]  # fmt: skip


def test_letters_beyond_the_basic_plane_are_read_back():
    """DejaVu Sans has the mathematical letters; a reader must get them and nothing else."""
    content = document_to_pdf(
        Document(title="t", blocks=(Paragraph("x \U0001d538\U0001d7d8 y"),), footer="x")
    )
    text = "".join(each.extract_text() for each in pypdf.PdfReader(io.BytesIO(content)).pages)
    assert "x \U0001d538\U0001d7d8 y" in text


def test_a_table_of_letters_holds_what_the_standards_allow():
    """At most 100 lines a part (Adobe technical note 5014); no U+0000, U+FEFF or U+FFFE."""
    lines = "\n".join(f"<{i:02X}> <{i if i != 5 else 0x1D538:04X}>" for i in range(240))
    table = f"x\nendcodespacerange\n240 beginbfchar\n{lines}\nendbfchar\nendcmap"
    mended = letters(table)
    counts = [int(n) for n in re.findall(r"(\d+) beginbfchar", mended)]
    assert counts == [100, 100, 39]
    assert "<0000>" not in mended
    assert "<05> <D835DD38>" in mended
    assert mended.startswith("x\nendcodespacerange\n") and mended.endswith("endbfchar\nendcmap")


def test_the_title_stands_in_the_metadata_as_it_is():
    content = document_to_pdf(Document(title="A <b> & \x07 title", blocks=(), footer="x"))
    metadata = pypdf.PdfReader(io.BytesIO(content)).xmp_metadata
    assert metadata.dc_title["x-default"] == "A <b> &  title"
    assert metadata.dc_language == ["en"]
