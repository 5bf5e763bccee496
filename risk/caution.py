"""The caution that every page, drawing sheet and text answer carries."""

from __future__ import annotations

#: One sentence, for the foot of a page or the end of an answer.
CAUTION = (
    "Educational, not medical advice, and not for decisions about real people: see a licensed "
    "genetic counsellor and follow local practice."
)

#: A short paragraph, for covers, help pages and summaries.
CAUTION_LONG = (
    "Two-Thirds is for teaching and learning genetics. Its numbers follow from the assumptions "
    "of an exercise; they are not medical advice and must not be used for decisions about real "
    "people. Anyone with a question about their own family should speak to a licensed genetic "
    "counsellor, and local practice and guidelines come first."
)
