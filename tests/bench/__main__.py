"""Time Two-Thirds and pyAgrum side by side: ``python -m tests.bench`` prints tables.

Both are timed in one run, by turns, and the shortest of several times counts, so that what else
the machine is doing falls on both.  Times are processor time, of this process or of the program
that was started (whole programs: start, read, check, solve, write).  Every answer of a family is
compared with the peer's.  Nothing is written and nothing is asserted: the tables are for reading.
"""

# ruff: noqa: T201 - a program that prints

from __future__ import annotations

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
import timeit
from pathlib import Path

from tests.bench.families import KINDS, bits, kindred

#: Seconds that the runs of one turn take together.
_TURN = 0.02

ROOT = Path(__file__).resolve().parents[2]
SIZES = (10, 30, 100, 300, 1000, 3000, 10000)
#: What one family may use, in bytes: pyAgrum asks for any size where loops interlock.
MOST_MEMORY = 6 << 30

WHOLE = [
    # (what, kind, families, people of each, float, goal: times as fast as the peer)
    ("200 families", "unlooped", 200, 30, False, 3),
    ("50 cousin marriages", "cousin marriages", 1, 1000, False, 1),
    ("one family", "unlooped", 1, 3000, False, 1),
    ("one family", "X-linked with mutation", 1, 3000, True, 2),
]


def shortest(jobs, seconds=1.0):
    """The shortest processor time of each job, done by turns for so many seconds.

    As `timeit` does it a turn is many runs of a quick job, and cycles are not looked for.
    """
    timers = [timeit.Timer(job, timer=time.process_time) for job in jobs]
    numbers = [max(1, int(_TURN / max(timer.timeit(1), 1e-6))) for timer in timers]
    best = [float("inf")] * len(jobs)
    began, turns = time.perf_counter(), 0
    while turns < 3 or (time.perf_counter() - began < seconds and turns < 50):
        for place, (timer, number) in enumerate(zip(timers, numbers, strict=True)):
            best[place] = min(best[place], timer.timeit(number) / number)
        turns += 1
    return best


def anew(case, arithmetic="exact"):
    """Solve a case as for the first time: a plan kept from the last time would be too easy."""
    from risk.actions import solve
    from risk.model.network import _kept_plan

    _kept_plan.cache_clear()
    return solve(case, arithmetic)


def in_process(sizes):
    """From a case object to every answer, in this process."""
    from risk.actions import load, solve
    from tests.bench.peer import Peer

    print("\nIn process, from a case object to every answer; times in milliseconds")
    print(
        f"{'family':24}{'people':>7}{'bits':>7}{'exact':>10}{'float':>10}"
        f"{'peer':>10}{' (build':>10}{'infer)':>10}{'exact x':>9}{'float x':>9}{'differ':>9}"
    )
    for kind, options in KINDS.items():
        for size in sizes:
            data = kindred(5, size, **options)
            case = load(json.dumps(data))
            exact, floats = solve(case), solve(case, "float")
            built = Peer(data)
            try:
                theirs = built.infer()
            except Exception as error:  # noqa: BLE001 - whatever the peer fails with is said
                [quick] = shortest([lambda: anew(case, "float")])  # noqa: B023
                print(f"{kind:24}{size:7}{'float':>17}{1000 * quick:10.2f}  peer: {error}"[:110])
                continue
            differ = max(
                abs(chance.value - other)
                for solution in (exact, floats)
                for person in solution.people
                for chance, other in zip(person.disease_alleles, theirs[person.id], strict=False)
            )
            ours, quick, build, infer = (
                1000 * seconds
                for seconds in shortest(
                    [
                        lambda: anew(case),  # noqa: B023 - called before the loop goes on
                        lambda: anew(case, "float"),  # noqa: B023
                        lambda: Peer(data),  # noqa: B023
                        built.infer,
                    ]
                )
            )
            peer = build + infer
            print(
                f"{kind:24}{size:7}{bits(exact):7}{ours:10.2f}{quick:10.2f}{peer:10.2f}"
                f"{build:10.2f}{infer:10.2f}{peer / ours:9.1f}{peer / quick:9.1f}{differ:9.0e}",
                flush=True,
            )


def growth():
    """How our time grows with people, with loops and with the length of the fractions."""
    from risk.actions import load, solve

    rows = [(f"{n} people", n, {}) for n in SIZES]
    rows += [(f"1,000 people, {n} cousin marriages", 1000, {"cousins": n}) for n in (10, 30, 100)]
    rows += [
        (f"1,000 people, allele frequency {q}", 1000, {"frequency": q})
        for q in ("1/2", "0.0123456789")
    ]
    print("\nGrowth, from a case object to every answer; times in milliseconds")
    print(f"{'':44}{'bits':>7}{'exact':>10}{'float':>10}{'float, us a person':>20}")
    for what, people, options in rows:
        case = load(json.dumps(kindred(5, people, mode="autosomal_recessive", **options)))
        exact, quick = shortest([lambda: anew(case), lambda: anew(case, "float")])  # noqa: B023
        print(
            f"{what:44}{bits(solve(case)):7}{1000 * exact:10.2f}{1000 * quick:10.2f}"
            f"{1e6 * quick / people:20.1f}",
            flush=True,
        )


