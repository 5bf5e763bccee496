"""The command line: every exit status, every stream, and nothing half-written."""

from __future__ import annotations

import codecs
import io
import json
import os
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk import __version__, actions, cli
from risk.bundled import bundled_cases
from risk.case.model import Case
from risk.caution import CAUTION
from risk.console.streams import Streams
from risk.output import write_whole
from risk.problems import InputError

SISTER = str(bundled_cases()["healthy-sister"])
SONS = str(bundled_cases()["healthy-sons"])


@dataclass
class Outcome:
    status: int
    out: str
    err: str


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def run(*argv: str, stdin: bytes = b"") -> Outcome:
    out, err = io.StringIO(), io.StringIO()
    status = cli.main(list(argv), Streams(io.BytesIO(stdin), out, err))
    return Outcome(status, out.getvalue(), err.getvalue())


def process(*argv: str, **options: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "risk", *argv],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parent.parent,
        **options,
    )


def impossible(tmp_path: Path) -> str:
    case = json.loads(Path(SISTER).read_text(encoding="utf-8"))
    case["people"][2]["genotype"] = 0
    path = tmp_path / "impossible.json"
    path.write_text(json.dumps(case), encoding="utf-8")
    return str(path)


def wrong(tmp_path: Path) -> str:
    case = json.loads(Path(SISTER).read_text(encoding="utf-8"))
    case["people"][3]["father"] = "I-9"
    case["people"][4]["sax"] = "male"
    path = tmp_path / "wrong.json"
    path.write_text(json.dumps(case), encoding="utf-8")
    return str(path)


# --- what is said -------------------------------------------------------------------------


def test_solve_prints_each_answer_in_three_forms_and_the_caution() -> None:
    outcome = run("solve", SISTER)
    assert outcome.status == 0
    assert outcome.err == ""
    assert "2/3, about 66.7%, 2 in 3" in outcome.out
    assert "1/150, about 0.667%, 1 in 150" in outcome.out
    assert CAUTION.split()[0:4] == outcome.out.split("! ")[-1].split()[0:4]


@pytest.mark.parametrize("name", bundled_cases())
def test_text_keeps_to_80_columns(name: str) -> None:
    outcome = run("solve", "--people", str(bundled_cases()[name]))
    assert outcome.status == 0
    assert max(map(len, outcome.out.splitlines())) <= 80


def test_solve_json_is_the_contracts_object() -> None:
    outcome = run("solve", "--json", SISTER)
    answers = json.loads(outcome.out)
    assert list(answers) == ["version", "log_likelihood", "answers", "people"]
    assert answers["answers"][0] == {
        "ask": "carrier",
        "person": "II-2",
        "probability": 2 / 3,
        "exact": "2/3",
    }
    brother = answers["people"][2]
    assert brother == {
        "id": "II-1",
        "disease_alleles": {"0": 0.0, "1": 0.0, "2": 1.0},
        "exact": {"0": "0", "1": "0", "2": "1"},
    }


def test_a_rare_limit_has_no_likelihood() -> None:
    assert json.loads(run("solve", "--json", SONS).out)["log_likelihood"] is None


def test_float_gives_no_fractions() -> None:
    answers = json.loads(run("solve", "--json", "--float", SISTER).out)
    assert [answer["exact"] for answer in answers["answers"]] == [None, None]
    assert abs(answers["answers"][0]["probability"] - 2 / 3) < 1e-12
    # Nor in a rare limit, which is found exactly in any case.
    answers = json.loads(run("solve", "--json", "--float", SONS).out)
    assert {answer["exact"] for answer in answers["answers"]} == {None}
    assert {person["exact"] for person in answers["people"]} == {None}


