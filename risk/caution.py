"""The caution that stands on every page: what this program is not for."""

from __future__ import annotations

#: One line, for the foot of drawings and pages.
CAUTION = "Educational use only. Not medical advice: consult a licensed genetic counsellor."

#: A paragraph, for reports and screens.
CAUTION_LONG = (
    "For teaching and learning only. This is not medical advice and must not be used for "
    "decisions about real people. Real families should consult a licensed genetic counsellor, "
    "who follows local practice. Use aliases, never names of real people."
)