def loops():
    """Families that marry at random within a generation: what interlocking costs."""
    from risk.actions import load, solve
    from risk.inference.condition import Conditioned
    from risk.model.family import Family
    from risk.model.network import make_network
    from risk.problems import TooLarge
    from tests.strategies import random_family

    print("\nInterlocked loops: couples of relatives, at random within a generation")
    print(
        f"{'people':>7}{'couples':>9}{'seed':>6}{'':>7}{'plan, s':>9}{'entries':>12}{'largest':>12}"
        f"{'fixed':>7}{'runs':>6}{'solve, s':>10}"
    )
    for people, couples in ((100, 20), (300, 30), (300, 50), (300, 80), (1000, 50), (1500, 200)):
        for seed in (1, 2, 3):
            case = load(
                json.dumps(random_family(seed, people, loops=couples, mode="autosomal_recessive"))
            )
            for arithmetic in ("exact", "float"):
                family = Family(case, floating=arithmetic == "float")
                before = time.process_time()
                made = make_network(family)
                planned = time.process_time() - before
                plan = made.plan
                fixed = plan.fixed if isinstance(plan, Conditioned) else ()
                runs = plan.cost // plan.run.cost if fixed else 1
                try:
                    made.check_size()
                    before = time.process_time()
                    solve(case, arithmetic)
                    took = f"{time.process_time() - before:10.1f}"
                except TooLarge:
                    took = f"{'refused':>10}"
                print(
                    f"{people:7}{couples:9}{seed:6}{arithmetic:>7}{planned:9.2f}{plan.cost:12.2g}"
                    f"{plan.largest:12.2g}{len(fixed):7}{runs:6}{took}",
                    flush=True,
                )


def program(command):
    """Run a program; return its processor time in seconds and its peak memory in MB."""
    with open(os.devnull, "wb") as nothing:
        process = subprocess.Popen(command, cwd=ROOT, stdout=nothing)
        _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"failed: {command}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def programs(turns):
    """Whole programs: start, read, check, solve, write."""
    print("\nWhole programs; processor time in seconds (peak memory in MB)")
    print(f"{'family':24}{'people':>9}{'ours':>16}{'peer':>16}{'ratio':>8}{'goal':>7}")
    with tempfile.TemporaryDirectory() as folder:
        for what, kind, number, size, floating, goal in WHOLE:
            path = Path(folder) / "cases.jsonl"
            lines = [json.dumps(kindred(100 + n, size, **KINDS[kind])) for n in range(number)]
            path.write_text("\n".join(lines) + "\n", encoding="utf-8")
            ours = [sys.executable, "-m", "risk", "solve", "--json", str(path)]
            ours += ["--float"] if floating else []
            theirs = [sys.executable, "-m", "tests.bench.peer", str(path)]
            runs = [(program(ours), program(theirs)) for _ in range(turns)]
            (mine, my_memory), (peer, peer_memory) = map(min, zip(*runs, strict=True))
            print(
                f"{what + (' --float' if floating else ''):24}{f'{number} x {size}':>9}"
                f"{f'{mine:.2f} ({my_memory:.0f})':>16}{f'{peer:.2f} ({peer_memory:.0f})':>16}"
                f"{peer / mine:8.2f}{goal:7}  {kind}",
                flush=True,
            )
        path.write_text(
            json.dumps(kindred(5, 100_000, mode="autosomal_recessive")), encoding="utf-8"
        )
        command = [sys.executable, "-m", "risk", "solve", "--json", "--float", str(path)]
        seconds, memory = program(command)
        print(f"{'one family --float':24}{'100000':>9}{f'{seconds:.2f} ({memory:.0f})':>16}")
        path.write_text(json.dumps(kindred(5, 10, mode="autosomal_recessive")), encoding="utf-8")
        command = [sys.executable, "-m", "risk", "solve", "--json", str(path)]
        runs = [
            (program(command)[0], program([sys.executable, "-c", "pass"])[0])
            for _ in range(3 * turns)
        ]
        mine, nothing = map(min, zip(*runs, strict=True))
        print(f"cold start: {mine:.3f} s, which is {mine / nothing:.1f} x `python -c pass`")


def main():
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--largest", type=int, default=10_000, help="largest family in process")
    parser.add_argument("--turns", type=int, default=5, help="runs of each whole program")
    parser.add_argument("--only", choices=("in-process", "growth", "loops", "programs"))
    options = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    print(f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}")
    if options.only in (None, "programs"):
        programs(options.turns)
    if options.only in (None, "in-process"):
        in_process([size for size in SIZES if size <= options.largest])
    if options.only in (None, "growth"):
        growth()
    if options.only in (None, "loops"):
        loops()


if __name__ == "__main__":
    main()