def test_float_gives_no_fractions_of_what_is_certain_either() -> None:
    """A son has no X of his affected father's, and so is no carrier; a daughter has it."""
    case = {
        "version": 1,
        "condition": {"inheritance": "x_linked_recessive", "frequency": {"allele": "1/100"}},
        "people": [
            {"id": "I-1", "sex": "male", "affected": True},
            {"id": "I-2", "sex": "female"},
            {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2"},
            {"id": "II-2", "sex": "female", "father": "I-1", "mother": "I-2"},
        ],
        "questions": [
            {"ask": "carrier", "person": "II-1"},
            {"ask": "disease_allele", "person": "II-2"},
        ],
    }
    found = json.loads(run("solve", "--json", "--float", "-", stdin=json.dumps(case).encode()).out)
    assert [(a["probability"], a["exact"]) for a in found["answers"]] == [(0.0, None), (1.0, None)]


def test_numbers_of_a_question_come_back_as_given() -> None:
    answers = json.loads(run("solve", "--json", str(bundled_cases()["late-onset"])).out)
    assert answers["answers"][2]["by_age"] == 50


def test_standard_input_holds_one_case_or_one_a_line() -> None:
    content = Path(SISTER).read_bytes()
    assert run("solve", "--json", "-", stdin=content).out == run("solve", "--json", SISTER).out
    line = json.dumps(json.loads(content)).encode()
    lines = run("solve", "--json", "-", stdin=line + b"\n" + line + b"\n").out.splitlines()
    assert len(lines) == 2
    assert lines[0] == lines[1]


@pytest.mark.parametrize("damaged", [b'{"version": 1, "title": \xff}', b"{bad", b"bad", b"[]"])
def test_a_damaged_line_leaves_standard_input_a_stream(damaged: bytes) -> None:
    line = json.dumps(json.loads(Path(SISTER).read_bytes())).encode()
    for mark in (b"", codecs.BOM_UTF8):
        for content in ((damaged, line, line), (line, damaged, line), (damaged, b"", line)):
            wanted = ["error" if each == damaged else "answers" for each in content if each]
            outcome = run("solve", "--json", "-", stdin=mark + b"\n".join(content))
            found = [json.loads(each) for each in outcome.out.splitlines()]
            assert ["error" if "error" in each else "answers" for each in found] == wanted


def test_a_file_whose_second_line_is_a_person_holds_one_case() -> None:
    case = json.loads(Path(SISTER).read_bytes())
    (first, *others) = case.pop("people")
    head = json.dumps(case).removesuffix("}")
    people = ",\n".join(map(json.dumps, others))
    content = f'{head}, "people": [\n{json.dumps(first)}\n,{people}]}}'.encode()
    assert run("solve", "--json", "-", stdin=content).out == run("solve", "--json", SISTER).out


def test_windows_line_ends_and_a_byte_order_mark_are_fine() -> None:
    content = b"\xef\xbb\xbf" + Path(SISTER).read_bytes().replace(b"\n", b"\r\n")
    assert run("solve", "-", stdin=content).status == 0


def test_many_files_print_one_object_a_line_in_order(tmp_path: Path) -> None:
    outcome = run("solve", "--json", SONS, wrong(tmp_path), SISTER)
    first, second, third = map(json.loads, outcome.out.splitlines())
    assert first["answers"][0]["exact"] == "1/9"
    assert second["error"]["status"] == 2
    assert third["answers"][0]["exact"] == "2/3"
    assert outcome.status == 2


def test_a_stream_has_error_objects_in_place_and_the_highest_status(tmp_path: Path) -> None:
    stream = tmp_path / "cases.jsonl"
    cases = [json.loads(Path(path).read_text()) for path in (impossible(tmp_path), SISTER)]
    stream.write_text("".join(json.dumps(case) + "\n\n" for case in cases) + "{nonsense\n")
    outcome = run("solve", "--json", str(stream))
    first, second, third = map(json.loads, outcome.out.splitlines())
    assert first["error"]["status"] == 3
    assert second["answers"][0]["exact"] == "2/3"
    assert third["error"]["status"] == 2
    assert outcome.status == 3
    assert f"{stream}:5: " in outcome.err


def test_a_case_of_a_stream_is_one_line_and_its_place_the_column(tmp_path: Path) -> None:
    stream = tmp_path / "cases.jsonl"
    stream.write_bytes(b'{"x":\n\n{"x":\r\n')
    said = [line.split("(")[0] for line in run("solve", str(stream)).err.splitlines()]
    told = "not JSON at column 6: a value is expected "
    assert said == [f"{stream}:1: {told}", f"{stream}:3: {told}"]
    sound = json.dumps(json.loads(Path(SISTER).read_text())).encode()
    piped = run("check", "-", stdin=sound + b'\n{"x":\n').err
    assert piped.startswith(f"standard input:2: {told}")


def test_a_file_with_a_colon_in_its_name_is_no_line_of_a_stream(tmp_path: Path) -> None:
    content = json.dumps({**json.loads(Path(SISTER).read_text()), "questionz": []})
    plain, colon = tmp_path / "x.json", tmp_path / "x:3"
    for path in (plain, colon):
        path.write_text(content)
    assert run("check", str(colon)) == run("check", str(plain))


def test_a_stream_of_one_case_is_still_a_stream(tmp_path: Path) -> None:
    stream = tmp_path / "one.jsonl"
    stream.write_text(json.dumps(json.loads(Path(SISTER).read_text())))
    assert len(run("solve", "--json", str(stream)).out.splitlines()) == 1


def test_bold_only_on_a_terminal_that_wants_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def on_terminal() -> str:
        out = Terminal()
        assert cli.main(["solve", SISTER], Streams(io.BytesIO(), out, io.StringIO())) == 0
        return out.getvalue()

    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b[1m" in on_terminal()
    plain = run("solve", SISTER).out
    assert "\x1b" not in plain
    monkeypatch.setenv("NO_COLOR", "1")
    assert on_terminal() == plain


def test_batches_count_cases_on_a_terminal_only() -> None:
    err = Terminal()
    assert (
        cli.main(["solve", "--json", SISTER, SONS], Streams(io.BytesIO(), io.StringIO(), err)) == 0
    )
    assert "2/?" in err.getvalue()
    assert run("solve", "--json", SISTER, SONS).err == ""


# --- what goes wrong ----------------------------------------------------------------------


def test_every_problem_is_a_line_and_an_error_object(tmp_path: Path) -> None:
    outcome = run("solve", "--json", wrong(tmp_path))
    assert outcome.status == 2
    lines = outcome.err.splitlines()
    assert len(lines) == 2
    assert lines[0].startswith('people[3].father: no person "I-9"')
    assert lines[1].startswith("people[4].sax: ")
    assert json.loads(outcome.out) == {"error": {"status": 2, "problems": lines}}


def test_without_json_a_failing_case_prints_nothing_on_standard_output(tmp_path: Path) -> None:
    outcome = run("solve", wrong(tmp_path))
    assert outcome.out == ""
    assert outcome.status == 2


@pytest.mark.parametrize("command", ["solve", "explain"])
def test_impossible_evidence_names_the_facts_one_a_line(command: str, tmp_path: Path) -> None:
    outcome = run(command, "--json", impossible(tmp_path))
    assert outcome.status == 3
    conflict = json.loads(outcome.out)["error"]["conflict"]
    assert conflict == ["II-1.affected", "II-1.genotype"]
    assert outcome.err.splitlines()[-2:] == conflict


def test_check_reports_and_solves_nothing(tmp_path: Path) -> None:
    good = run("check", SISTER)
    assert good.status == 0
    assert "the file is sound" in good.out
    assert "twothirds solve" in good.out
    bad = run("check", wrong(tmp_path))
    assert bad.status == 2
    assert bad.out == ""
    assert len(bad.err.splitlines()) == 2


@pytest.mark.parametrize("command", ["solve", "explain", "check"])
def test_files_that_cannot_be_read_are_named(command: str, tmp_path: Path) -> None:
    missing = str(tmp_path / "nowhere.json")
    assert (run(command, missing).status, run(command, missing).err) == (
        2,
        f"{missing}: no such file\n",
    )
    folder = run(command, str(tmp_path))
    assert (folder.status, folder.err) == (2, f"{tmp_path}: is a folder, not a file\n")
    stream = run(command, str(tmp_path / "nowhere.jsonl"))
    assert (stream.status, stream.err) == (2, f"{tmp_path / 'nowhere.jsonl'}: no such file\n")
    null = run(command, "a\0b")
    assert null.status == 2


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        ([], "usage: twothirds COMMAND"),
        (["sovle"], 'unknown command "sovle"; did you mean "solve"?'),
        (["--jsn"], 'unknown option "--jsn"'),
        (["solve"], "missing: CASE"),
        (["solve", "--jsno"], 'unknown option "--jsno"; did you mean "--json"?'),
        (["check", "-z"], 'unknown option "-z"'),
        (["vary"], "missing: CASE, --parameter"),
        (["solve", "--jsno", SISTER], 'unknown option "--jsno"; did you mean "--json"?'),
    ],
)
def test_a_wrong_command_line_is_status_2_with_a_hint(argv: list[str], said: str) -> None:
    outcome = run(*argv)
    assert outcome.status == 2
    assert said in outcome.err
    assert outcome.out == ""


