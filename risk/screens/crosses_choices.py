"""What is chosen in the tabs of the page Crosses: the two parents, and what follows on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st

from risk.screens import session

SIDES = ("Mother", "Father")


@dataclass(frozen=True)
class Choices:
    """The choices for one place of the gene, each tab (`where`) with its own.

    `genotypes` are those of a mother and of a father; `starts` gives the two parents that each
    tab begins with; `schemes` what can be done with the offspring, by what it is called; `of` is
    put into the keys, so that the choices for two places are kept apart; `shown` writes a
    genotype on its button.
    """

    genotypes: dict[str, tuple[str, ...]]
    starts: dict[str, tuple[str, str]]
    schemes: dict[str, str | None]
    of: str = ""
    shown: Callable[[str], str] = str

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
