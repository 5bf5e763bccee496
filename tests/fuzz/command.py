"""Random command lines for every subcommand, in this process, in a folder of their own.

Never a traceback; an exit status of the contract; what is wrong said in lines that can be shown;
``--json`` alone on standard output; every file whole or not there, and no input touched. Where
`solve` answers a small sound case, the answers are those of the brute force in `tests/oracle.py`.
"""

from __future__ import annotations

import functools
import io
import json
import os
import shutil
import tempfile
from collections import Counter
from fractions import Fraction
from pathlib import Path

import oracle

from risk import cli
from risk.console.streams import Streams
from tests.fuzz.damage import SOUND, WORDS, break_tree, broken_case, parse, written
from tests.fuzz.number import some_text

#: So many rows of the brute force are waited for.
MOST_PEOPLE = 6
PATHS = [
    "condition.frequency.carrier", "condition.frequency.allele", "condition.frequency.incidence",
    "condition.penetrance.1", "condition.mutation.maternal", "condition.tests[0].sensitivity",
    "condition.germline_mosaicism.prior", "people[0].age", "people[3].age", "II-2.age",
    "II-1.affected", "II-2.affected", "II-2.tests[0]", "I-1.genotype", "II-2.sex",
    "questions[0].of",
    "people[999].age", "nobody.age", "condition", "", ".", "[0]", "people[-1].age", "title",
]  # fmt: skip
VALUES = [
    "1/100,1/50", "0", "1", "0,1/2,1", "unknown", "true,false", "rare", "1/0", "2", "-1", ",",
    "10,20,80",
    "positive,negative", "0.1", "1e-300", "nan", "1 in 25, 4%",
]  # fmt: skip
NUMBERS = ["0", "1", "2", "3", "4", "5", "7", "-1", "1.5", "", "x", "99999999999", "٣", "1e3", "+2"]
OUTPUTS = [
    "out.svg", "out.pdf", "out.png", "out.jsonl", "out.csv", "OUT.SVG", "out", "out.txt",
    "./out.pdf",
    "sub", "sub/out.svg", "nowhere/out.pdf", "", ".", "case.json", "case2.svg", "a\0.pdf",
    "line\n.svg",
    "x" * 300 + ".svg", "/dev/null", "Зоя.svg", "-", "link.pdf",
]  # fmt: skip
INPUTS = [
    "case.json", "case.json", "case.json", "case2.svg", "cases.jsonl", "-", "broken.json", "sub",
    "none.json", "empty.json", "class.csv", "", "a\0b", "cases.jsonl",
]  # fmt: skip
GENOTYPES = ["Aa", "AA", "aa", "aA", "Bb", "AaBb", "A", "", "Aé", "ßß", "Ññ", "11", "Aa "]
OTHER = {
    "--then": ["F2", "backcross:AA:3", "selfing:5", "sibs:5", "F9", "backcross:Bb:1", "sibs:999999",
               ":"],
    "--observed": ["3:1", "305:95", "0:0", "-1:2", "1:2:3", "x", "999999999999:1"],
    "--test": ["8:0", "0:1", "0:0", "99999:0", "x:1", "8"],
    "--parameter": PATHS,
    "--values": VALUES,
    "--answers": ["class.csv", "class.csv", "case.json", "none.csv", "-", "sub"],
    "--order": ["II-1.affected", "II-2.affected,I-1.affected", "x", ","],
    "--date": ["2026-03-01", "", "never", "٢٠٢٦", "x" * 300, "a\nb"],
    "--without": ["working", "answers"],
    "--topic": ["tests", "no such", ""],
    "--count": ["1", "2", "3", "0", "-5", "501", "x"],
    "--steps": ["2", "3", "5", "1", "0", "-1", "100001", "x"],
    "--offspring": ["1", "20", "0", "-1", "10000000000", "x"],
    "--dpi": ["36", "72", "600", "35", "x", "1e2"],
    "--workers": ["1", "1", "0", "x", "-2"],
    "--cluster": ["", "x", "tcp://127.0.0.1:1", "http://x"],
    "--port": ["0", "8501", "x", "70000"],
    "--address": ["0.0.0.0", "x"],
}  # fmt: skip


