"""``vary``, ``mark`` and ``practice`` from their words to answers, files and exit status."""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from pathlib import Path

import pytest

from risk import actions, cli
from risk.bundled import bundled_cases
from risk.caution import CAUTION
from risk.console.streams import Streams

SISTER = str(bundled_cases()["healthy-sister"])
TESTED = str(bundled_cases()["negative-test"])
PARAMETER = ("--parameter", "condition.frequency.carrier")


def run(*words: str, stdin: bytes = b"") -> tuple[int, str, str]:
    streams = Streams(io.BytesIO(stdin), io.StringIO(), io.StringIO())
    status = cli.main(list(words), streams)
    return status, streams.stdout.getvalue(), streams.stderr.getvalue()  # type: ignore[attr-defined]


# --- vary ---------------------------------------------------------------------------------


def test_vary_as_text_json_and_csv() -> None:
    words = ("vary", TESTED, *PARAMETER, "--values", "1/100, 2%,1/25")
    status, out, err = run(*words)
    assert (status, err) == (0, "")
    assert "1/25 (case)" in out
    assert "1/5784" in out
    assert CAUTION.split(";")[0] in " ".join(out.split())
    status, out, err = run(*words, "--json")
    assert (status, err) == (0, "")
    told = json.loads(out)
    assert told["parameter"] == "condition.frequency.carrier"
    assert [point["value"] for point in told["points"]] == ["1/100", "2%", "1/25"]
    # 2/3 x 1/10 against 1/3, whatever the population (common practice).
    assert {point["answers"][0]["exact"] for point in told["points"]} == {"1/6"}
    assert told["points"][2]["answers"][2]["exact"] == "1/5784"
    status, out, err = run(*words, "--csv")
    assert (status, err) == (0, "")
    assert len(list(csv.reader(io.StringIO(out)))) == 4
    assert run(*words, stdin=b"") == run(*words)


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_vary_draws_its_plot(tmp_path: Path, ending: str) -> None:
    plot = tmp_path / f"plot.{ending}"
    words = ("vary", TESTED, *PARAMETER, "--from", "1/100", "--to", "1/10", "--steps", "12")
    assert run(*words, "--log", "-o", str(plot))[0] == 0
    first = plot.read_bytes()
    starts = {"svg": (b"<svg", b"<?xml"), "png": b"\x89PNG", "pdf": b"%PDF"}
    assert first.startswith(starts[ending])
    assert run(*words, "--log", "-o", str(plot))[0] == 0
    assert plot.read_bytes() == first