@pytest.mark.parametrize(
    "argv",
    [
        ["solve", "--json"],
        ["solve", "--json", ""],
        ["explain", "--json", SISTER, "--jsno"],
        ["mark", SISTER, "--json"],
        ["mark", SISTER, "--json", "--answer", "1/2", "--question", "x"],
        ["mark", SISTER, "--answer", "--", "--json"],
        ["cross", "Aa", "Aa", "Aa", "--json"],
        ["practice", "--level", "9", "--json"],
        ["vary", SISTER, "--json"],
    ],
)
def test_whatever_fails_under_json_prints_the_error_object(argv: list[str]) -> None:
    outcome = run(*argv)
    assert outcome.status == 2
    problems = outcome.err.splitlines()
    assert json.loads(outcome.out) == {"error": {"status": 2, "problems": problems}}


def test_a_file_that_is_called_like_an_option_is_told_how_it_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("-x.json").write_bytes(Path(SISTER).read_bytes())
    told = 'unknown option "-x.json"'
    mend = "; the file of that name is written ./-x.json (see: twothirds solve --help)\n"
    assert run("solve", "-x.json").err == told + mend
    assert run("solve", "./-x.json").status == 0
    Path("-x.json").unlink()
    assert "./" not in run("solve", "-x.json").err


def test_a_command_without_json_prints_none() -> None:
    assert run("check", SISTER, "--json").out == run("sovle", "--json").out == ""


