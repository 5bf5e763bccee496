"""What the page Crosses asks and says of a gene on an autosome, and of one on the X."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st

from risk.screens import session

SIDES = ("Mother", "Father")
#: A choice cannot hold a raised letter, but there are signs that look like one.
_SIGNS = str.maketrans({"A": "ᴬ", "a": "ᵃ", "^": ""})


@dataclass(frozen=True)
class Place:
    """A place of the gene: the choices there, each tab (`where`) with its own, and the words.

    `genotypes` are those of a mother and of a father; `starts` gives the two parents that each
    tab begins with; `schemes` what can be done with the offspring, by what it is called; `of` is
    put into the keys, so that the choices for two places are kept apart; `shown` writes a
    genotype on its button.  `passes` says what the parents pass on.  `fit` asks what `counts`
    are for: pairs of fields, each with its key, its first two counts and of whom these are.
    `tested` says which offspring count in a test cross, `prior` what is to be said before them,
    and `untested` who needs none.
    """

    genotypes: dict[str, tuple[str, ...]]
    starts: dict[str, tuple[str, str]]
    schemes: dict[str, str | None]
    passes: str
    fit: str
    counts: tuple[tuple[str, int, int, str], ...]
    prior: str
    tested: str = ""
    untested: str = ""
    of: str = ""
    shown: Callable[[str], str] = str

    @property
    def on_x(self) -> bool:
        return bool(self.of)

    def parents(self, where: str) -> tuple[str, str]:
        """The two parents of a tab; what is chosen for the square goes to the other tabs."""
        chosen = []
        for side, column, start in zip(SIDES, st.columns(2), self.starts[where], strict=True):
            with column:
                genotype = st.segmented_control(
                    side,
                    self.genotypes[side],
                    required=True,
                    wrap=True,
                    format_func=self.shown,
                    key=session.kept(self._parent_key(side, where), start),
                    on_change=self._carry if where == "square" else None,
                )
                chosen.append(str(genotype))
        return chosen[0], chosen[1]

    def scheme(self, where: str, mother: str, father: str, begin: int = 0) -> str | None:
        """What follows on the offspring of a tab's parents, as a command takes it."""
        names = list(self.schemes)
        key = session.kept(f"then{self.of}|{where}", names[begin])
        scheme = self.schemes[str(st.selectbox("And then", names, key=key))]
        if scheme is None or "{n}" not in scheme:
            return scheme
        key = session.kept(f"n{self.of}|{where}", 3)
        n = st.number_input("For so many generations", 1, 50, key=key)
        return scheme.format(mother=mother, father=father, n=int(n))

    def _parent_key(self, side: str, where: str) -> str:
        return f"{side.lower()}{self.of}|{where}"

    def _carry(self) -> None:
        for side in SIDES:
            for where in self.starts:
                st.session_state[self._parent_key(side, where)] = st.session_state[
                    self._parent_key(side, "square")
                ]


PLACES = {
    "On an autosome": Place(
        genotypes=dict.fromkeys(SIDES, ("AA", "Aa", "aa")),
        starts={
            "square": ("Aa", "Aa"),
            "generations": ("AA", "aa"),
            "offspring": ("Aa", "Aa"),
            "counts": ("Aa", "Aa"),
        },
        schemes={
            "Their offspring only": None,
            "F2: F1 among themselves": "F2",
            "Back cross to the mother": "backcross:{mother}:{n}",
            "Back cross to the father": "backcross:{father}:{n}",
            "Selfing": "selfing:{n}",
            "Sib mating": "sibs:{n}",
        },
        passes="Each parent passes on one of its two alleles, either with the same chance.",
        fit="Do the counts that a class has scored fit the cross?",
        counts=(("counts", 305, 95, ""),),
        prior="Chance of Aa before the offspring are seen",
    ),
    "On the X": Place(
        genotypes={"Mother": ("X^A X^A", "X^A X^a", "X^a X^a"), "Father": ("X^A Y", "X^a Y")},
        starts={
            "square": ("X^A X^a", "X^A Y"),
            "generations": ("X^A X^A", "X^a Y"),
            "offspring": ("X^A X^a", "X^A Y"),
            "counts": ("X^A X^a", "X^A Y"),
        },
        # Selfing is not among them: nobody with an X and a Y fertilises itself.
        schemes={
            "Their offspring only": None,
            "F2: F1 among themselves, and the reciprocal cross": "F2",
            "Back cross of the sons to the mother": "backcross:{mother}:{n}",
            "Back cross of the daughters to the father": "backcross:{father}:{n}",
            "Sib mating": "sibs:{n}",
        },
        passes=(
            "The mother passes on either of her two X with the same chance, the father his X or "
            "his Y: with his X the child is a daughter, with his Y a son."
        ),
        fit="Do the counts that a class has scored fit the cross, for either sex?",
        counts=(
            ("counts of daughters", 98, 0, "daughters, "),
            ("counts of sons", 51, 47, "sons, "),
        ),
        prior="Chance that she is heterozygous before the offspring are seen",
        tested=("Count her sons; her daughters too, where their father shows the recessive trait."),
        untested="A father needs no test: he shows the one allele he has.",
        of=" on X",
        shown=lambda genotype: genotype.translate(_SIGNS),
    ),
}