def test_vary_reads_standard_input() -> None:
    content = Path(SISTER).read_bytes()
    status, out, _ = run("vary", "-", "--parameter", "II-2.affected", stdin=content)
    assert status == 0
    assert "unknown" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--parameter", "condition.frequency.carier", "--values", "1"), "did you mean"),
        (PARAMETER, "--values, or --from and --to: give the values that condition.frequency.carr"),
        ((*PARAMETER, "--from", "1"), "--from and --to belong together"),
        ((*PARAMETER, "--steps", "3"), "--steps needs"),
        ((*PARAMETER, "--log"), "--log needs --from and --to"),
        ((*PARAMETER, "--values", "1/9", "--log"), "not both"),
        ((*PARAMETER, "--from", "0", "--to", "1", "--steps", "2.5"), '"2.5" is not a whole number'),
        ((*PARAMETER, "--from", "0", "--to", "1", "--steps", "0"), "--steps: 0 is not a number"),
        ((*PARAMETER, "--from", "x", "--to", "1"), '--from: "x" '),
        ((*PARAMETER, "--from", "0", "--to", "x"), '--to: "x" '),
        ((*PARAMETER, "--values", "1/9,1/8", "-o", ""), "-o: no file is named"),
        ((*PARAMETER, "--values", "1", "--from", "0"), "not both"),
        ((*PARAMETER, "--values", ","), "no value"),
        ((*PARAMETER, "--from", "0", "--to", "1", "--log"), "--log: both ends must be above 0"),
        (
            (*PARAMETER, "--values", "1/9", "-o", "plot.gif"),
            "plot.gif: a figure is written to a file in .svg",
        ),
        ((*PARAMETER, "--values", "1/9", "-o", "plot.svg"), "at least two"),
    ],
)
def test_vary_refuses(
    words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    status, out, err = run("vary", SISTER, *words)
    assert (status, out) == (2, "")
    assert said in err
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("way", [(), ("--json",), ("--csv",)])
def test_vary_refuses_typed_values_that_are_none_and_names_each(way: tuple[str, ...]) -> None:
    status, out, err = run("vary", SISTER, *PARAMETER, "--values", "1/25,7,x", *way)
    assert status == 2
    assert [line.split(":")[0] for line in err.splitlines()] == ["7", "x"]
    if way == ("--json",):
        statuses = [point.get("error", {}).get("status") for point in json.loads(out)["points"]]
        assert statuses == [None, 2, 2]
        assert json.loads(out)["error"] == {"status": 2, "problems": err.splitlines()}
    else:
        assert out == ""


def test_vary_of_a_range_leaves_out_ends_that_cannot_be_true() -> None:
    """With no carrier the brother is not affected; with carriers alone nobody is unaffected."""
    words = ("--from", "0", "--to", "1", "--steps", "3", "--json")
    status, out, err = run("vary", SISTER, *PARAMETER, *words)
    assert (status, err) == (0, "")
    statuses = [point.get("error", {}).get("status") for point in json.loads(out)["points"]]
    assert statuses[0] == 3
    assert statuses[1] is None


@pytest.mark.parametrize("way", [(), ("--json",), ("--csv",)])
def test_vary_without_a_value_that_can_be_solved_fails(way: tuple[str, ...]) -> None:
    status, out, err = run("vary", SISTER, *PARAMETER, "--values", "rare,7", *way)
    assert status == 2
    first, second = err.splitlines()
    assert first.startswith("rare: condition.frequency.carrier: ")
    assert second.startswith("7: condition.frequency.carrier: ")
    if way == ("--json",):
        assert [each["error"]["status"] for each in json.loads(out)["points"]] == [2, 2]
        assert json.loads(out)["error"] == {"status": 2, "problems": err.splitlines()}
    else:
        assert out == ""


def test_vary_whose_every_value_is_impossible_tells_as_json_that_it_fails() -> None:
    words = ("--parameter", "I-1.genotype", "--values", "0", "--json")
    status, out, err = run("vary", SISTER, *words)
    assert status == 3
    assert json.loads(out)["error"] == {
        "status": 3,
        "problems": [err.splitlines()[0].removesuffix(":")],
        "conflict": ["I-1.genotype", "II-1.affected"],
    }


def test_vary_draws_nothing_where_no_value_can_be_solved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found by ``python -m tests.fuzz command``: the contract's status 2 writes nothing."""
    monkeypatch.chdir(tmp_path)
    status, out, _ = run("vary", SISTER, *PARAMETER, "--values", "7", "-o", "plot.svg")
    assert (status, out) == (2, "")
    assert not list(tmp_path.iterdir())


def test_mark_says_in_one_line_what_is_more_than_one() -> None:
    """Found by ``python -m tests.fuzz command``: the mend repeated a tab of the answer."""
    status, _, err = run("mark", SISTER, "--answer", "\t\x0b4.")
    assert status == 2
    assert err.endswith("if a percentage is meant, write 4.%\n")
    assert err[:-1].isprintable()


# --- mark ---------------------------------------------------------------------------------


def test_mark_as_text_and_json() -> None:
    status, out, err = run("mark", SISTER, "--answer", "1/2")
    assert (status, err) == (0, "")
    assert "Tova is unaffected" in out
    assert "2/3" not in out
    assert CAUTION.split(";")[0] in " ".join(out.split())
    assert "2/3" in run("mark", SISTER, "--answer", "1/2", "--reveal")[1]
    told = json.loads(run("mark", SISTER, "--answer", "1/2", "--json")[1])
    assert told["verdict"] == "slip"
    assert told["slips"][0] == "ignored_unaffected"
    assert told["exact"] == "2/3"
    told = json.loads(run("mark", SISTER, "--question", "1", "--answer", "1/150", "--json")[1])
    assert (told["verdict"], told["slips"]) == ("right", [])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((SISTER,), "missing: --answer"),
        ((SISTER, TESTED, "--answer", "1"), "marks one case"),
        ((SISTER, "--answer", "perhaps"), "not understood"),
        ((SISTER, "--answer", "1/2", "--question", "5"), "there is no question 5"),
        ((SISTER, "--answer", "1/2", "--question", "2"), "the first has the number 0, the last 1"),
        ((SISTER, "--answer", "1/2", "-o", "x.csv"), "belong to --answers"),
        ((SISTER, "--answers", "absent.csv"), "no such file"),
        (("absent.json", "--answer", "1/2"), "no such file"),
    ],
)
def test_mark_refuses(words: tuple[str, ...], said: str) -> None:
    status, out, err = run("mark", *words)
    assert (status, out) == (2, "")
    assert said in err


