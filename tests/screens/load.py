"""A class at once: python -m tests.screens.load --sessions 30 --minutes 5.

Starts the app and drives it with so many real sessions over its websocket, each with a family of
its own that it edits every few seconds, as students do.  Prints how long an edit takes until the
run that draws its answer has come, and the server's memory; each run is also checked: the case that
the session holds is the one that was made in it, no other student's alias is on the page, and
the answers (afterwards, when no clock runs) are the engine's.  Asserts nothing.

A session here is a session to the server; no page is drawn, because thirty browsers on one
machine would measure the browsers.
"""

from __future__ import annotations

import argparse
import asyncio
import random
import re
import statistics
import sys
import time
from collections import defaultdict
from collections.abc import Awaitable, Callable
from contextlib import ExitStack
from dataclasses import dataclass, field, replace

import psutil

from risk import actions
from risk.case import edit
from risk.case.model import Case
from risk.case.values import typed_years
from risk.case.write import write_case
from risk.screens.questions import chance_html
from tests.screens import conftest
from tests.screens.measure import family
from tests.screens.wire import Page, Session

#: Seconds between two acts of a student, from and to.
THINK = (5.0, 10.0)
#: Acts of students and how often, in parts.
ACTS = {"phenotype": 6, "age": 2, "relative and undo": 2, "working and back": 1}
#: Acts whose time is that of an edit.  Coming in (first page, family restored) is told apart.
EDITS = ("phenotype", "age", "relative", "undo")
_ALIAS = re.compile(r"Student-\d+")
_FIGURE = re.compile(r'<span class="figure">(.*?)</span>')


@dataclass
class Findings:
    """What all students together have measured and seen."""

    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    faults: list[str] = field(default_factory=list)
    answers: dict[Case, set[tuple[str, ...]]] = field(default_factory=lambda: defaultdict(set))
    received: int = 0
    memory: list[tuple[str, float]] = field(default_factory=list)


class Student:
    """One session with a family that nobody else has."""

    def __init__(self, number: int, people: int, session: Session, findings: Findings) -> None:
        self.alias = f"Student-{number:03d}"
        self.case = edit.change_person(family(people), "I-1", name=self.alias)
        self.session = session
        self.findings = findings
        self.choose = random.Random(number)
        self.ids = [p.id for p in self.case.people if p.id not in ("I-1", "I-2", "II-2")]
        self.selected = ""

    async def timed(self, kind: str, act: Awaitable[Page], case: Case | None = None) -> None:
        """Do an act that makes `case` (or leaves it as it is), time it and look at the page."""
        start = time.perf_counter()
        page = await act
        self.findings.times[kind].append(time.perf_counter() - start)
        if case is not None:
            self.case = case
        self._look(kind, page)

    def _look(self, kind: str, page: Page) -> None:
        faults = [f"{self.alias}, {kind}: {error}" for error in page.errors]
        kept = [data["texts"]["case"] for data in page.data("twothirds_keeper")]
        if kept != [write_case(self.case)]:
            faults.append(f"{self.alias}, {kind}: the session holds another case")
        drawn = "".join(data["svg"] for data in page.data("twothirds_family_tree"))
        if set(_ALIAS.findall(drawn)) != {self.alias}:
            faults.append(f"{self.alias}, {kind}: the tree shows {set(_ALIAS.findall(drawn))}")
        figures = tuple(f for body in page.htmls() for f in _FIGURE.findall(body))
        if not figures:
            faults.append(f"{self.alias}, {kind}: no answer on the page")
        self.findings.answers[replace(self.case, title=None)].add(figures)
        self.findings.faults += faults

    async def begin(self) -> None:
        """Open the page, which the browser then gives the family of the last visit."""
        start = time.perf_counter()
        await self.session.open()
        self.findings.times["first page"].append(time.perf_counter() - start)
        kept = {"case": write_case(self.case)}
        await self.timed("restored", self.session.tell("twothirds_keeper", "restored", kept))

    async def act(self) -> None:
        kind = self.choose.choices(list(ACTS), list(ACTS.values()))[0]
        if kind == "working and back":
            await self.timed("page Answer", self.session.go("Answer"))
            await asyncio.sleep(3)
            await self.timed("page Family", self.session.go("Family"))
            return
        id = self.choose.choice(self.ids)
        if id != self.selected:
            picked = self.session.tell("twothirds_family_tree", "picked", id)
            await self.timed("select", picked)
            self.selected = id
            await asyncio.sleep(1)
        if kind == "phenotype":
            person = self.case.person(id)
            word, state = ("Not known", None) if person.affected is False else ("Unaffected", False)
            new = edit.change_person(self.case, id, affected=state)
            await self.timed(kind, self.session.choose(word, "Phenotype"), new)
        elif kind == "age":
            age = str(self.choose.randint(1, 99))
            new = edit.change_person(self.case, id, age=typed_years(age))
            await self.timed(kind, self.session.write(age, "Age in years"), new)
        else:
            before = self.case
            new, _ = edit.add_children(self.case, id, sex="female")
            await self.timed("relative", self.session.press("Daughter"), new)
            await asyncio.sleep(self.choose.uniform(*THINK))
            await self.timed("undo", self.session.press("Undo"), before)


