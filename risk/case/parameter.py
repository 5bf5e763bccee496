"""One value of a case found by its path, and the case with another value in its place.

Paths are those of the case file (``condition.frequency.carrier``, ``people[3].age``); a person's
id may stand for the place (``II-2.age``), so that facts are found by their names, and the end of a
path for the whole where no other ends so (``sensitivity``).  A new value
goes through the same reader as a file, and what is wrong with it is said in the same words.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any, get_args

from risk.case.called import did_you_mean_a_name
from risk.case.model import ByAlleles, BySex, Case, Inheritance, Person, Sex
from risk.case.read import case_of
from risk.case.write import write_case_line
from risk.number import JsonNumber, read_number
from risk.problems import InputError, Problem, nearest, shown, shown_path

#: Words for a fact or a value that is not there.
UNKNOWN = ("unknown", "none", "null", "without", "absent")
_YES, _NO = ("true", "yes", "affected"), ("false", "no", "unaffected")
_WHOLE = ("genotype", "found", "count", "of", "at_least", "exactly")
_AGES = ("age", "by_age")
_PERSON_KEYS = ("affected", "age", "genotype", "inbreeding", "count", "status", "sex")
#: Of several places that end alike so many are named.
_MOST_NAMED = 4
#: How alike a word must be to the end of a place, which is short, to be taken for it.
_ALIKE = 0.7

Steps = tuple[str | int, ...]


class Parameter:
    """A place in a case that can be given other values.

    `path` is the place as in the file, `own` the value there now (None: none), and `choices`
    are all the values that it can take, where those are few (() otherwise).
    """

    def __init__(self, case: Case, name: str) -> None:
        """Find the place that `name` names, by its path or an end of it that only one place has.

        Raises InputError with the nearest known name.
        """
        self.case = case
        self.name = name.strip()
        places = dict(_places(case))
        steps = places.get(self.name)
        if steps is None:
            self.name, steps = _by_its_end(self.name, places, case)
        self.steps = steps
        self.path = _path(steps)
        self._text = write_case_line(case)
        own = _at(self._data(), steps)
        self.own = None if own is None else _words(own)
        self.choices = _choices(case, steps)

    def case_with(self, value: str) -> Case:
        """Return the case with `value` in this place; raises InputError as reading a file does.

        ``unknown`` takes a fact or an optional value away.  What must go with the value follows:
        the one key of the frequency, the shares of the other variants (in proportion), the
        other twins of a group.
        """
        data = self._data()
        _put(self.case, data, self.steps, value.strip())
        return case_of(data)

    def _data(self) -> Any:
        return json.loads(self._text, parse_float=JsonNumber, parse_int=JsonNumber)


def parameters(case: Case) -> list[str]:
    """Return the paths of all places of a case that can be given other values."""
    names: dict[Steps, str] = {}
    for name, steps in _places(case):
        names.setdefault(steps, name)
    return list(names.values())


def _by_its_end(end: str, places: dict[str, Steps], case: Case) -> tuple[str, Steps]:
    """Return the one place, with its name, whose name ends in `end`; raises InputError."""
    found: dict[Steps, str] = {}
    for name, steps in places.items():
        if end and name.endswith(f".{end}"):
            found.setdefault(steps, name)
    if len(found) > 1:
        # Where the case has a value in some of these places, they are meant.
        data = json.loads(write_case_line(case))
        said = {steps: name for steps, name in found.items() if _at(data, steps) is not None}
        found = said or found
    if len(found) == 1:
        ((steps, name),) = found.items()
        return name, steps
    if found:
        several = [shown(name) for name in list(found.values())[:_MOST_NAMED]]
        more = " and others" if len(found) > _MOST_NAMED else ""
        message = f"several places end so: {', '.join(several)}{more}; name one of them"
    else:
        message = _unknown(end, places, case)
    raise InputError([Problem(shown_path(end), message)])


def _unknown(name: str, places: dict[str, Steps], case: Case) -> str:
    hint = did_you_mean_a_name(name, case.people, places)
    if not hint and (end := nearest(name, (place.rpartition(".")[2] for place in places), _ALIKE)):
        hint = f"; did you mean {shown(end)}?"
    if not hint:
        held = [place for place in places if name and name.lower() in place.lower()]
        few = held or [place for place in places if place.startswith("condition.")]
        more = " and others" if not held or len(held) > _MOST_NAMED else ""
        hint = f"; there are {', '.join(map(shown, few[:_MOST_NAMED]))}{more}"
    return f"this case has no such parameter{hint}"


# --- which places there are ---------------------------------------------------------------


def _places(case: Case) -> Iterator[tuple[str, Steps]]:
    """Yield every name by which a place can be called, with the steps that lead to it."""
    for steps in _condition_places(case):
        yield _path(steps), steps
    for index, person in enumerate(case.people):
        for inner in _person_places(person):
            steps = ("people", index, *inner)
            yield _path(("", *inner)).replace("", person.id, 1), steps
            yield _path(steps), steps
            if len(inner) == 3 and inner[2] in ("result", "found"):
                fact = ("people", index, *inner[:2])
                yield f"{person.id}.tests[{inner[1]}]", steps
                yield _path(fact), steps
    for index, question in enumerate(case.questions):
        for key in ("by_age", "of", "at_least", "exactly"):
            if getattr(question, key) is not None or (
                key == "by_age" and question.ask in ("will_be_affected", "child_affected")
            ):
                yield _path(("questions", index, key)), ("questions", index, key)


def _condition_places(case: Case) -> Iterator[Steps]:
    condition = case.condition
    start = ("condition",)
    yield (*start, "frequency", "allele")
    yield (*start, "frequency", "incidence")
    if condition.recessive:
        yield (*start, "frequency", "carrier")
    if condition.x_linked:
        yield (*start, "frequency", "mutation_selection_balance", "fitness")
    yield (*start, "mutation", "maternal")
    yield (*start, "mutation", "paternal")
    for key in ("penetrance", "viability"):
        table = getattr(condition, key)
        if isinstance(table, ByAlleles) or (table is None and not condition.x_linked):
            yield from ((*start, key, count) for count in "012")
        if isinstance(table, BySex) or table is None:
            for sex in ("female", "male"):
                counts = "01" if condition.x_linked and sex == "male" else "012"
                yield from ((*start, key, sex, count) for count in counts)
    for index, _ in enumerate(condition.onset or ()):
        yield (*start, "onset", index, "age")
        yield (*start, "onset", index, "cumulative")
    for index, _ in enumerate(condition.variants or ()):
        yield (*start, "variants", index, "share")
    for index, test in enumerate(condition.tests or ()):
        if test.sensitivity is not None:
            yield (*start, "tests", index, "sensitivity")
            yield (*start, "tests", index, "specificity")
        for row in test.likelihood or ():
            yield from ((*start, "tests", index, "likelihood", row.result, n) for n in "012")
    yield (*start, "germline_mosaicism", "prior")
    yield (*start, "germline_mosaicism", "gametes")
    yield (*start, "inheritance")


def _person_places(person: Person) -> Iterator[Steps]:
    yield from ((key,) for key in _PERSON_KEYS)
    for index, result in enumerate(person.tests):
        yield ("tests", index, "found" if result.found is not None else "result")
    if person.twin is not None:
        yield ("twin", "zygosity")
        yield ("twin", "monozygotic_chance")


def _choices(case: Case, steps: Steps) -> tuple[str, ...]:
    last = steps[-1]
    if last == "affected":
        return ("true", "false", "unknown")
    if last == "genotype":
        return ("0", "1", "2", "unknown")
    if last == "found":
        return ("0", "1", "2", "unknown")
    if last == "result":
        _, person, _, index, _ = steps
        name = case.people[int(person)].tests[int(index)].test
        test = next(test for test in case.condition.tests or () if test.name == name)
        results = [row.result for row in test.likelihood or ()] or ["positive", "negative"]
        return (*results, "unknown")
    if last == "zygosity":
        return ("monozygotic", "dizygotic", "unknown")
    if last == "inheritance":
        return get_args(Inheritance)
    return ()


# --- reading and setting ------------------------------------------------------------------


def _path(steps: Steps) -> str:
    text = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in steps)
    return text.removeprefix(".")


def _at(data: Any, steps: Steps) -> Any:
    for step in steps:
        data = data[step] if isinstance(step, int) else data.get(step)
        if data is None:
            return None
    return data


def _words(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _put(case: Case, data: Any, steps: Steps, value: str) -> None:
    """Set the value, and what must go with it."""
    key = steps[-1]
    if steps[:2] == ("condition", "frequency"):
        data["condition"]["frequency"] = {}
    elif steps[:2] == ("condition", "variants"):
        _share_out(data["condition"]["variants"], steps, value)
    elif steps[1] in ("penetrance", "viability") and data["condition"].get(steps[1]) is None:
        data["condition"][steps[1]] = _default_table(case, steps)
    elif steps[1:2] == ("germline_mosaicism",):
        data["condition"].setdefault("germline_mosaicism", {"prior": "0", "gametes": "1/2"})
    everyone: list[Steps] = [steps]
    if "twin" in steps:
        group = case.people[int(steps[1])].twin
        everyone = [
            ("people", index, *steps[2:])
            for index, person in enumerate(case.people)
            if person.twin is not None and group is not None and person.twin.group == group.group
        ]
    for each in everyone:
        target = data
        for step in each[:-1]:
            target = target[step] if isinstance(step, int) else target.setdefault(step, {})
        if value.lower() in UNKNOWN and key not in ("zygosity", "sex"):
            target.pop(key, None)
            if key in ("result", "found"):
                del _at(data, each[:-2])[each[-2]]
        else:
            target[key] = _typed(str(key), value)
            if key == "zygosity" and value != "unknown":
                target.pop("monozygotic_chance", None)


def _typed(key: str, value: str) -> Any:
    if key == "affected":
        return True if value.lower() in _YES else False if value.lower() in _NO else value
    if key in (*_WHOLE, *_AGES):
        try:
            read_number(value)
        except ValueError:
            return value
        return JsonNumber(value)
    return value


def _share_out(variants: Any, steps: Steps, value: str) -> None:
    """Give the other classes what is left, in their own proportions."""
    try:
        left = 1 - read_number(value)
    except ValueError:
        return
    others = [row for index, row in enumerate(variants) if index != steps[2]]
    shares = [read_number(str(row["share"])) for row in others]
    whole = sum(shares, Fraction(0))
    for row, share in zip(others, shares, strict=True):
        row["share"] = str(left * share / whole if whole else left / len(others))


def _default_table(case: Case, steps: Steps) -> dict[str, Any]:
    """Return the table that holds where the file gives none, as the mode of inheritance says."""

    def column(sex: Sex) -> dict[str, str]:
        least = 0 if steps[1] == "viability" else case.condition.enough(sex)
        counts = range(case.condition.copies(sex) + 1)
        return {str(count): "1" if count >= least else "0" for count in counts}

    if steps[2] in ("female", "male"):
        return {"female": column("female"), "male": column("male")}
    return dict(column("female"))
