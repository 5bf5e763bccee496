"""What is wrong between the parts of a case file of which some have a wrong shape.

A number that cannot stand in its place gets a stand-in, and what else has a wrong shape is left
out, so that the rules of `risk.case.checks` run on all the rest.  What they then say of those
places, or of others only because of the gap, is not reported.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from pydantic_core import ValidationError

from risk.case.checks import check_case
from risk.case.model import QUESTION_KEYS, Case
from risk.case.schema import MOST_CHILDREN, MOST_ITEMS, validator
from risk.number import JsonNumber
from risk.problems import Problem, path_of

Loc = tuple[str | int, ...]


class Fault(NamedTuple):
    """A place of wrong shape: where only a number is wrong, one that could stand there.

    `meant` is the known key that an unknown one stands for, as far as that is clear.
    """

    loc: Loc
    number: JsonNumber | None = None
    meant: str = ""


#: What of the condition cannot be judged where its mode of inheritance cannot be read.
_BY_MODE: tuple[Loc, ...] = (
    ("frequency", "carrier"),
    ("frequency", "mutation_selection_balance"),
    ("penetrance", "male", "2"),
    ("viability", "male", "2"),
)
#: What members of a twin group must agree in.
_ZYGOSITY = ("zygosity", "monozygotic_chance")
#: How a test works, of which one key alone says nothing certain.
_KINDS_OF_TEST = ("detects", "sensitivity", "specificity", "likelihood")
#: Every key that a question can have.
_QUESTION_KEYS = {"ask", "at_least", "exactly"}.union(*(a + b for a, b in QUESTION_KEYS.values()))

#: Stand-ins for a condition, a couple and a test result that cannot be read.
_CONDITION = {"inheritance": "autosomal_recessive", "frequency": {"allele": "0"}}
_COUPLE = {"partners": ["?", "?"]}
_RESULT = {"test": "?"}
#: The same for ages of onset, and for a number of children, of which no other is too many.
_ONSET = [{"age": JsonNumber(age), "cumulative": JsonNumber(age)} for age in "01"]
_OF = JsonNumber(str(MOST_CHILDREN))
#: A question of each key that names people, for where it is not clear what is asked.
_ASKED = {"parents": "child_affected", "people": "both_carriers", "person": "carrier"}


def problems_of_sound_parts(data: object, faults: Iterable[Fault]) -> list[Problem]:
    """Check the parts of `data` beside `faults` against each other."""
    if not isinstance(data, dict):
        return []
    parts = _Parts(data, faults)
    try:
        case: Case = validator().validate_python(parts.whole())
    except ValidationError:
        return []
    all_ids = not any(person.id.startswith("? ") for person in case.people)
    skipped = {path_of(loc) for loc in parts.doubtful}
    return [
        problem
        for problem in check_case(case, all_ids=all_ids)
        if skipped.isdisjoint(_places_around(problem.path)) and problem.path not in parts.sums
    ]


def _places_around(path: str) -> Iterator[str]:
    """Yield `path` and each place that it lies in."""
    yield path
    for at, sign in enumerate(path):
        if sign in ".[":
            yield path[:at]


class _Parts:
    """A file with stand-ins for its faults; `doubtful` are the places that are not judged.

    Of `sums` only the whole is not judged, where something in them cannot be read.
    """

    def __init__(self, data: dict[str, Any], faults: Iterable[Fault]) -> None:
        self.doubtful: set[Loc] = set()
        self.sums: set[str] = set()
        self.data: dict[str, Any] = dict(data)
        self.wrong: dict[Loc, set[str | int]] = {}  # by object: keys that cannot be read
        self.unclear_tests: set[str] = set()  # what results these have is not known
        self.own: set[int] = {id(self.data)}  # the objects and lists that are copies already
        out: list[Fault] = []
        for fault in faults:
            if fault.number is None or fault.loc[:2] == ("condition", "mutation"):
                out.append(fault)
            else:
                self._stand_in(fault.loc, fault.number)
        # Last, since a number may stand in what is left out.
        for fault in out:
            self._leave_out(fault)

    def whole(self) -> dict[str, Any]:
        """Return a file of the right shape."""
        return {
            "version": JsonNumber("1"),
            "people": self._people(),
            "condition": self._condition(),
            "couples": self._couples(),
            "questions": self._questions(),
        }

    def _stand_in(self, loc: Loc, number: JsonNumber) -> None:
        of = loc[0] == "questions" and loc[-1] == "of"
        self._object(loc[:-1])[loc[-1]] = _OF if of else number
        self.doubtful.add(loc)
        if loc[:2] == ("condition", "variants"):
            self.sums.add(path_of(loc[:2]))
        if loc[:2] == ("condition", "onset"):  # each number is compared with the one before it
            at, key = int(loc[2]), loc[-1]
            self.doubtful |= {("condition", "onset", at + 1, key)}
            self.doubtful |= {("condition", "onset", 0, "cumulative")} if at == 0 else set()
        if loc[-1] == "monozygotic_chance":
            self._doubt_everyones("twin", "monozygotic_chance")

    def _leave_out(self, fault: Fault) -> None:
        loc = fault.loc
        depth = 1 if loc[0] == "condition" else 2
        if loc[:2] == ("condition", "tests") and len(loc) > 3 and loc[3] != "name":
            test = self._object(loc[:3])
            test.pop(loc[3], None)
            self.doubtful |= {(*loc[:3], key) for key in _KINDS_OF_TEST}
            self.sums.add(path_of(loc[:3]))
            self.unclear_tests.add(str(test.get("name")))
        elif depth == 2 and loc[2:3] == ("tests",) and len(loc) > 3:
            if len(loc) > 4 and loc[4] != "test":
                self._object(loc[:4]).pop(loc[4], None)
                self.doubtful |= {(*loc[:4], "result"), (*loc[:4], "found")}
            else:
                self._object(loc[:3])[loc[3]] = _RESULT
                self.doubtful.add(loc[:4])
        elif depth == 2 and loc[2:3] == ("twin",) and len(loc) > 3 and loc[3] != "group":
            twin = self._object(loc[:3])
            twin.pop(loc[3], None)
            if loc[3] == "zygosity":
                twin["zygosity"] = "unknown"
            if loc[3] in _ZYGOSITY or fault.meant:
                for key in _ZYGOSITY:
                    self._doubt_everyones("twin", key)
        else:
            keys = {*loc[depth : depth + 1], *((fault.meant,) if fault.meant else ())}
            self.wrong.setdefault(loc[:depth], set()).update(keys)

    def _object(self, loc: Loc) -> Any:
        """Return the object or list at a place, on a copy of the file."""
        at: Any = self.data
        for part in loc:
            if id(at[part]) not in self.own:
                at[part] = dict(at[part]) if isinstance(at[part], dict) else list(at[part])
                self.own.add(id(at[part]))
            at = at[part]
        return at

    def _sound(self, loc: Loc, value: object) -> dict[str, Any]:
        """Return an object without the keys that cannot be read, and doubt what they touch."""
        wrong = self.wrong.get(loc, set())
        self.doubtful |= {(*loc, key) for key in wrong}
        if not isinstance(value, dict):
            self.doubtful.add(loc)
            return {}
        return {key: item for key, item in value.items() if key not in wrong}

    def _doubt_everyones(self, *keys: str) -> None:
        self.doubtful |= {("people", index, *keys) for index in range(len(self._items("people")))}

    def _people(self) -> list[dict[str, Any]]:
        family = self.data.get("people")
        if not isinstance(family, list) or not 0 < len(family) <= MOST_ITEMS:
            self.doubtful |= {("people",), ("couples",), ("questions",)}
            return [{"id": "? 0"}]
        people = []
        for index, person in enumerate(family):
            sound = self._sound(("people", index), person)
            sound.setdefault("id", f"? {index}")
            wrong = self.wrong.get(("people", index), set())
            self._parents(("people", index), sound, wrong)
            people.append(sound)
            if "twin" in wrong:
                self._doubt_everyones("twin")
        return people

    def _parents(self, loc: Loc, sound: dict[str, Any], wrong: set[str | int]) -> None:
        """Put somebody unknown in the place of a parent who cannot be read.

        So the other parent can be judged; who is missing may be the one that was meant.
        """
        for role, other in (("father", "mother"), ("mother", "father")):
            if role in wrong:
                sound[role] = f"? {role}"
                if other not in sound:
                    self.doubtful |= {(*loc, other), (*loc, "inbreeding")}

    def _condition(self) -> dict[str, Any]:
        condition = self._sound(("condition",), self.data.get("condition"))
        wrong = self.wrong.get(("condition",), set())
        if ("condition",) in self.doubtful or "tests" in wrong:
            self._doubt_everyones("tests")
        if "inheritance" in wrong:
            self.doubtful |= {("condition", *place) for place in _BY_MODE}
        if "onset" in wrong:
            condition["onset"] = _ONSET
        tests = condition.get("tests", ())
        if "variants" in wrong:
            several = range(len(tests))
            self.doubtful |= {("condition", "tests", index, "detects") for index in several}
        if self.unclear_tests:
            self._doubt_results()
        return _CONDITION | condition

    def _doubt_results(self) -> None:
        for index, person in enumerate(self._items("people")):
            results = person.get("tests") if isinstance(person, dict) else None
            for place, result in enumerate(results if isinstance(results, list) else ()):
                if isinstance(result, dict) and result.get("test") in self.unclear_tests:
                    loc: Loc = ("people", index, "tests", place)
                    self.doubtful |= {(*loc, "result"), (*loc, "found")}

    def _couples(self) -> list[dict[str, Any]]:
        couples = []
        for index, couple in enumerate(self._items("couples")):
            sound = self._sound(("couples", index), couple)
            if "partners" not in sound:
                self.doubtful.add(("couples", index))
            couples.append(_COUPLE | sound)
        return couples

    def _questions(self) -> list[dict[str, Any]]:
        questions = []
        for index, question in enumerate(self._items("questions")):
            loc: Loc = ("questions", index)
            sound = self._sound(loc, question)
            if self.wrong.get(loc, set()) - _QUESTION_KEYS:
                # A key that seems to be missing may be the one that is not known.
                self.doubtful |= {(*loc, key) for key in _QUESTION_KEYS - sound.keys()}
            if "ask" not in sound:
                named = next((key for key in _ASKED if key in sound), "person")
                sound["ask"] = _ASKED[named]
                judged = {named} & sound.keys()
                self.doubtful |= {(*loc, key) for key in _QUESTION_KEYS - judged}
            questions.append(sound)
        return questions

    def _items(self, name: str) -> list[Any]:
        items = self.data.get(name)
        return items if isinstance(items, list) and (name,) not in self.doubtful else []
