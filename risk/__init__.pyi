# What `risk.offered` loads when it is asked for, for type checkers.

from risk.actions import answers_table, check, example, load, people_table, read
from risk.notebook import draw, draw_cross, explain, ladder, mark, solve, vary
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