def test_mark_a_class_on_a_stream_without_a_case(tmp_path: Path) -> None:
    table, none = tmp_path / "class.csv", tmp_path / "none.jsonl"
    table.write_text("student,case,question,answer\nann,healthy-sister,0,2/3\n", encoding="utf-8")
    none.write_text("", encoding="utf-8")
    status, out, _ = run("mark", str(none), "--answers", str(table))
    assert status == 0
    assert 'there is no case "healthy-sister"; the files given hold no case' in out


def test_mark_a_class(tmp_path: Path) -> None:
    table = tmp_path / "class.csv"
    table.write_text(
        "student;case;question;answer\nann;healthy-sister;0;2/3\nbob;healthy-sister;0;0,5\n"
        "cy;Two negative carrier tests;2;1/150\ndee;nowhere;0;1\n",
        encoding="utf-8-sig",
    )
    marks, chart = tmp_path / "marks.csv", tmp_path / "slips.svg"
    words = ("mark", SISTER, TESTED, "--answers", str(table))
    status, out, err = run(*words, "-o", str(marks), "--chart", str(chart))
    assert (status, err) == (0, "1 answer is not marked; the summary says why\n")
    assert "4 answers of 4 students" in out
    assert 'there is no case "nowhere"' in out
    rows = list(csv.DictReader(io.StringIO(marks.read_text(encoding="utf-8-sig"))))
    assert [row["verdict"] for row in rows] == ["right", "slip", "slip", "not marked"]
    assert "ignored_tests" in rows[2]["slips"]
    assert chart.read_text(encoding="utf-8").startswith(("<svg", "<?xml"))
    told = json.loads(run(*words, "--json")[1])
    assert told["verdicts"] == {"right": 1, "slip": 2, "not marked": 1}


def test_a_summary_calls_questions_as_the_table_does(tmp_path: Path) -> None:
    table = tmp_path / "class.csv"
    for text, called in (
        ("student,1 (a),2 (b)\nX,2/3,1/6\n", {"1 (a)", "2 (b)"}),
        ("student,case,question,answer\nX,1,0,2/3\nX,2,1,1/6\n", {"1 (a)", "2 (b)"}),
        (
            "student,case,question,answer\nX,healthy-sister,0,1\nX,negative-test,1,1\n",
            {"0 (a)", "1 (b)"},
        ),
    ):
        table.write_text(text, "utf-8")
        _, out, _ = run("mark", SISTER, TESTED, "--answers", str(table))
        assert set(re.findall(r"\d \([a-d]\)", out)) == called, text


