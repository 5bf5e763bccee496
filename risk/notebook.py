"""What ``import risk`` offers: the actions, with results that show themselves in a notebook.

Results are the plain records that the actions return, with their case beside them, so that a
notebook can show a working as tables, a tree as a picture and a ladder as bars.  ``print`` gives
the same as the command line.  Nothing here computes; pages and pictures are made when they are
looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from os import PathLike
from typing import TYPE_CHECKING, Any, Self

from risk import actions
from risk.case.model import Case
from risk.model.answers import Solution

if TYPE_CHECKING:
    from pandas import DataFrame

    from risk.document.blocks import Block
    from risk.scene.shapes import Scene
    from risk.teaching.mark import Mark
    from risk.teaching.vary import Variation
    from risk.workings.step import Rung, Working

#: Notebooks bring their own type; only what carries meaning is set.
_STYLE = (
    "<style>"
    ".two-thirds-page .marker{font-weight:700;margin-right:.6em}"
    ".two-thirds-page .indent{margin-left:1.6em}"
    ".two-thirds-page .answer{font-weight:600}"
    ".two-thirds-page table{border-collapse:collapse;margin:.3em 0 .8em 1.6em}"
    ".two-thirds-page caption{display:none}"
    ".two-thirds-page th,.two-thirds-page td{padding:.1em .7em}"
    ".two-thirds-page .left{text-align:left}.two-thirds-page .right{text-align:right}"
    ".two-thirds-page tbody th{font-weight:400}"
    ".two-thirds-page .sum>*{border-top:1px solid currentColor}"
    ".two-thirds-page .result>*{font-weight:700}"
    "</style>"
)


class _Page:
    """A result that is shown as a page of blocks: HTML in a notebook, text when printed."""

    __slots__ = ()

    def _page(self) -> list[Block]:
        raise NotImplementedError

    def __str__(self) -> str:
        from risk.render.text_blocks import blocks_to_text

        return blocks_to_text(self._page()).rstrip("\n")

    def _repr_html_(self) -> str:
        from risk.render.html import blocks_to_html

        return f'{_STYLE}<div class="two-thirds-page">{blocks_to_html(self._page())}</div>'


def _with_caution(title: str, blocks: Sequence[Block]) -> list[Block]:
    from risk.caution import CAUTION
    from risk.document.blocks import Caution, Heading

    return [Heading(title, 1), *blocks, Caution(CAUTION)]


@dataclass(frozen=True, slots=True)
class Solved(_Page, Solution):
    """The answers of `case`: a `Solution` that shows itself, and as pandas tables."""

    case: Case

    def _page(self) -> list[Block]:
        from risk.document.answers import solution_blocks

        return solution_blocks(self.case, self)

    def table(self) -> DataFrame:
        """Return the answers as a pandas table; see `risk.render.frame.answers_frame`."""
        return actions.answers_table(self.case, self)

    def people_table(self) -> DataFrame:
        """Return everyone's chances as a pandas table; see `risk.render.frame.people_frame`."""
        return actions.people_table(self.case, self)


class Workings(_Page, tuple["Working", ...]):
    """The working of each question of `case`, in order."""

    case: Case

    def __new__(cls, workings: Iterable[Working], case: Case) -> Self:
        made = super().__new__(cls, workings)
        made.case = case
        return made

    def __getnewargs__(self) -> tuple[tuple[Working, ...], Case]:
        return tuple(self), self.case  # what a copy is made of

    def _page(self) -> list[Block]:
        from risk.document.working import workings_blocks
        from risk.wording.family import title_in_words

        blocks = [block for working in workings_blocks(self, self.case) for block in working]
        return _with_caution(title_in_words(self.case), blocks)