@functools.cache
def actions_of(name):
    """The options and arguments of a subcommand, as its parser has them."""
    return [a for a in cli.parser(name, io.StringIO())._actions if a.dest != "help"]


def some_case(random):
    """The text of a case, sound or nearly so: no huge one, since it is to be solved."""
    tree = parse_again(random.choice(SOUND))
    for _ in range(random.choice((0, 0, 0, 1, 2))):
        break_tree(tree, random)
    text = written(tree)
    return text if len(text) < 6000 else written(random.choice(SOUND))


def parse_again(tree):

    return parse(written(tree))


GOOD = {
    "case": ["case.json", "case.json", "-"],
    "cases": ["case.json", "case.json", "cases.jsonl", "-"],
    "answers": ["class.csv"],
    "mother": ["Aa", "AA", "aa", "XAXa"],
    "father": ["Aa", "AA", "aa", "XAY"],
    "then": ["F2", "backcross:AA:3", "selfing:5", "sibs:5"],
    "affected": ["recessive", "dominant"],
    "observed": ["305:95"],
    "test": ["8:0"],
    "count": ["1", "3"],
    "level": ["1", "2", "3", "4"],
    "seed": ["1", "7", "99"],
    "steps": ["2", "5"],
    "start": ["1/100", "0.01"],
    "stop": ["1/10", "4%"],
    "question": ["0", "0", "1"],
    "offspring": ["20"],
    "prior": ["1/3"],
    "dpi": ["36", "72"],
    "key": ["key.pdf"],
    "workers": ["1"],
    "port": ["8600"],
    "parameter": [
        "condition.frequency.carrier",
        "condition.frequency.allele",
        "people[0].affected",
    ],
    "values": ["1/100,1/50", "0.1,1/4"],
    "order": ["II-1.affected", "I-1.affected"],
    "date": ["2026-03-01", ""],
}
GOOD_OUTPUTS = {
    "draw": ["out.svg", "out.pdf", "out.png"],
    "cross": ["out.svg", "out.png"],
    "vary": ["out.svg", "out.pdf", "out.png"],
    "mark": ["out.csv"],
    "practice": ["out.jsonl"],
    "report": ["out.pdf"],
    "worksheet": ["out.pdf"],
}


def value_for(name, action, random, odd):
    option = action.option_strings[-1] if action.option_strings else ""
    pick = random.random()
    if odd and pick < 0.08:
        return random.choice(WORDS)
    if odd and pick < 0.12:
        return some_text(random)
    if action.choices and pick < 0.9:
        return str(random.choice(list(action.choices)))
    if not odd and action.dest in GOOD:
        return random.choice(GOOD[action.dest])
    if not odd and action.dest in ("output", "chart"):
        return random.choice(GOOD_OUTPUTS[name] if action.dest == "output" else ["chart.svg"])
    if option in OTHER:
        return random.choice(OTHER[option])
    if action.dest in ("output", "key", "chart"):
        if pick < 0.6:
            return random.choice(("out.svg", "out.pdf", "out.png", "out.csv"))
        return random.choice(OUTPUTS)
    if action.dest in ("case", "cases"):
        return random.choice(INPUTS)
    if action.dest in ("mother", "father"):
        return random.choice(GENOTYPES)
    if action.dest in ("start", "stop", "answer", "prior"):
        return random.choice(("1/2", "2/3", "1/10", "0", "1", "66,7 %", "x", some_text(random)))
    return random.choice(NUMBERS)