def test_mark_a_class_takes_a_number_as_a_worksheet_of_the_same_files_prints_it(
    tmp_path: Path,
) -> None:
    # Two cases in a stream and TESTED after them.
    stream, table = tmp_path / "exam.jsonl", tmp_path / "class.csv"
    assert run("practice", "--level", "1", "--count", "2", "-o", str(stream))[0] == 0
    table.write_text("student,case,question,answer\nx,3,c,1/150\n", encoding="utf-8")
    asked = json.loads(run("mark", str(stream), TESTED, "--answers", str(table), "--json")[1])
    assert [each["case"] for each in asked["questions"]] == [Path(TESTED).stem]
    # The other way about 2 is the first line of the stream, and its second line.
    table.write_text("student,case,question,answer\nx,2,a,1/2\n", encoding="utf-8")
    _, out, _ = run("mark", TESTED, str(stream), "--answers", str(table))
    assert '"2" can mean exam:1 (problem 2 of a worksheet of these files)' in out


def test_mark_a_class_takes_no_part_of_a_file_name_for_the_line_of_a_stream(tmp_path: Path) -> None:
    file, table = tmp_path / "fam:3", tmp_path / "class.csv"
    file.write_bytes(Path(SISTER).read_bytes())
    table.write_text("student,case,answer\nx,fam:3,2/3\ny,3,2/3\n", encoding="utf-8")
    told = json.loads(run("mark", str(file), "--answers", str(table), "--json")[1])
    assert told["verdicts"] == {"right": 1, "not marked": 1}


def test_mark_a_class_writes_nothing_where_the_table_is_none(tmp_path: Path) -> None:
    table = tmp_path / "class.csv"
    table.write_text("a,b\n1,2\n", encoding="utf-8")
    marks = tmp_path / "marks.csv"
    status, out, err = run("mark", SISTER, "--answers", str(table), "-o", str(marks))
    assert (status, out) == (2, "")
    assert "student, case, question, answer" in err
    assert not marks.exists()
    status, _, err = run("mark", SISTER, "--answers", str(table), "-o", "-")
    assert (status, err) == (
        2,
        "-o: the marks are written to a file beside the summary; name one\n",
    )


# --- practice -----------------------------------------------------------------------------


