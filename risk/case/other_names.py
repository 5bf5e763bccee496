"""Keys that people write and the format does not have: what they are called here, in words.

The nearest spelling is a bad guide where a word means the opposite (``unaffected``) or another
thing (``deceased``, ``married``, ``false_positive``), so such words are told what to write.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection

from risk.problems import nearest, shown

#: How alike a word must be to a known key to be taken for a slip of the pen.
_ALIKE = 0.7

Say = str | Callable[[object], str]


def key_meant(key: str, value: object, known: Collection[str]) -> tuple[str, str]:
    """Return the known key that an unknown one stands for, and what to write; ``""`` for neither.

    `value` is what stands at the key, and `known` are the keys of the object it stands in.
    """
    name = re.sub(r"[\W_]", "", key).lower()
    if name not in {re.sub("_", "", each) for each in known}:
        for mark, words in _OTHERWISE.items():
            if mark in known and name in words:
                meant, say = words[name]
                told = say if isinstance(say, str) else say(value)
                return (meant if meant in known else ""), f"; {told}"
        for meant in _OTHER_NAMES.get(name, ()):
            if meant in known:
                return meant, f"; did you mean {shown(meant)}?"
    meant = nearest(key, known, _ALIKE)
    return meant, f"; did you mean {shown(meant)}?" if meant else ""


def _flag(key: str, yes: str, no: str) -> Callable[[object], str]:
    """Return what says to write `key` with another word for true and for false."""

    def say(value: object) -> str:
        if isinstance(value, bool):
            return f'write "{key}": {yes if value else no}'
        return f'write "{key}": {yes}, or "{key}": {no} for its opposite'

    return say


_ILL = ("affected", _flag("affected", "true", "false"))
_WELL = ("affected", _flag("affected", "false", "true"))
_DEAD = ("status", _flag("status", '"deceased"', '"alive"'))
_ALIVE = ("status", _flag("status", '"alive"', '"deceased"'))
_UNBORN = ("status", 'a pregnancy is a person of its own with "status": "pregnancy"')
_TESTED = ("tests", 'write "tests": [{"test": NAME, "result": "negative"}] (or "positive")')
_PARTNER = ("", 'a couple is known by its children, or stands under "couples"')
_CHILDREN = ("", 'each child is a person who names "father" and "mother"')
_NO_DATE = ("age", 'no dates of birth stand here; write "age" in years')
_COUPLE = ("separated", 'leave it out: two partners are together unless "separated" is true')

#: By a key that only one kind of object knows: words, the key each stands for, what to write.
_OTHERWISE: dict[str, dict[str, tuple[str, Say]]] = {
    "roles": {
        **dict.fromkeys(("unaffected", "nonaffected", "notaffected", "healthy", "well"), _WELL),
        **dict.fromkeys(("ill", "sick", "diseased", "disease", "infected"), _ILL),
        **dict.fromkeys(("dead", "deceased", "died"), _DEAD),
        **dict.fromkeys(("alive", "living"), _ALIVE),
        **dict.fromkeys(("pregnant", "pregnancy", "unborn", "fetus"), _UNBORN),
        **dict.fromkeys(("positive", "negative", "tested", "result", "testresult"), _TESTED),
        **dict.fromkeys(("partner", "partners", "spouse", "husband", "wife", "married"), _PARTNER),
        **dict.fromkeys(("child", "children", "son", "daughter"), _CHILDREN),
        **dict.fromkeys(("birth", "birthdate", "dateofbirth", "dob", "yearofbirth"), _NO_DATE),
        "parents": ("father", 'write "father" and "mother"'),
        "carrier": (
            "genotype",
            'write "genotype": 1 of somebody known for certain to have just one disease allele',
        ),
        "noncarrier": (
            "genotype",
            'write "genotype": 0 of somebody known for certain to have no disease allele',
        ),
        "proband": ("roles", 'write "roles": ["proband"]'),
        "consultand": ("roles", 'write "roles": ["consultand"]'),
    },
    "sensitivity": {
        **dict.fromkeys(
            ("falsepositive", "falsepositives", "falsepositiverate"),
            ("specificity", 'write "specificity": one minus the chance of a false positive'),
        ),
        **dict.fromkeys(
            ("falsenegative", "falsenegatives", "falsenegativerate"),
            ("sensitivity", 'write "sensitivity": one minus the chance of a false negative'),
        ),
        **dict.fromkeys(
            ("detectionrate", "detection"), ("sensitivity", 'did you mean "sensitivity"?')
        ),
    },
    "incidence": {
        **dict.fromkeys(("q", "allelefrequency"), ("allele", 'did you mean "allele"?')),
        "carrierfrequency": ("carrier", 'did you mean "carrier"?'),
        "noncarrier": ("carrier", 'write "carrier": one minus the share of non-carriers'),
        **dict.fromkeys(
            ("prevalence", "affected"),
            ("incidence", 'write "incidence": the share of the genotype at risk at conception'),
        ),
    },
    "inheritance": {
        "carrierfrequency": ("frequency", 'write "frequency": {"carrier": NUMBER}'),
        "allelefrequency": ("frequency", 'write "frequency": {"allele": NUMBER}'),
        **dict.fromkeys(
            ("incidence", "prevalence"), ("frequency", 'write "frequency": {"incidence": NUMBER}')
        ),
        "ageofonset": ("onset", 'did you mean "onset"?'),
    },
    "found": {
        "positive": ("result", _flag("result", '"positive"', '"negative"')),
        "negative": ("result", _flag("result", '"negative"', '"positive"')),
    },
    "maternal": {
        **dict.fromkeys(("male", "father"), ("paternal", 'did you mean "paternal"?')),
        **dict.fromkeys(("female", "mother"), ("maternal", 'did you mean "maternal"?')),
    },
    "zygosity": {
        "identical": ("zygosity", _flag("zygosity", '"monozygotic"', '"dizygotic"')),
        "fraternal": ("zygosity", _flag("zygosity", '"dizygotic"', '"monozygotic"')),
    },
    "consanguineous": {
        **dict.fromkeys(("married", "together"), _COUPLE),
        "divorced": ("separated", 'did you mean "separated"?'),
        "related": ("consanguineous", 'did you mean "consanguineous"?'),
        "unrelated": ("consanguineous", _flag("consanguineous", "false", "true")),
    },
    "at_least": {
        "atmost": ("", 'ask for "at_least" one more than that and take the answer from 1'),
        **dict.fromkeys(
            ("lessthan", "fewerthan"),
            ("", 'ask for "at_least" that number and take the answer from 1'),
        ),
        "morethan": ("at_least", 'write "at_least": one more'),
    },
}

#: What people call a key of the format, in small letters without signs, where the place tells
#: which one is meant.
_OTHER_NAMES = {
    "person": ("people",),
    "persons": ("person", "people"),
    "individual": ("person", "people"),
    "individuals": ("people",),
    "family": ("people",),
    "members": ("people",),
    "pedigree": ("people",),
    "disease": ("condition",),
    "disorder": ("condition",),
    "mode": ("inheritance",),
    "dad": ("father",),
    "mum": ("mother",),
    "mom": ("mother",),
    "phenotype": ("affected",),
    "question": ("ask", "questions"),
    "label": ("name",),
    "description": ("vignette", "note"),
    "comment": ("note", "vignette"),
    "notes": ("note", "vignette"),
    "partner": ("partners",),
}
