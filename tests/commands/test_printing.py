"""`report` and `worksheet` on the command line: whole files, right dates, nothing on failure."""

import io
import json
from pathlib import Path

import pypdf
import pytest

from risk import cli
from risk.case.read import read_case
from risk.case.write import write_case_line
from risk.caution import CAUTION
from risk.console.streams import Streams

SISTER = Path("fixtures/healthy-sister.json")
TESTS = Path("fixtures/negative-test.json")


def run(*argv, stdin=b""):
    out, err = io.StringIO(), io.StringIO()
    status = cli.main([str(each) for each in argv], Streams(io.BytesIO(stdin), out, err))
    return status, out.getvalue(), err.getvalue()


def text_of(path):
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages).split())


@pytest.fixture
def stream(tmp_path):
    path = tmp_path / "cases.jsonl"
    cases = [read_case(each.read_bytes()) for each in (SISTER, TESTS)]
    path.write_text("".join(write_case_line(case) + "\n" for case in cases), encoding="utf-8")
    return path


def broken(tmp_path):
    case = json.loads(SISTER.read_text(encoding="utf-8"))
    case["people"][2]["father"] = "nobody"
    path = tmp_path / "broken.json"
    path.write_text(json.dumps(case), encoding="utf-8")
    return path


def impossible(tmp_path):
    case = json.loads(SISTER.read_text(encoding="utf-8"))
    case["people"][2]["genotype"] = 0
    path = tmp_path / "impossible.json"
    path.write_text(json.dumps(case), encoding="utf-8")
    return path


def test_letters_that_no_face_has_are_warned_of_once(tmp_path):
    case = json.loads(SISTER.read_text(encoding="utf-8"))
    case["people"][2]["name"] = "\u5bb6"
    source = tmp_path / "case.json"
    source.write_text(json.dumps(case), encoding="utf-8")
    sheet, key, page = (tmp_path / name for name in ("s.pdf", "k.pdf", "r.pdf"))
    for *command, options in (["report", ["-o", page]], ["worksheet", ["-o", sheet, "--key", key]]):
        status, out, err = run(*command, source, *options)
        assert (status, out) == (0, "")
        assert len(err.splitlines()) == 1
        assert err.startswith("the bundled typefaces lack \u5bb6: a PDF shows a code in texts")


def test_report_writes_a_file_and_says_nothing(tmp_path):
    target = tmp_path / "out.pdf"
    assert run("report", SISTER, "-o", target, "--author", "A. Student") == (0, "", "")
    text = text_of(target)
    assert "2/3" in text
    assert "A. Student" in text
    assert CAUTION in text


def test_a_report_names_its_file_unless_that_is_standard_input(tmp_path):
    path, target = tmp_path / "standard input 2.json", tmp_path / "out.pdf"
    path.write_bytes(SISTER.read_bytes())
    assert run("report", path, "-o", target) == (0, "", "")
    assert "standard input 2.json" in text_of(target)
    assert run("report", "-", "-o", target, stdin=SISTER.read_bytes()) == (0, "", "")
    assert "standard input" not in text_of(target)


def test_report_options(tmp_path):
    full, short, blank = (tmp_path / name for name in ("full.pdf", "short.pdf", "blank.pdf"))
    assert run("report", SISTER, "-o", full, "--title", "My title")[0] == 0
    assert run("report", SISTER, "-o", short, "--without", "working", "--page", "letter")[0] == 0
    assert run("report", SISTER, "-o", blank, "--blank")[0] == 0
    assert "The working" in text_of(full)
    assert pypdf.PdfReader(full).metadata.title == "My title"
    assert "The working" not in text_of(short)
    assert float(pypdf.PdfReader(short).pages[0].mediabox.width) == 612
    assert "2/3" not in text_of(blank)


def test_the_date_is_given_or_of_the_epoch_or_left_out(tmp_path, monkeypatch):
    target = tmp_path / "out.pdf"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")  # 2023-11-14 in UTC
    assert run("report", SISTER, "-o", target, "--without", "working")[0] == 0
    assert "2023-11-14" in text_of(target)
    first = target.read_bytes()
    assert run("report", SISTER, "-o", target, "--without", "working")[0] == 0
    assert target.read_bytes() == first
    assert run("report", SISTER, "-o", target, "--date", "Lent term")[0] == 0
    assert "Lent term" in text_of(target)
    assert run("report", SISTER, "-o", target, "--date", "")[0] == 0
    assert "2023" not in text_of(target)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    status, _, err = run("report", SISTER, "-o", target)
    assert (status, "SOURCE_DATE_EPOCH" in err) == (2, True)


def test_many_cases_from_files_streams_and_standard_input(tmp_path, stream):
    target = tmp_path / "out.pdf"
    assert run("report", SISTER, TESTS, "-o", target)[0] == 0
    from_files = [each.title for each in pypdf.PdfReader(target).outline[0::2]]
    assert run("report", stream, "-o", target)[0] == 0
    assert [each.title for each in pypdf.PdfReader(target).outline[0::2]] == from_files
    assert len(from_files) == 2
    assert run("report", "-", "-o", target, stdin=SISTER.read_bytes())[0] == 0
    assert len(text_of(target)) > 500