def test_practice_as_text_and_as_a_file_that_can_be_solved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    status, out, err = run("practice", "--level", "2", "--seed", "7", "--count", "3")
    assert (status, err) == (0, "")
    asked = [len(case.questions) for case in actions.practice(2, 7, 3)]
    assert out.count("How likely is it that") == sum(asked)
    assert CAUTION.split(";")[0] in " ".join(out.split())
    path = tmp_path / "cases.jsonl"
    words = ("practice", "--level", "2", "--seed", "7", "--count", "3")
    assert run(*words, "-o", str(path)) == (0, "", "")
    assert run(*words, "--json")[1] == path.read_text(encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    for way in ((), ("--json",)):
        assert run(*words, "-o", "-", *way) == (0, path.read_text(encoding="utf-8"), "")
    assert [each.name for each in tmp_path.iterdir()] == [path.name]
    status, out, err = run("solve", "--json", str(path))
    assert (status, err) == (0, "")
    assert len(out.splitlines()) == 3
    # The cases of a stream are marked by their line.
    table = tmp_path / "class.csv"
    first = json.loads(out.splitlines()[0])["answers"][0]["exact"]
    table.write_text(f"student,case,question,answer\nann,1,0,{first}\n", encoding="utf-8")
    told = json.loads(run("mark", str(path), "--answers", str(table), "--json")[1])
    assert told["verdicts"] == {"right": 1}


@pytest.mark.parametrize("command", ["worksheet", "report", "solve", "check"])
def test_practice_told_as_text_is_no_stream_of_cases_and_told_so_once(
    command: str, tmp_path: Path
) -> None:
    """One line, and not one for each line of the text."""
    path = tmp_path / "told.jsonl"
    path.write_text(run("practice", "--count", "2")[1], encoding="utf-8")
    page = ("-o", str(tmp_path / "out.pdf")) if command in ("worksheet", "report") else ()
    status, out, err = run(command, str(path), *page)
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    assert "twothirds practice writes its cases so with -o FILE, or with --json" in err


def test_practice_by_topic() -> None:
    status, out, _ = run("practice", "--level", "3", "--topics")
    assert status == 0
    assert "tests" in out.split()
    status, out, err = run("practice", "--level", "1", "--topic", "tests")
    assert (status, out) == (2, "")
    assert "level 3 and 4" in err
    assert run("practice", "--level", "9")[0] == 2


def test_mark_reads_an_answer_below_zero_and_a_calculation() -> None:
    status, _, err = run("mark", SISTER, "--answer", "-1/2")
    assert status == 2
    assert "is below 0" in err
    status, _, err = run("mark", SISTER, "--answer", "1 - 1/3")
    assert status == 2
    assert "calculation" in err
    assert "range" not in err
    assert "range" in run("mark", SISTER, "--answer", "0.2 - 0.3")[2]


def test_mark_of_a_class_says_once_what_is_odd(tmp_path: Path) -> None:
    table = tmp_path / "class.csv"
    table.write_text("student,question,answer\nann,1,2/3\nann,2,1/150\n", encoding="utf-8")
    status, out, err = run("mark", SISTER, "--answers", str(table))
    assert (status, err) == (0, "1 answer is not marked; the summary says why\n")
    assert out.count("--count-from 1") == 1
    assert "--count-from 1" in run("mark", SISTER, "--answers", str(table), "--json")[2]
    assert "1 of them not marked" in out
    assert "50.0%" in out
    status, out, err = run("mark", SISTER, "--answers", str(table), "--count-from", "1")
    assert (status, err) == (0, "")
    assert "100.0%" in out
    assert run("mark", SISTER, "--answer", "1", "--count-from", "1")[0] == 2


# --- fractions of thousands of digits ------------------------------------------------------


def long_family() -> str:
    """Return a family whose exact answers have more digits than Python writes unasked."""
    case = json.loads(Path(SISTER).read_text("utf-8"))
    chances = [f"0.{'7' * 290}{number:02}" for number in range(16)]
    case["condition"]["tests"] = [
        {"name": f"t{i}", "sensitivity": chance, "specificity": chance}
        for i, chance in enumerate(chances)
    ]
    case["people"] += [
        {"id": f"II-{4 + i}", "sex": "male", "father": "I-1", "mother": "I-2"}
        | {"tests": [{"test": f"t{i}", "result": "negative"}]}
        for i in range(len(chances))
    ]
    # Of the parents nothing else is known, so that the results of all are in each answer.
    for person in case["people"]:
        person.pop("affected", None)
    case["questions"][0]["person"] = "II-4"
    return json.dumps(case)


@pytest.mark.parametrize(
    "words",
    [
        ("solve", "-", "--json"),
        ("explain", "-"),
        ("explain", "-", "--json"),
        ("mark", "-", "--answer", "1/2"),
        ("mark", "-", "--answer", "1/2", "--json"),
        ("vary", "-", *PARAMETER, "--values", "1/25", "--csv"),
    ],
    ids=" ".join,
)
def test_answers_of_thousands_of_digits_are_written(words: tuple[str, ...]) -> None:
    limit = sys.get_int_max_str_digits()
    status, out, err = run(*words, stdin=long_family().encode())
    assert (status, err) == (0, "")
    whole = {"--json", "--csv"} & {*words}
    assert (re.search(r"\d{4301}/\d{4301}", out) is not None) == bool(whole)
    assert sys.get_int_max_str_digits() == limit > 0
