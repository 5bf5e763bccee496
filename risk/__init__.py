"""Exact genetic risks for family trees, for teaching.

>>> import risk
>>> case = risk.example("healthy-sister")
>>> solution = risk.solve(case)
>>> solution.answers[0].probability.exact
Fraction(2, 3)

`risk.read` reads a case file, `risk.load` its text; `risk.check` lists what is wrong with one.
`risk.solve` answers its questions and `risk.explain` gives the workings; `risk.answers_table` and
`risk.people_table` are pandas tables of the answers.  `risk.actions` has everything else.
"""

from risk.actions import (
    answers_table,
    check,
    example,
    explain,
    load,
    people_table,
    read,
    solve,
)
from risk.version import __version__

__all__ = [
    "__version__",
    "answers_table",
    "check",
    "example",
    "explain",
    "load",
    "people_table",
    "read",
    "solve",
]
