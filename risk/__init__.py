"""Exact genetic risks for family trees, for teaching.

>>> import risk
>>> case = risk.example("healthy-sister")
>>> solution = risk.solve(case)
>>> solution.answers[0].probability.exact
Fraction(2, 3)

A case comes from a file (`read`), its text (`load`) or the bundled ones (`example`); `check` lists
what is wrong with a text.  `solve`, `explain`, `ladder` and `vary` answer, show the working,
let the facts come one by one, and change one value; `draw` and `draw_cross` make pictures;
`mark` marks an answer.  Results show themselves in a notebook and print as text;
`answers_table` and `people_table` are pandas tables.  `risk.actions` has everything else.
"""

from risk.offered import __dir__ as __dir__
from risk.offered import __getattr__ as __getattr__
from risk.version import __version__

__all__ = [
    "__version__",
    "answers_table",
    "check",
    "draw",
    "draw_cross",
    "example",
    "explain",
    "ladder",
    "load",
    "mark",
    "people_table",
    "read",
    "solve",
    "vary",
]
