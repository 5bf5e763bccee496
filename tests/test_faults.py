"""What happens around the program: full disks, signals, closed streams, files that vanish.

An honest message or the right answer, the documented exit status, nothing half-written.
`tests/test_cli.py` has the plain cases of each; here are the rest, by name.
"""

from __future__ import annotations

import errno
import inspect
import io
import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from risk import actions, cli
from risk.bundled import bundled_cases
from risk.case.read import LARGEST
from risk.console.streams import Streams, standard_streams
from risk.output import keep_inputs, write_together
from risk.problems import InputError

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals, pipes and limits of Unix")

ROOT = Path(__file__).parent.parent
SISTER = str(bundled_cases()["healthy-sister"])
CARRIER = ["--parameter", "condition.frequency.carrier", "--values", "1/100,1/50"]
CLASS = "student,case,question,answer\nA,healthy-sister,0,1/2\nB,healthy-sister,0,2/3\n"

#: Every command that writes files, and the files.
WRITING = {
    "draw svg": (["draw", SISTER, "-o", "t.svg"], ["t.svg"]),
    "draw pdf": (["draw", SISTER, "-o", "t.pdf"], ["t.pdf"]),
    "draw png": (["draw", SISTER, "-o", "t.png"], ["t.png"]),
    "report": (["report", SISTER, "-o", "r.pdf"], ["r.pdf"]),
    "worksheet": (["worksheet", SISTER, "-o", "s.pdf", "--key", "k.pdf"], ["s.pdf", "k.pdf"]),
    "vary": (["vary", SISTER, *CARRIER, "-o", "v.svg"], ["v.svg"]),
    "cross": (["cross", "Aa", "Aa", "-o", "c.svg"], ["c.svg"]),
    "practice": (["practice", "--count", "2", "-o", "p.jsonl"], ["p.jsonl"]),
    "mark": (
        ["mark", SISTER, "--answers", "class.csv", "-o", "m.csv", "--chart", "m.svg"],
        ["m.csv", "m.svg"],
    ),
}


def run(*argv: str, stdin: bytes = b"") -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    status = cli.main(list(argv), Streams(io.BytesIO(stdin), out, err))
    return status, out.getvalue(), err.getvalue()