def command_line(random):
    """A subcommand with some of its options, most of what it needs, and a little of the odd."""
    name = random.choice([*cli.COMMANDS, "solve", "solve", "explain"])
    odd = random.random() < 0.5
    words, positional = [], []
    for action in actions_of(name):
        if not action.option_strings:
            if action.nargs == "?" and random.random() < 0.3:
                continue
            many = random.choice((1, 1, 1, 2, 3)) if action.nargs == "+" else 1
            positional += [value_for(name, action, random, odd) for _ in range(many)]
            continue
        likely = 0.95 if action.required or action.dest == "output" else 0.15
        if action.dest in ("values", "answer"):
            likely = 0.7
        if action.dest in ("cluster", "topics") and not odd:
            continue
        if action.dest == "json":
            likely = 0.5
        if random.random() > likely:
            continue
        option = random.choice(action.option_strings)
        if action.nargs == 0:
            words.append([option])
        elif option.startswith("--") and random.random() < 0.3:
            words.append([f"{option}={value_for(name, action, random, odd)}"])
        else:
            words.append([option, value_for(name, action, random, odd)])
    words += [[word] for word in positional]
    if random.random() < 0.3:
        random.shuffle(words)
    line = [word for each in words for word in each]
    if odd and random.random() < 0.2:
        word = random.choice((*WORDS, "--", "-h", "--jsn", "-x", "--json=1", "@case.json", "-o"))
        line.insert(random.randrange(len(line) + 1), word)
    if odd and random.random() < 0.06 and line:
        del line[random.randrange(len(line))]
    return [name, *line] if not odd or random.random() > 0.02 else [random.choice(WORDS), *line]


def fill(folder, random):
    """Put the files that command lines name into `folder`; return what standard input holds."""
    case = some_case(random)
    (folder / "case.json").write_text(case, encoding="utf-8")
    (folder / "case2.svg").write_text(some_case(random), encoding="utf-8")
    lines = [some_case(random) for _ in range(random.randrange(4))]
    (folder / "cases.jsonl").write_text("\n".join(lines), encoding="utf-8")
    broken = broken_case(random)[0]
    (folder / "broken.json").write_bytes(broken)
    (folder / "empty.json").touch()
    (folder / "class.csv").write_bytes(class_table(random))
    (folder / "sub").mkdir()
    (folder / "link.pdf").symlink_to("elsewhere.pdf")
    return random.choice((case.encode(), "\n".join(lines).encode(), broken, b"", b"\x00"))


def class_table(random):
    names = ["student", "case", "question", "answer"]
    rows = [names if random.random() < 0.8 else random.sample(names, 3)]
    for _ in range(random.randrange(6)):
        case = random.choice(("case", "case", "case2", "cases:1", "1", "", "x"))
        question = random.choice(("0", "1", "a", "(b)", "", "9", "-1", "x"))
        rows.append(["s1", case, question, random.choice((some_text(random), "2/3", "1/2", ""))])
    separator = random.choice((",", ",", ";", "\t"))
    text = "\n".join(separator.join(f'"{each}"' for each in row) for row in rows)
    return text.encode(random.choice(("utf-8", "utf-8-sig", "cp1251", "utf-16")), "replace")


def attempt(random):
    """Run one command line; return it and the kinds of outcome."""
    line = command_line(random)
    folder = Path(tempfile.mkdtemp(prefix="fuzz-"))
    stdin = fill(folder, random)
    before = contents(folder)
    back = os.getcwd()
    os.chdir(folder)
    served = cli.command("app")  # makes sure of the module that is kept from serving below
    try:
        status, out, err = run(line, stdin, served)
        check(line, status, out, err, stdin, before, contents(folder))
        kinds = Counter({f"{line[0] if line[0] in cli.COMMANDS else '(none)'}: {status}": 1})
        if line[0] == "solve" and status == 0 and as_json(line) and "--float" not in line:
            kinds += compare(line, out, stdin, folder)
        if status == 1:
            kinds[f"status 1: {err.splitlines()[-1][:90]}"] += 1
    except Exception as error:
        error.args = (f"{line!r}: {error}",)
        raise
    finally:
        os.chdir(back)
        shutil.rmtree(folder)
    return repr(line).encode(), kinds


def run(line, stdin, served):
    from risk.screens import serve

    out, err = io.StringIO(), io.StringIO()
    real, serve.main = serve.main, lambda _: 0
    os.environ["TWOTHIRDS_TRACEBACK"] = "1"
    try:
        status = cli.main(list(line), Streams(io.BytesIO(stdin), out, err))
    finally:
        serve.main = real
        del os.environ["TWOTHIRDS_TRACEBACK"]
    return status, out.getvalue(), err.getvalue()