async def attend(
    number: int, people: int, address: str, until: Callable[[], float], findings: Findings
) -> None:
    """One student's lesson: come in, then an act every few seconds until the end."""
    try:
        async with Session(address) as session:
            student = Student(number, people, session, findings)
            await student.begin()
            while True:
                pause = student.choose.uniform(*THINK)
                if time.monotonic() + pause > until():
                    break
                await asyncio.sleep(pause)
                await student.act()
            findings.received += session.received
    except Exception as error:  # noqa: BLE001 - whatever ends a session is a finding
        findings.faults.append(f"Student-{number:03d}: {type(error).__name__}: {error}")


async def lesson(address: str, pid: int, options: argparse.Namespace) -> Findings:
    """All students for the time asked for, and the server's memory meanwhile."""
    findings = Findings()
    server = psutil.Process(pid)

    def weigh(when: str) -> None:
        findings.memory.append((when, server.memory_info().rss / 2**20))

    weigh("server started")
    start = time.monotonic()
    end = start + 60 * options.minutes
    students = []
    for number in range(1, options.sessions + 1):
        task = attend(number, options.people, address, lambda: end, findings)
        students.append(asyncio.create_task(task))
        await asyncio.sleep(options.arrival / options.sessions)
    weigh("everybody there")
    minute = 1
    while minute <= options.minutes:
        await asyncio.sleep(max(0.0, start + 60 * minute - time.monotonic()))
        weigh(f"{minute} min")
        minute += 1
    await asyncio.gather(*students)
    weigh("everybody gone")
    cpu = server.cpu_times()
    findings.times["_server processor seconds"].append(cpu.user + cpu.system)
    if options.linger:
        # Streamlit keeps a session that has gone for two minutes, in case it comes back.
        await asyncio.sleep(options.linger)
        async with Session(address) as late:  # its coming makes the server look at the clock
            await late.open()
            weigh(f"{options.linger} s later")
    return findings


def wrong_answers(findings: Findings) -> list[str]:
    """The answers that were shown and are not those of the engine."""
    wrong = []
    for case, shown in findings.answers.items():
        chances = [answer.probability for answer in actions.solve(case).answers]
        said = "".join(chance_html(chance) for chance in chances if chance is not None)
        true = tuple(_FIGURE.findall(said))
        wrong += [f"shown {each}, the engine says {true}" for each in shown if each != true]
    return wrong


def tell(findings: Findings, options: argparse.Namespace) -> None:
    """Print what was found."""
    out = sys.stdout
    (cpu,) = findings.times.pop("_server processor seconds", [0.0])
    out.write(
        f"{options.sessions} sessions, {options.people} people a family, {options.minutes:g} min, "
        f"an act every {THINK[0]:g} to {THINK[1]:g} s\n\n"
    )
    out.write(f"{'ms until the run is over':<26}{'number':>8}{'median':>8}{'p95':>8}{'most':>8}\n")
    edits = [t for kind in EDITS for t in findings.times[kind]]
    for kind, times in [*findings.times.items(), ("all edits", edits)]:
        if times:
            times = sorted(times)
            at95 = times[min(len(times) - 1, int(0.95 * len(times)))]
            row = (statistics.median(times), at95, times[-1])
            out.write(f"{kind:<26}{len(times):>8}" + "".join(f"{1000 * t:>8.0f}" for t in row))
            out.write("\n")
    out.write("\nmemory of the server, MB: ")
    out.write(", ".join(f"{when} {mb:.0f}" for when, mb in findings.memory) + "\n")
    sent = findings.received / 2**20
    out.write(f"processor time of the server {cpu:.0f} s, sent {sent:.0f} MB\n")
    wrong = wrong_answers(findings)
    out.write(f"answers checked against the engine: {len(findings.answers)} cases, ")
    out.write(f"{len(wrong)} wrong\n")
    out.write(f"faults (errors, another's alias, another case): {len(findings.faults)}\n")
    for each in [*wrong, *findings.faults][:20]:
        out.write(f"  {each}\n")


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.screens.load")
    parser.add_argument("--sessions", type=int, default=30)
    parser.add_argument("--minutes", type=float, default=5)
    parser.add_argument("--people", type=int, default=30, help="people in each family")
    parser.add_argument("--arrival", type=float, default=10, help="seconds in which all come in")
    parser.add_argument("--linger", type=int, default=130, help="seconds to wait at the end")
    options = parser.parse_args(argv)
    with ExitStack() as stack:
        address, pid = stack.enter_context(conftest.app_process())
        findings = asyncio.run(lesson(address, pid, options))
    tell(findings, options)
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