def program(*argv: str, **options: object) -> subprocess.Popen[str]:
    """Start the command as a process of its own group, with this checkout in reach."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    settings: dict[str, object] = {
        "stdin": subprocess.PIPE,
        "stdout": subprocess.PIPE,
        "stderr": subprocess.PIPE,
        "text": True,
        "env": environment,
        "start_new_session": True,
    }
    words = [sys.executable, "-m", "risk", *argv]
    return subprocess.Popen(words, **{**settings, **options})  # type: ignore[call-overload, no-any-return]


def shell(line: str, **options: object) -> subprocess.CompletedProcess[str]:
    """Run a line of the shell, in which ``twothirds`` is the command."""
    line = line.replace("twothirds", f'"{sys.executable}" -m risk')
    settings: dict[str, object] = {"env": {**os.environ, "PYTHONPATH": str(ROOT)}, "timeout": 120}
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        ["bash", "-c", line], capture_output=True, text=True, **{**settings, **options}
    )


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, in which the command runs; only a class's answers are in it."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "class.csv").write_text(CLASS)
    return tmp_path


@contextmanager
def files_of_at_most(size: int) -> Iterator[None]:
    """No file grows beyond `size` bytes, as on a disk that is full then."""
    import resource

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def stream(path: Path, times: int) -> str:
    line = json.dumps(json.loads(Path(SISTER).read_text(encoding="utf-8")))
    path.write_text(f"{line}\n" * times)
    return str(path)


# --- writing ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", WRITING)
def test_a_full_disk_leaves_old_files_and_nothing_else(name: str, here: Path) -> None:
    argv, files = WRITING[name]
    for each in files:
        (here / each).write_text("old")
    before = sorted(os.listdir(here))
    with files_of_at_most(20):
        status, out, err = run(*argv)
    assert (status, out) == (1, "")
    assert err == f"twothirds: {files[0]}: {os.strerror(errno.EFBIG).lower()}\n"
    assert sorted(os.listdir(here)) == before
    assert {(here / each).read_text() for each in files} == {"old"}


@pytest.mark.parametrize("name", WRITING)
def test_the_same_command_writes_whole_files_where_there_is_room(name: str, here: Path) -> None:
    argv, files = WRITING[name]
    status, _, _ = run(*argv)
    assert status == 0
    assert sorted(os.listdir(here)) == sorted([*files, "class.csv"])


def test_a_second_file_that_cannot_be_written_leaves_no_first(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (here / "key.pdf").write_text("old")
    calls = []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space") as caught:
        write_together([("sheet.pdf", b"sheet"), ("key.pdf", b"key")])
    assert caught.value.filename == "key.pdf"
    assert sorted(os.listdir(here)) == ["class.csv", "key.pdf"]
    assert (here / "key.pdf").read_text() == "old"


@pytest.mark.parametrize("fault", [PermissionError(errno.EACCES, "denied"), KeyboardInterrupt()])
@pytest.mark.parametrize("before", ["old sheet", None])
def test_where_a_later_file_cannot_take_its_place_the_first_is_put_back(
    before: str | None, fault: BaseException, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if before is not None:
        (here / "sheet.pdf").write_text(before)
    (here / "key.pdf").write_text("old key")
    files = {path.name: path.read_bytes() for path in here.iterdir()}
    replace = os.replace

    def refused(source: str, target: Path) -> None:
        if target.name == "key.pdf":
            raise fault
        replace(source, target)

    monkeypatch.setattr(os, "replace", refused)
    with pytest.raises(type(fault)) as caught:
        write_together([("sheet.pdf", b"sheet"), ("key.pdf", b"key")])
    assert {path.name: path.read_bytes() for path in here.iterdir()} == files
    if isinstance(fault, OSError):
        assert caught.value.filename == "key.pdf"


def test_a_disk_that_is_really_full(here: Path) -> None:
    """A file system of 8 kB in memory, in a name space of our own."""
    line = (
        "mount -t tmpfs -o size=8k tmpfs . && cd . && "
        f"twothirds report '{SISTER}' -o r.pdf; echo $?; ls -A ."
    )
    inside = f"unshare -rm bash -c '{line}'".replace(f"'{SISTER}'", SISTER)
    if subprocess.run(["unshare", "-rm", "true"], capture_output=True, check=False).returncode:
        pytest.skip("no file system may be mounted here")
    done = shell(inside.replace(" . ", f" {here} ").replace("cd .", f"cd {here}"))
    assert done.stderr == "twothirds: r.pdf: no space left on device\n"
    assert done.stdout == "1\n"


@contextmanager
def without_rights(folder: str) -> Iterator[None]:
    """Nothing may be made in `folder`, even where the tests run as root."""
    os.chmod(folder, 0o555)
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)
    try:
        if not os.access(SISTER, os.R_OK, effective_ids=True):
            pytest.skip("as root only where others may read this folder")
        yield
    finally:
        if root:
            os.seteuid(0)
        os.chmod(folder, 0o755)


@pytest.mark.parametrize("name", ["draw svg", "report", "worksheet", "mark", "practice"])
def test_a_read_only_folder_is_named(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    argv, files = WRITING[name]
    with tempfile.TemporaryDirectory() as folder:
        monkeypatch.chdir(folder)
        Path("class.csv").write_text(CLASS)
        with without_rights(folder):
            status, out, err = run(*argv)
        assert (status, out, err) == (1, "", f"twothirds: {files[0]}: permission denied\n")
        assert os.listdir(folder) == ["class.csv"]
        monkeypatch.undo()


def test_a_file_that_is_read_only_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o777)
        target = Path(folder) / "tree.svg"
        target.write_text("old")
        target.chmod(0o444)
        monkeypatch.setattr(os, "access", lambda path, _: path != target)  # root may do all
        status, _, err = run("draw", SISTER, "-o", str(target))
        assert (status, err) == (1, f"twothirds: {target}: permission denied\n")
        assert target.read_text() == "old"


def test_no_output_takes_the_place_of_an_input(here: Path) -> None:
    Path("case.svg").write_bytes(Path(SISTER).read_bytes())
    os.symlink("case.svg", "link.svg")
    for argv, place in (
        (["draw", "case.svg", "-o", "case.svg"], "case.svg"),
        (["draw", "./case.svg", "-o", "link.svg"], "link.svg"),
        (["vary", "case.svg", *CARRIER, "-o", str(here / "case.svg")], str(here / "case.svg")),
        (["mark", SISTER, "--answers", "class.csv", "-o", "class.csv"], "class.csv"),
        (["mark", "case.svg", "--answers", "class.csv", "--chart", "case.svg"], "case.svg"),
    ):
        status, out, err = run(*argv)
        assert (status, out) == (2, "")
        assert err == f"{place}: is read as input; name another file to write\n"
    assert (here / "case.svg").read_bytes() == Path(SISTER).read_bytes()
    assert (here / "class.csv").read_text() == CLASS


def test_two_outputs_are_two_files(here: Path) -> None:
    status, _, err = run("worksheet", SISTER, "-o", "a.pdf", "--key", "./a.pdf")
    assert (status, err) == (
        2,
        "./a.pdf: two options name the same file to write; name two\n",
    )
    keep_inputs(["/dev/null", "/dev/null"], ["/dev/null", "-"])  # nothing is lost there
    with pytest.raises(InputError, match="read as input"):
        keep_inputs([str(here / "class.csv")], ["class.csv"])


@pytest.mark.parametrize("path", ["a\0.svg", "\ud800.svg", "\n\t.svg/x.svg", "\x1b[31m.pdf.txt"])
def test_odd_names_of_files_are_told_in_one_line(path: str, here: Path) -> None:
    status, _, err = run("draw", SISTER, "-o", path)
    assert status == 2
    assert len(err.splitlines()) == 1
    assert err[:-1].isprintable()
    assert os.listdir(here) == ["class.csv"]


@pytest.mark.parametrize("option", ["--title", "--author", "--date"])
def test_bytes_that_are_no_text_are_not_printed(option: str, here: Path) -> None:
    """Found by ``python -m tests.fuzz command``: a shell passes byte 0xff on as \\udcff."""
    status, _, err = run("report", SISTER, "-o", "r.pdf", option, "a\udcff")
    assert status == 2
    assert err.startswith(f'{option}: "a\\udcff" is not text in UTF-8')
    assert os.listdir(here) == ["class.csv"]


def test_a_name_that_is_too_long(here: Path) -> None:
    name = "x" * 300 + ".svg"
    status, _, err = run("draw", SISTER, "-o", name)
    assert (status, err) == (1, f"twothirds: {name}: file name too long\n")


def test_a_font_that_is_missing_is_named_with_the_mend(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from reportlab.pdfbase import pdfmetrics

    from risk.render import pdf_faces

    folder = Path(cli.__file__).parent / "no fonts"
    monkeypatch.setattr(pdf_faces, "FOLDER", folder)
    monkeypatch.setattr(pdfmetrics, "getRegisteredFontNames", list)
    status, _, err = run("report", SISTER, "-o", "r.pdf")
    assert status == 1
    start, _, mend = err.partition(".ttf: ")
    assert start.startswith(f"twothirds: {folder}/")
    assert mend == "no such file; it is a part of Two-Thirds, so install it again\n"
    assert os.listdir(here) == ["class.csv"]


# --- signals ------------------------------------------------------------------------------


def ended(group: int) -> bool:
    """Whether every process of the group has ended, within a while."""
    for _ in range(200):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.1)
    os.killpg(group, signal.SIGKILL)
    return False


@pytest.mark.parametrize("workers", ["1", "2"])
@pytest.mark.parametrize("way", ["Ctrl-C", "SIGTERM", "SIGHUP"])
def test_a_batch_stops_at_once_and_says_so(workers: str, way: str, here: Path) -> None:
    source = stream(here / "many.jsonl", 100_000)
    answers = here / "answers.jsonl"
    with answers.open("w") as file:
        running = program("solve", "--json", "--workers", workers, source, stdout=file)
        while not answers.stat().st_size:
            time.sleep(0.05)
        if way == "Ctrl-C":
            os.killpg(running.pid, signal.SIGINT)  # a terminal sends it to all of them
        else:
            running.send_signal(getattr(signal, way))
        _, err = running.communicate(timeout=60)
    assert (running.returncode, err) == (1, "twothirds: stopped\n")
    assert ended(running.pid)
    for line in answers.read_text().splitlines():
        json.loads(line)


@pytest.mark.parametrize("name", ["report", "vary", "worksheet"])
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_while_a_file_is_written_leaves_none(
    name: str, number: int, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    argv, _ = WRITING[name]
    before = signal.getsignal(signal.SIGTERM), signal.getsignal(signal.SIGHUP)
    monkeypatch.setattr(os, "fsync", lambda _: signal.raise_signal(number))
    try:
        cli._stop_in_order()
        status, out, err = run(*argv)
    finally:
        signal.signal(signal.SIGTERM, before[0])
        signal.signal(signal.SIGHUP, before[1])
    assert (status, out, err) == (1, "", "twothirds: stopped\n")
    assert os.listdir(here) == ["class.csv"]


class Interrupting:
    """Stands on the path of imports, and has Ctrl-C pressed when a module is looked for."""

    def __init__(self, name: str) -> None:
        self.name = name

    def find_spec(self, name: str, *_: object) -> None:
        if name == self.name:
            signal.raise_signal(signal.SIGINT)


@pytest.mark.parametrize("module", ["argparse", "risk.cli", "risk.case.model", "pydantic_core"])
def test_a_signal_while_the_program_is_loaded(module: str) -> None:
    script = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r})\n"
        f"import signal\n{inspect.getsource(Interrupting)}\n"
        f"sys.meta_path.insert(0, Interrupting({module!r}))\n"
        "from risk.__main__ import main\n"
        f"sys.argv = ['twothirds', 'solve', {SISTER!r}]\n"
        "sys.exit(main())"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", script], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (1, "", "twothirds: stopped\n")


def test_before_it_can_say_that_it_was_stopped_next_to_nothing_is_loaded() -> None:
    script = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); before = {{*sys.modules}}\n"
        "import risk.__main__; print(*sorted({*sys.modules} - before))"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", script], capture_output=True, text=True, check=True
    )
    names = {"__future__", "gc", "risk", "risk.__main__", "risk.offered", "risk.version"}
    assert set(done.stdout.split()) == names


# --- streams ------------------------------------------------------------------------------


@pytest.mark.parametrize("options", ["", "--json", "--json --workers 2"])
def test_a_reader_that_has_seen_enough(options: str, here: Path) -> None:
    stream(here / "many.jsonl", 5000)
    done = shell(f"twothirds solve {options} many.jsonl | head -1; echo ${{PIPESTATUS[0]}}")
    assert done.stderr == ""
    assert done.stdout.splitlines()[-1] == "1"


def test_closed_standard_streams(here: Path) -> None:
    Path("case.json").write_bytes(Path(SISTER).read_bytes())
    no_input = shell("twothirds solve - <&-")
    assert (no_input.returncode, no_input.stderr) == (2, "-: standard input is closed\n")
    assert shell("twothirds solve case.json <&-").returncode == 0
    no_output = shell("twothirds solve --json case.json >&-")
    assert no_output.returncode == 1
    assert no_output.stderr == "twothirds: cannot write the answers: standard output is closed\n"
    assert shell("twothirds check none.json 2>&-").returncode == 2
    written = shell("twothirds draw case.json -o tree.svg <&- >&- 2>&-")
    assert written.returncode == 0
    assert (here / "tree.svg").read_text(encoding="utf-8").endswith("</svg>\n")


@pytest.mark.parametrize("argv", ["explain CASE", "vary CASE --json", "practice --json", "--help"])
def test_answers_into_a_full_disk(argv: str) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full here")
    words = argv.replace("CASE", f'"{SISTER}"').replace("vary", f"vary {' '.join(CARRIER)}")
    done = shell(f"twothirds {words} > /dev/full")
    assert done.returncode == 1
    assert done.stderr == "twothirds: cannot write the answers: no space left on device\n"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp1251", "utf-8"])
def test_names_in_any_script_reach_a_stream_of_any_encoding(
    encoding: str, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = json.loads(Path(SISTER).read_text(encoding="utf-8"))
    text = json.dumps(case, ensure_ascii=False).replace("II-2", "Зоя 👩")
    Path("case.json").write_text(text, encoding="utf-8")
    for argv in (["solve", "case.json"], ["explain", "--json", "case.json"]):
        carrier = io.BytesIO()
        wrapper = io.TextIOWrapper(carrier, encoding=encoding, write_through=True)
        monkeypatch.setattr(sys, "stdout", wrapper)
        monkeypatch.setattr(sys, "stdin", wrapper)
        assert cli.main(argv, standard_streams()) == 0
        monkeypatch.undo()
        monkeypatch.chdir(here)
        out = carrier.getvalue().decode(encoding)
        if "--json" in argv:
            assert carrier.getvalue().isascii()
            assert json.loads(out)["workings"][0]["question"]["person"] == "Зоя 👩"
        else:  # unlike "???", escapes tell one person from another
            shown = {
                "ascii": "\\u0417\\u043e\\u044f \\ud83d\\udc69",
                "cp1251": "Зоя \\ud83d\\udc69",
            }
            shown["cp1252"], shown["utf-8"] = shown["ascii"], "Зоя 👩"
            assert shown[encoding] in re.sub(r"\s+", " ", out)


def test_no_terminal_no_home_no_locale(here: Path) -> None:
    bare = {"PATH": "/usr/bin:/bin", "PYTHONPATH": str(ROOT)}
    for words in (["solve", SISTER], ["report", SISTER, "-o", "r.pdf"]):
        running = program(*words, env=bare, stdin=subprocess.DEVNULL, cwd=here)
        out, err = running.communicate(timeout=120)
        assert (running.returncode, err) == (0, "")
        assert "\x1b" not in out
    assert max(map(len, out.splitlines()), default=0) <= 80


@pytest.mark.parametrize("home", [None, "/nowhere", "/proc"])
def test_no_home_and_no_folder_for_temporary_files(home: str | None, here: Path) -> None:
    bare = {"PATH": "/usr/bin:/bin", "PYTHONPATH": str(ROOT), "TMPDIR": "/nowhere"}
    if home:
        bare["HOME"] = home
    for words, files in (WRITING["draw png"], WRITING["worksheet"]):
        running = program(*words, env=bare, stdin=subprocess.DEVNULL, cwd=here)
        assert (running.communicate(timeout=120), running.returncode) == (("", ""), 0)
        assert all((here / each).stat().st_size for each in files)


@pytest.mark.parametrize("name", [*WRITING, "solve", "explain"])
def test_the_clock_changes_nothing(name: str, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """But the date that is printed where none is given; with one, any two clocks agree."""
    argv, files = WRITING.get(name, ([name, "--json", SISTER], []))
    if name in ("report", "worksheet"):
        argv = [*argv, "--date", "2001-01-01"]
    made = []
    for moment in (86_400.0, 4_102_444_800.0):  # 1970-01-02 and 2100-01-01
        for each, at in (("localtime", time.localtime), ("gmtime", time.gmtime)):

            def told(seconds: object = None, at: object = at, now: object = moment) -> object:
                return at(now if seconds is None else seconds)  # type: ignore[operator]

            monkeypatch.setattr(time, each, told)
        monkeypatch.setattr(time, "time", lambda moment=moment: moment)
        made.append((run(*argv), [(here / each).read_bytes() for each in files]))
        monkeypatch.undo()
        monkeypatch.chdir(here)
    assert made[0][0][0] == 0
    assert made[0] == made[1]


# --- what is read -------------------------------------------------------------------------


def test_a_file_that_vanishes_or_changes_while_others_are_solved(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("a.json", "b.json", "c.json"):
        Path(name).write_bytes(Path(SISTER).read_bytes())
    solve = actions.solve

    def meanwhile(*words: object) -> object:
        Path("a.json").write_bytes(b"changed after it was read")
        Path("c.json").unlink(missing_ok=True)
        return solve(*words)  # type: ignore[arg-type]

    monkeypatch.setattr("risk.actions.solve", meanwhile)
    status, out, err = run("solve", "--json", "a.json", "b.json", "c.json")
    assert (status, err) == (2, "c.json: no such file\n")
    first, second, third = map(json.loads, out.splitlines())
    assert first["answers"][0]["exact"] == second["answers"][0]["exact"] == "2/3"
    assert third["error"]["status"] == 2


def test_a_case_and_a_stream_from_a_named_pipe(here: Path) -> None:
    line = Path(stream(here / "many.jsonl", 2)).read_bytes()
    for name, content, answers in (("p.json", Path(SISTER).read_bytes(), 1), ("p.jsonl", line, 2)):
        os.mkfifo(name)
        feeder = threading.Thread(target=Path(name).write_bytes, args=(content,))
        feeder.start()
        status, out, err = run("solve", "--json", name)
        feeder.join()
        assert (status, err, out.count('"answers"')) == (0, "", answers)


def test_what_never_ends_is_read_only_as_far_as_a_case_may_go(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    if not Path("/dev/zero").exists():
        pytest.skip("no /dev/zero here")
    monkeypatch.setattr("risk.case.read.LARGEST", 1_000_000)
    said = "the file is larger than 1 MB, which no family is\n"
    assert run("check", "/dev/zero") == (2, "", said)
    with open("/dev/zero", "rb") as endless:
        err = io.StringIO()
        assert cli.main(["check", "-"], Streams(endless, io.StringIO(), err)) == 2
    assert err.getvalue() == said


def test_a_file_of_200_megabytes(here: Path) -> None:
    with open("huge.json", "wb") as file:
        file.truncate(200_000_000)  # a hole: no disk is used
    assert run("solve", "huge.json")[0] == 2
    assert run("solve", "huge.json")[2] == (
        f"the file is larger than {LARGEST // 1_000_000} MB, which no family is\n"
    )


def test_a_line_too_long_for_a_case_is_one_line_of_its_stream(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = Path(stream(here / "one.jsonl", 1)).read_bytes()
    monkeypatch.setattr("risk.case.read.LARGEST", 10_000)
    content = line + b"{" * 25_000 + b"\n" + line
    Path("mixed.jsonl").write_bytes(content)
    for argv, stdin in ((["mixed.jsonl"], b""), (["-"], line + content)):
        status, out, err = run("solve", "--json", *argv, stdin=stdin)
        assert status == 2
        kinds = ["error" if "error" in json.loads(each) else "answers" for each in out.splitlines()]
        assert kinds == (["answers"] if stdin else []) + ["answers", "error", "answers"]
        assert len(err.splitlines()) == 1
        assert f":{3 if stdin else 2}: the file is larger than" in err


def test_a_stream_on_standard_input_is_answered_as_it_comes(here: Path) -> None:
    line = Path(stream(here / "one.jsonl", 1)).read_text()
    running = program("solve", "--json", "-", env={**os.environ, "PYTHONPATH": str(ROOT)})
    assert running.stdin is not None
    out, err = running.communicate(line * 3, timeout=60)
    assert (running.returncode, err, len(out.splitlines())) == (0, "", 3)
    asked: list[bytes] = []

    class Slow(io.BytesIO):
        def readline(self, size: int | None = -1) -> bytes:
            asked.append(b"")
            assert len(asked) <= 3 or out_now.getvalue(), "read far ahead"
            return super().readline(size)

    out_now = io.StringIO()
    text = (line * 5).encode()
    assert cli.main(["solve", "--json", "-"], Streams(Slow(text), out_now, io.StringIO())) == 0
    assert len(out_now.getvalue().splitlines()) == 5


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (b"\xef\xbb\xbf", "the file is empty"),
        ('{"version": 1}'.encode("utf-16"), "it looks like UTF-16; save it as UTF-8"),
        ('{"title": "Зоя"}'.encode("cp1251"), "the file is not UTF-8 text"),
        (b"[" * 200_000, "nested too deeply"),
        (b'{"people":' * 200_000, "nested too deeply"),
        (b"\0" * 100, "not JSON at column 1:"),
    ],
)
def test_files_that_are_no_case(content: bytes, said: str, here: Path) -> None:
    Path("case.json").write_bytes(content)
    for argv in (["check"], ["solve"], ["draw", "-o", "t.svg"], ["report", "-o", "r.pdf"]):
        status, out, err = run(*argv, "case.json")
        assert (status, out) == (2, "")
        assert said in err
        assert len(err.splitlines()) == 1
    assert sorted(os.listdir(here)) == ["case.json", "class.csv"]


def test_windows_files_as_files(here: Path) -> None:
    content = Path(SISTER).read_bytes().replace(b"\n", b"\r\n")
    Path("w.json").write_bytes(b"\xef\xbb\xbf" + content)
    Path("w.jsonl").write_bytes(
        b"\xef\xbb\xbf" + Path(stream(here / "two.jsonl", 2)).read_bytes().replace(b"\n", b"\r\n")
    )
    Path("class.csv").write_bytes(b"\xef\xbb\xbf" + CLASS.replace("\n", "\r\n").encode())
    assert run("solve", "--json", "w.json") == run("solve", "--json", SISTER)
    assert run("solve", "--json", "w.jsonl") == run("solve", "--json", "two.jsonl")
    assert run("mark", SISTER, "--answers", "class.csv")[0] == 0


@pytest.mark.parametrize("seconds", ["-62135596800", "0", "253402300799", "253402300800", "9" * 30])
def test_a_clock_far_in_the_past_or_future(
    seconds: str, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", seconds)
    status, _, err = run("report", SISTER, "-o", "r.pdf", "--without", "working")
    if int(seconds) < 253402300800:  # the end of the year 9999
        assert (status, err) == (0, "")
        assert (here / "r.pdf").read_bytes().startswith(b"%PDF-")
    else:
        assert status == 2
        assert err == f"SOURCE_DATE_EPOCH: '{seconds}' is not a number of seconds\n"
        assert not (here / "r.pdf").exists()