@pytest.mark.parametrize("command", ["report", "worksheet"])
def test_wrong_input_is_said_and_nothing_is_written(tmp_path, command):
    target = tmp_path / "out.pdf"
    status, out, err = run(command, broken(tmp_path), SISTER, tmp_path / "none.json", "-o", target)
    assert (status, out) == (2, "")
    assert "broken.json: people[2].father" in err
    assert "none.json: no such file" in err
    assert not target.exists()


def test_impossible_evidence_is_status_three_and_leaves_an_old_file_alone(tmp_path):
    target = tmp_path / "out.pdf"
    target.write_bytes(b"old")
    status, _, err = run("report", impossible(tmp_path), "-o", target)
    assert status == 3
    assert "II-1.genotype" in err
    assert target.read_bytes() == b"old"


@pytest.mark.parametrize(
    "argv",
    [
        ("report", "-o", "out.pdf"),
        ("report", "-o", "out.pdf", "--workers", "2"),
        ("worksheet", "--key", "out.pdf"),
    ],
)
def test_of_several_cases_each_impossible_one_is_named(argv, stream, tmp_path, monkeypatch):
    cannot = impossible(tmp_path)
    lines = [*stream.read_text().splitlines(), json.dumps(json.loads(cannot.read_text()))]
    stream.write_text("\n".join(lines))
    monkeypatch.chdir(tmp_path)
    status, out, err = run(argv[0], cannot.name, stream.name, *argv[1:])
    assert (status, out) == (3, "")
    for name in (cannot.name, f"{stream.name}:3"):
        assert f"{name}: II-1.genotype\n" in err
    assert all(line.startswith((cannot.name, f"{stream.name}:3")) for line in err.splitlines())
    assert not (tmp_path / "out.pdf").exists()


def test_an_empty_name_of_a_file_is_refused_by_its_option(tmp_path):
    for argv, option in (
        (("worksheet", SISTER, "-o", "", "--key", tmp_path / "key.pdf"), "-o/--output"),
        (("worksheet", SISTER, "-o", tmp_path / "out.pdf", "--key", ""), "--key"),
        (("report", SISTER, "-o", ""), "-o/--output"),
        (("report", "", "-o", tmp_path / "out.pdf"), "CASE"),
        (("practice", "--level", "1", "--seed", "1", "-o", ""), "-o"),
        (("solve", ""), "CASE"),
    ):
        status, out, err = run(*argv)
        assert (status, out) == (2, "")
        assert err.startswith(f"{option}: no file is named")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("argv", "message"),
    [
        (("report", SISTER), "-o"),
        (("report", SISTER, "-o", "x.pdf", "--page", "a5"), "--page"),
        (("report", SISTER, "-o", "x.pdf", "--without", "tree"), "--without"),
        (("worksheet", SISTER), "missing: -o SHEET.pdf or --key"),
        (("worksheet", SISTER, "-o", "x.pdf", "--key", "x.pdf"), "two options name the same file"),
    ],
)
def test_wrong_options(argv, message):
    status, _, err = run(*argv)
    assert status == 2
    assert message in err
    assert not Path("x.pdf").exists()


def test_a_folder_that_is_not_there(tmp_path):
    status, _, err = run("report", SISTER, "-o", tmp_path / "none" / "out.pdf")
    assert status == 2
    assert err == f"{tmp_path / 'none' / 'out.pdf'}: {_no_folder(tmp_path / 'none')}\n"
    status, _, err = run("worksheet", SISTER, "--key", f"{tmp_path}/none.pdf/")
    assert (status, err) == (2, f"{tmp_path}/none.pdf/: {_no_folder(tmp_path / 'none.pdf')}\n")


def _no_folder(path):
    return f"there is no folder {path}; make it first"


@pytest.mark.parametrize(
    "words",
    [
        ("report", SISTER, "-o", "x.svg"),
        ("report", SISTER, "-o", "x"),
        ("worksheet", SISTER, "-o", "x.txt"),
        ("worksheet", SISTER, "-o", "x.pdf", "--key", "x.docx"),
    ],
)
def test_pages_are_written_as_pdf_only(words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    status, _, err = run(*words)
    assert status == 2
    assert f"{words[-1]}: pages are written to a file in .pdf" in err
    assert not list(tmp_path.iterdir())


def test_worksheet_and_key(tmp_path, stream):
    sheet, key = tmp_path / "sheet.pdf", tmp_path / "key.pdf"
    assert run("worksheet", stream, "-o", sheet, "--key", key, "--title", "Week 3") == (0, "", "")
    assert "2/3" not in text_of(sheet)
    assert "2/3" in text_of(key)
    assert pypdf.PdfReader(key).metadata.title == "Answers: Week 3"
    sheet.unlink()
    assert run("worksheet", stream, "--key", key)[0] == 0
    assert not sheet.exists()


def test_a_key_that_cannot_be_made_leaves_no_sheet_either(tmp_path):
    sheet, key = tmp_path / "sheet.pdf", tmp_path / "key.pdf"
    status, _, _ = run("worksheet", impossible(tmp_path), "-o", sheet, "--key", key)
    assert status == 3
    assert not sheet.exists()
    assert not key.exists()
