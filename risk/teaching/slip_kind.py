"""What a slip is, and what it is to have made one in a case.

Each slip is one `SlipKind` in the file of its theme, with its arithmetic and its words; `slips`
puts them in order, looks for those that can be made, and says which of them explain an answer best.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field
from typing import Literal

from risk.case.model import Case
from risk.teaching.slip_answers import Chances
from risk.teaching.slip_sets import Chosen, SetSlip

#: Changed cases with their one question, each with those whose facts or genotypes were changed.
Changed = Iterator[tuple[Case, tuple[str, ...]]]

#: At which line of the true working the student should look.
PartsAt = Literal[
    "difference",  # the first that the slip's own working does not have
    "fact",  # that of a fact left out
    "products",  # products still to be divided by their sum
    "passed on",  # what is passed on to the child
    "several people",  # the first table of several people
    "beyond",  # the first that says more than the slip does
    "parents",  # what comes from the parents
]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SlipKind:
    """A named way of going wrong: its words, how it is made, and how it stands to others.

    It is made in one or more of the four ways from `sets` to `of_true`.
    """

    name: str
    #: What whoever makes it did, in a few words.
    short: str
    #: Two sentences: what the answer leaves out, and what to think of instead.
    words: str | Callable[[Slip], str]

    #: Something is taken from or left out of a set of people.
    sets: SetSlip | None = None
    #: Other changed cases.
    changes: Callable[[Case], Changed] | None = None
    #: Wrong answers read off the working, or made of the answers to other questions.
    reads: Callable[[Case], Iterator[Chances]] | None = None
    #: Wrong answers made of the true one alone.
    of_true: Callable[[Chances], Iterator[Chances]] | None = None

    #: The kinds of facts that are left out, or taken for something else, of the people whom the
    #: slip is about; or the paths of such facts.
    forgets: tuple[str, ...] | Callable[[Slip], Collection[str]] = ()
    parts_at: PartsAt | Callable[[Slip], PartsAt] = "difference"

    #: Those that say more plainly what was done, where they lead to the same result.
    gives_way_to: tuple[str, ...] | Callable[[Slip], tuple[str, ...]] = ()
    #: It gives way to any other but the chance of the opposite.
    last: bool = False
    #: Those that do less than it of the same people, and are said where that is enough.
    includes: tuple[str, ...] = ()
    #: Those that do more than it of the same people, and are said where both lead there.
    part_of: tuple[str, ...] = ()
    #: Of several that lead there the likelier is said first.
    likely: int = 0

    #: It is one even where it leads to certainty: nobody forgets a half on the way to 1.
    to_certainty: bool = False
    #: It is only one where it moves the answer; "in part" is of some of those it might be about.
    felt: Literal["always", "in part"] | None = None
    #: It leaves a factor out, which makes a chance larger and never smaller.
    a_factor: bool = False
    #: It is no mistake where the allele is rare: the usual shortcut, if it leads near the truth.
    approximation: bool = False


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip and the answer that it leads to.

    `asked` is the true case with the one question that was asked, and `case` the changed one; it
    is None where nothing was changed but the working was left too early.  `people` are those whose
    facts or genotypes were changed; of a slip about a set of people `chosen` says how many of each
    record these are, and `split` whether some of alike people are among them and others are not.
    """

    kind: SlipKind
    result: Chances
    asked: Case = field(compare=False)
    case: Case | None = None
    people: tuple[str, ...] = ()
    chosen: Chosen = ()
    split: bool = False

    @property
    def name(self) -> str:
        return self.kind.name

    @property
    def said(self) -> str:
        """Two sentences: what the answer leaves out, and what to think of instead."""
        words = self.kind.words
        return words if isinstance(words, str) else words(self)