def test_help_and_version() -> None:
    overview = run("--help")
    assert overview.status == 0
    assert " ".join(CAUTION.split()) in " ".join(overview.out.split())
    for name in cli.COMMANDS:
        assert f"\n  {name}" in overview.out
    assert run("--version").out == f"twothirds {__version__}\n"


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_every_command_has_help_that_fits_and_cautions(name: str) -> None:
    outcome = run(name, "--help")
    assert outcome.status == 0
    assert max(map(len, outcome.out.splitlines())) <= 80
    assert CAUTION in " ".join(outcome.out.split())


def test_a_fault_of_ours_is_one_line_not_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("oh")

    monkeypatch.delenv("TWOTHIRDS_TRACEBACK", raising=False)
    monkeypatch.setattr("risk.actions.solve", fail)
    outcome = run("solve", SISTER)
    assert outcome.status == 1
    assert outcome.err.startswith("twothirds: an error in Two-Thirds itself (ZeroDivisionError")
    assert len(outcome.err.splitlines()) == 1


def test_a_fault_of_ours_in_one_case_leaves_the_others_their_answers(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    real = actions.solve

    def fail_once(case: Case, *more: Any) -> Any:
        if case.title == "odd":
            raise ZeroDivisionError("oh")
        return real(case, *more)

    monkeypatch.delenv("TWOTHIRDS_TRACEBACK", raising=False)
    monkeypatch.setattr("risk.actions.solve", fail_once)
    case = json.loads(Path(SISTER).read_text(encoding="utf-8"))
    stream = tmp_path / "cases.jsonl"
    lines = (json.dumps(case | {"title": title}) for title in ("even", "odd", "even"))
    stream.write_text("\n".join(lines), encoding="utf-8")
    outcome = run("solve", "--json", str(stream))
    first, second, third = map(json.loads, outcome.out.splitlines())
    assert (outcome.status, second["error"]["status"]) == (1, 1)
    assert first["answers"] == third["answers"]
    assert "cases.jsonl:2: an error in Two-Thirds itself (ZeroDivisionError: oh)" in outcome.err


def test_ctrl_c_says_so_and_is_status_1(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("risk.actions.solve", interrupted)
    outcome = run("solve", SISTER)
    assert (outcome.status, outcome.err) == (1, "twothirds: stopped\n")


FLAGS = ["--json", "--float", "--people", "-", "--", "--help", "-h", "--version", "--json=1"]
CROSSES = ["Aa", "aa", "--then", "F2", "backcross:AA:3", "--observed", "3:1", "--test", "--prior"]
ODD = [
    "",
    "\0",
    "\x1b[31m",
    "@x",
    "-x",
    "--prior=1/3",
    "--test=8:0",
    "1/2",
    "--offspring",
    "--seed",
]
WORDS = st.one_of(
    st.sampled_from([*cli.COMMANDS, *FLAGS, *CROSSES, *ODD, SISTER]), st.text(max_size=12)
)


@given(
    st.sampled_from(["solve", "explain", "check", "cross"]),
    st.lists(WORDS, max_size=6),
    st.binary(),
)
def test_no_command_line_gives_a_traceback(name: str, words: list[str], stdin: bytes) -> None:
    if any(word.startswith(("-o", "--output")) for word in words):
        return  # would write where the words say
    before = os.environ.get("TWOTHIRDS_TRACEBACK")
    os.environ["TWOTHIRDS_TRACEBACK"] = "1"  # a fault of ours is raised, and fails this test
    try:
        outcome = run(name, *words, stdin=stdin)
    finally:
        if before is None:
            del os.environ["TWOTHIRDS_TRACEBACK"]
    assert outcome.status in (0, 2, 3)
    assert outcome.status == 0 or outcome.err
    assert all(line.isprintable() for line in outcome.err.splitlines())


# --- writing ------------------------------------------------------------------------------


def test_a_file_is_written_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out.svg"
    write_whole(target, b"first")
    assert target.read_bytes() == b"first"

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_whole(target, b"second")
    assert target.read_bytes() == b"first"
    assert [path.name for path in tmp_path.iterdir()] == ["out.svg"]


def test_writing_keeps_permissions_and_follows_links(tmp_path: Path) -> None:
    target, link = tmp_path / "real.txt", tmp_path / "link.txt"
    target.write_bytes(b"old")
    target.chmod(0o640)
    link.symlink_to(target)
    write_whole(link, b"new")
    assert target.read_bytes() == b"new"
    assert target.stat().st_mode & 0o777 == 0o640
    assert link.is_symlink()


def test_writing_to_a_folder_or_into_none_fails(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder; name a file"):
        write_whole(tmp_path, b"x")
    with pytest.raises(InputError, match=f"there is no folder {tmp_path / 'none'}; make it first"):
        write_whole(tmp_path / "none" / "out.svg", b"x")
    assert list(tmp_path.iterdir()) == []


def test_a_path_with_a_slash_at_its_end_names_a_folder(tmp_path: Path) -> None:
    (tmp_path / "there.svg").write_bytes(b"old")
    for name in ("tree.svg", "there.svg"):
        folder = str(tmp_path / name)
        for slash in (os.sep, f"{os.sep}."):
            with pytest.raises(InputError, match=r"there is no folder .*svg; make it first$"):
                write_whole(folder + slash, b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["there.svg"]


# --- whole processes ----------------------------------------------------------------------


def test_python_m_risk_is_the_command() -> None:
    done = process("solve", "--json", SISTER)
    assert done.returncode == 0
    assert done.stdout == run("solve", "--json", SISTER).out


def test_solve_loads_no_large_library() -> None:
    large = (
        "streamlit",
        "reportlab",
        "numpy",
        "scipy",
        "networkx",
        "pandas",
        "rich",
        "pydantic.v1",
    )
    script = (
        "import sys; from risk.cli import main; status = main(['solve', sys.argv[1]]); "
        f"print([name for name in {large!r} if name in sys.modules], status)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, SISTER],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parent.parent,
        check=False,
    )
    assert done.stdout.splitlines()[-1] == "[] 0"


@pytest.mark.skipif(os.name == "nt", reason="pipes and devices of Unix")
def test_a_closed_pipe_and_a_full_disk_give_no_traceback() -> None:
    root = Path(__file__).parent.parent
    piped = subprocess.run(
        f'"{sys.executable}" -m risk solve {" ".join([SISTER] * 300)} | head -1',
        shell=True,
        capture_output=True,
        text=True,
        cwd=root,
        check=False,
    )
    assert piped.stderr == ""
    if Path("/dev/full").exists():
        with open("/dev/full", "w") as full:
            done = subprocess.run(
                [sys.executable, "-m", "risk", "solve", SISTER],
                stdout=full,
                stderr=subprocess.PIPE,
                text=True,
                cwd=root,
                check=False,
            )
        assert done.returncode == 1
        assert done.stderr == "cannot write the answers: no space left on device\n" or (
            done.stderr == "twothirds: cannot write the answers: no space left on device\n"
        )


@pytest.mark.skipif(os.name == "nt", reason="devices of Unix")
@pytest.mark.parametrize("where", ["2>/dev/full", "2>&-", "2>/dev/null"])
def test_the_status_is_the_same_where_standard_error_takes_nothing(
    where: str, tmp_path: Path
) -> None:
    for words, status in ((f"solve {wrong(tmp_path)}", 2), ("solve", 2), (f"draw {SISTER}", 2)):
        command = f'"{sys.executable}" -m risk {words} {where}'
        done = subprocess.run(command, shell=True, cwd=Path(__file__).parent.parent, check=False)
        assert done.returncode == status


def test_a_plain_c_locale_is_enough() -> None:
    environment = {**os.environ, "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    case = json.loads(Path(SISTER).read_text(encoding="utf-8"))
    case["people"][3]["name"] = "Zoë ∂"
    text = json.dumps(case)
    for argv in (("solve", "-"), ("solve", "--json", "-"), ("check", "-")):
        done = process(*argv, input=text, env=environment)
        assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(os.name == "nt", reason="signals of Unix")
def test_ctrl_c_in_the_middle_of_a_real_run() -> None:
    running = subprocess.Popen(
        [sys.executable, "-m", "risk", "solve", "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parent.parent,
    )
    assert running.stdin is not None
    running.stdin.write(" " * 500_000)  # more than a pipe holds, so that it is being read
    running.stdin.flush()
    running.send_signal(signal.SIGINT)
    _, err = running.communicate(timeout=30)
    assert running.returncode == 1
    assert err == "twothirds: stopped\n"
