"""Throw broken input at one face for some minutes: ``python -m tests.fuzz reader --minutes 10``.

``reader`` gets broken case files, ``number`` texts for numbers, ``command`` command lines for every
subcommand (in this process).  Attempt N of a seed is always the same, so that ``--seed S --only N``
shows it again.  What failed is printed with its number; the exit status is 1 then.  Minutes are
processor time.
"""

# ruff: noqa: T201 - a program that prints

from __future__ import annotations

import argparse
import sys
import time
import traceback
from collections import Counter
from importlib import import_module
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # oracle

#: Failures of one kind after which no more of the kind are shown.
SHOWN = 3
#: An attempt that takes longer, in seconds of processor time, is counted and the worst ones shown.
SLOW = 5.0


def main():
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("face", choices=("reader", "number", "command"))
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="make only this attempt, and show its input")
    options = parser.parse_args()
    attempt = import_module(f"tests.fuzz.{options.face}").attempt
    if options.only is not None:
        content, kinds = attempt(Random(f"{options.seed}:{options.only}"))
        print(content, dict(kinds), sep="\n")
        return 0
    start, number = time.process_time(), 0
    kinds, failures, slow = Counter(), Counter(), []
    while time.process_time() - start < options.minutes * 60:
        before = time.process_time()
        try:
            kinds += attempt(Random(f"{options.seed}:{number}"))[1]
        except Exception as error:  # noqa: BLE001 - whatever falls is what is looked for
            lines = traceback.extract_tb(error.__traceback__)
            kind = f"{type(error).__name__} at {lines[-1].filename}:{lines[-1].lineno}"
            failures[kind] += 1
            if failures[kind] <= SHOWN:
                print(f"attempt {number}: {kind}: {str(error)[:600]}", flush=True)
        took = time.process_time() - before
        if took > SLOW:
            slow.append((round(took, 1), number))
        number += 1
    minutes = (time.process_time() - start) / 60
    print(f"{options.face}, seed {options.seed}: {number:,} inputs in {minutes:.1f} minutes")
    for kind, count in kinds.most_common(40):
        print(f"  {count:>9,}  {kind}")
    print(f"failures: {dict(failures) or 'none'}")
    print(f"slower than {SLOW:g} s: {len(slow)} {sorted(slow, reverse=True)[:5] or ''}")
    return 1 if failures else 0


sys.exit(main())