def contents(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def as_json(line):
    """Tell whether a command line asks for JSON; words behind ``--`` name cases."""
    return "--json" in line[: line.index("--") if "--" in line else None]


def check(line, status, out, err, stdin, before, after):
    assert status in (0, 1, 2, 3, 4), f"exit status {status}"
    assert status == 0 or err.strip(), "a failure without a word"
    assert "Traceback" not in err, err
    for each in err.splitlines():
        assert each.isprintable(), f"a line that cannot be shown: {each!r}"
        longest = 1000 + max((len(word) for word in line), default=0)  # a path is shown whole
        assert len(each) < longest, f"a line of {len(each)} characters: {each[:200]}"
    if status == 2 and "usage:" not in err:
        assert all(each.strip() for each in err.splitlines()), f"an empty line: {err!r}"
    out.encode("utf-8")
    if as_json(line) and (out or status != 2):
        json_only(out)
    if status != 0 and not as_json(line) and line[0] not in ("solve", "explain", "check"):
        assert not out, f"output beside a failure: {out[:200]!r}"
    assert not [name for name in after if name.endswith(".part")], "a temporary file is left"
    for name, content in before.items():
        # An input that the command line does not name as an output stays as it is.
        if name not in line and not any(each.endswith(f"={name}") for each in line):
            assert after.get(name) == content, f"{name} was changed"
    for name in ("case.json", "class.csv", "cases.jsonl"):
        assert after.get(name) == before[name] or line[0] == "practice", f"the input {name} is lost"
    made = {name for name in after if after[name] != before.get(name)}
    assert status == 0 or not made, f"{made} written beside a failure: {err}"
    for name in made:
        if line[0] not in ("practice", "mark"):  # their lines go to a file of any name
            whole(name, after[name])


def whole(name, content):
    marks = {
        ".pdf": (b"%PDF-", b"%%EOF"),
        ".png": (b"\x89PNG", b"IEND"),
        ".svg": (b"<", b"</svg>"),
        ".csv": (b"\xef\xbb\xbf", b"\n"),
    }
    start, end = marks.get(Path(name).suffix.lower(), (b"", b""))
    assert content.startswith(start), f"{name} starts with {content[:20]!r}"
    assert end in content[-64:], f"{name} ends with {content[-20:]!r}"


def json_only(out):
    if not out.startswith("usage:"):
        try:
            json.loads(out)
        except ValueError:
            for each in out.splitlines():
                json.loads(each)


def compare(line, out, stdin, folder):
    """Hold the answers to one small case against the brute force."""
    sources = [each for each in line[1:] if each in INPUTS]
    if len(sources) != 1 or not out.startswith("{\n") or sources[0].endswith(".jsonl"):
        return Counter()
    content = stdin if sources[0] == "-" else (folder / sources[0]).read_bytes()
    case = oracle.load(content.decode("utf-8-sig"))
    if sum(int(person.get("count") or 1) for person in case["people"]) > MOST_PEOPLE:
        return Counter()
    if len(case["condition"].get("variants") or []) > 2:
        return Counter()
    case = without_nulls(case)
    truth = oracle.Oracle(case)
    for wanted, got in zip(truth.answers(), json.loads(out)["answers"], strict=True):
        pairs = [(wanted, got.get("probability"), got["exact"])]
        if isinstance(wanted, dict):
            exact = got["exact"] or {}
            pairs = [
                (wanted.get(n, Fraction(0)), got["distribution"][n], exact.get(n))
                for n in got["distribution"]
            ]
        for value, number, fraction in pairs:
            assert abs(float(value) - number) < 1e-12, f"{got} is not {float(value)}"
            assert fraction is None or Fraction(fraction) == value, f"{got} is not {value}"
    return Counter({"answers equal to brute force": 1})


def without_nulls(value):
    if isinstance(value, dict):
        return {key: without_nulls(each) for key, each in value.items() if each is not None}
    return [without_nulls(each) for each in value] if isinstance(value, list) else value
