"""Small whole numbers and their fractions in words, as both written and read."""

from __future__ import annotations

from types import MappingProxyType

CARDINALS = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen", "twenty",
)  # fmt: skip

TENS = MappingProxyType(
    {
        "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
        "eighty": 80, "ninety": 90,
    }
)  # fmt: skip

#: The names of 1/n: half, third, quarter or fourth, and so on, in the singular.
FRACTION_NAMES = MappingProxyType(
    {
        "half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7,
        "eighth": 8, "ninth": 9, "tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13,
        "fourteenth": 14, "fifteenth": 15, "sixteenth": 16, "seventeenth": 17, "eighteenth": 18,
        "nineteenth": 19, "twentieth": 20, "hundredth": 100, "thousandth": 1000,
    }
)  # fmt: skip


def in_words(number: int) -> str:
    """Return a count as a sentence has it: in words up to twenty, in figures above."""
    return CARDINALS[number] if number < len(CARDINALS) else f"{number:,}"