class Ladder(_Page, tuple["Rung", ...]):
    """The rungs of one question's evidence ladder, from nothing known to all facts known."""

    case: Case
    question: int

    def __new__(cls, rungs: Iterable[Rung], case: Case, question: int) -> Self:
        made = super().__new__(cls, rungs)
        made.case, made.question = case, question
        return made

    def __getnewargs__(self) -> tuple[tuple[Rung, ...], Case, int]:
        return tuple(self), self.case, self.question

    def _page(self) -> list[Block]:
        from risk.document.ladder import ladder_blocks
        from risk.wording.family import title_in_words

        asked = self.case.questions[self.question]
        return _with_caution(title_in_words(self.case), ladder_blocks(self, asked, self.case))

    def table(self) -> DataFrame:
        """Return the rungs as a pandas table: what is known, the chance and the exact chance."""
        import pandas as pd

        rows = [(rung.text, rung.chance.value, rung.chance.exact) for rung in self]
        return pd.DataFrame(rows, columns=["known", "probability", "exact"])


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing, which a notebook shows as it is."""

    scene: Scene

    def _repr_svg_(self) -> str:
        from risk.render.svg import to_svg

        return to_svg(self.scene, embed_font=False).partition("?>\n")[2]

    def save(self, path: str | PathLike[str]) -> None:
        """Write the drawing to `path` as SVG, PDF or PNG, as the name ends; whole or not at all.

        Raises `InputError` for another ending, and `OSError` where it cannot be written.
        """
        from pathlib import Path

        from risk.output import write_whole
        from risk.render.figure import check_ending, figure_bytes

        check_ending(path)
        write_whole(Path(path), figure_bytes(self.scene, path, "a4"))


@dataclass(frozen=True, slots=True)
class Varied(_Page):
    """The answers of `case` along values of one of its parameters, as a table and as curves."""

    variation: Variation
    case: Case

    def _page(self) -> list[Block]:
        from risk.document.variation import variation_blocks

        return variation_blocks(self.variation, self.case)

    def plot(self, *, log: bool = False) -> Picture:
        """Plot the answers; `log` spaces the values by their ratios."""
        return Picture(actions.variation_figure(self.variation, self.case, log=log))


@dataclass(frozen=True, slots=True)
class Marked(_Page):
    """What an answer to `case` is worth: `verdict`, `slips` and `feedback` are those of `mark`."""

    mark: Mark
    case: Case

    @property
    def verdict(self) -> str:
        """``right``, ``rounded``, ``slip`` or ``wrong``."""
        return self.mark.verdict

    @property
    def slips(self) -> tuple[str, ...]:
        """The names of the slips that lead to the answer."""
        return self.mark.slips

    @property
    def feedback(self) -> str:
        """A few sentences for the student."""
        return self.mark.feedback

    def _page(self) -> list[Block]:
        from risk.document.marks import mark_blocks

        return mark_blocks(self.mark, self.case)


def solve(case: Case, arithmetic: actions.Arithmetic = "exact") -> Solved:
    """Answer every question of `case`; see `risk.actions.solve`."""
    found = actions.solve(case, arithmetic)
    return Solved(found.log_likelihood, found.answers, found.people, case)


def explain(case: Case, arithmetic: actions.Arithmetic = "exact") -> Workings:
    """Return the working of every question of `case`; see `risk.actions.explain`."""
    return Workings(actions.explain(case, arithmetic), case)


def ladder(
    case: Case, question: int = 0, order: Sequence[str] | None = None, *, alone: bool = False
) -> Ladder:
    """Return how one chance moves as the facts become known; see `risk.actions.ladder`."""
    return Ladder(actions.ladder(case, question, order, alone=alone), case, question)


def draw(case: Case, risk: str | None = None) -> Picture:
    """Draw the family tree; `risk` is ``carrier``, ``disease_allele`` or ``affected``."""
    return Picture(actions.draw(case, risk))


def draw_cross(mother: str, father: str, **follow: Any) -> Picture:
    """Draw the Punnett square of two genotypes; for `follow` see `risk.actions.cross`."""
    return Picture(actions.cross_figure(actions.cross(mother, father, **follow)))


def vary(
    case: Case,
    parameter: str | Sequence[str],
    values: Sequence[str] = (),
    arithmetic: actions.Arithmetic = "exact",
) -> Varied:
    """Return the answers of `case` as one value changes; see `risk.actions.vary`."""
    return Varied(actions.vary(case, parameter, values, arithmetic), case)


def mark(case: Case, answer: str, question: int = 0) -> Marked:
    """Mark an answer as a student typed it; see `risk.actions.mark`."""
    return Marked(actions.mark(case, answer, question), case)
