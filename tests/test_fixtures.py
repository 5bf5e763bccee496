"""The bundled cases: they read, they solve, and their answers are those found by hand.

All families are invented.  Each expected answer is worked out beside it, from the vignette and
Bayes' rule alone; "common practice" marks the patterns that every textbook has.
"""

from __future__ import annotations

import json
import re
from fractions import Fraction as F
from pathlib import Path

import pytest

from risk import actions
from risk.bundled import bundled_cases, fixtures_folder
from risk.case.model import Case

CASES = bundled_cases()

u = F(1, 100_000)  # new mutations per gamete in `new-mutation` and `germline-mosaic`


def _bero() -> F:
    """The next child of Bero's parents, by adding up what each parent may be.

    A parent is a mosaic (chance m) who passes the allele on in a share g of gametes, or else
    changes a normal allele with chance u; a mosaic's other gametes may mutate as well.
    """
    m, g = F(1, 50_000), F(1, 10)
    mosaic = g + (1 - g) * u
    evidence = joint = F(0)
    for weight, father, mother in (
        ((1 - m) ** 2, u, u),
        (m * (1 - m), mosaic, u),
        (m * (1 - m), u, mosaic),
        (m**2, mosaic, mosaic),
    ):
        well = (1 - father) * (1 - mother)
        evidence += weight * (1 - well) * well  # Bero affected, his sister well
        joint += weight * (1 - well) * well * (1 - well)
    return joint / evidence


EXPECTED: dict[str, list[F]] = {
    # Common practice: of the healthy children of two carriers 2 in 3 carry; 2/3 x 1/25 x 1/4.
    "healthy-sister": [F(2, 3), F(1, 150)],
    # 2/3 : 1/3 becomes 2/30 : 1/3; 1/25 : 24/25 becomes 1/250 : 24/25 (common practice: 1/241).
    "negative-test": [F(1, 6), F(1, 241), F(1, 6) * F(1, 241) / 4],
    # Common practice: Vesna had the allele from both parents, so her father was a carrier for
    # certain, his sister is with chance 1/2 and her daughter with 1/4; both 2/3 x 1/4; x 1/4.
    "first-cousins": [F(2, 3), F(1, 4), F(1, 6), F(1, 24)],
    # Common practice: 1/2 x 1/8 against 1/2.
    "healthy-sons": [F(1, 9), F(1, 18)],
    # 1/2 x 1/4 x 1/3 against 1/2 x 95/100.
    "enzyme-level": [
        F(1, 24) / (F(1, 24) + F(19, 40)),
        F(1, 24) / (F(1, 24) + F(19, 40)) / 2,
    ],
    # Common practice: 1/2 x 1/5 against 1/2; then x 1/2 x 4/5.
    "reduced-penetrance": [F(1, 6), F(1, 15)],
    # Hale: 1/2 x 1/2 x (1/2 + 1/2 x 19/20) against 1/2.  Silja has it and is well at 30:
    # 1/2 x 1/2 x 1/2 x 19/20; by 50 half of the carriers are affected, of whom 1/20 before 30.
    "late-onset": [
        F(39, 160) / (F(39, 160) + F(1, 2)),
        F(19, 160) / (F(39, 160) + F(1, 2)),
        F(19, 160) / (F(39, 160) + F(1, 2)) * (F(1, 2) - F(1, 20)) / F(19, 20),
    ],
    # Either parent's gamete mutates.  Ugo has one allele, or two where both gametes mutated.
    "new-mutation": [
        1 - (1 - u) ** 2,
        1 - (1 - u) * (1 - u) * (1 - F(1, 2)) * 2 * u * (1 - u) / (1 - (1 - u) ** 2),
    ],
    "germline-mosaic": [_bero()],
    # Linde's mother carries in 4u of such families, and then she does in 1/2 and her brother is
    # well in 1/2: u; a new mutation in the egg or sperm that made her: 2u.  So 3u x 1/2 for
    # Zeno's illness, against u for a new mutation in Zeno.
    "lethal-balance": [F(3, 5), F(3, 10), F(3, 10)],
    # Live-born: an affected girl, a well girl, a well boy, equally often.
    "male-lethal": [F(1, 3), F(1, 2), 1 - F(2, 3) ** 3],
    # Common practice: binomial with 1/4.
    "four-children": [1 - F(3, 4) ** 4, 4 * F(1, 4) * F(3, 4) ** 3, F(3, 4) ** 4],
    # Identical: affected for certain.  Otherwise a sister: 1/4 affected, 1/2 a carrier.
    "twins": [F(1, 3) + F(2, 3) / 4, F(2, 3) / 2],
    # One parent has the common class, the other a rarer one.  Jorn lacks the common one, and
    # has the other with 1/2.  Zelda: 1/25 x 15/100 against 24/25.
    "variant-classes": [F(1, 2), F(1, 161), F(1, 2) * F(1, 161) / 4],
}


@pytest.mark.parametrize("name", EXPECTED)
def test_answers_are_those_found_by_hand(name: str) -> None:
    solution = actions.solve(actions.load(CASES[name].read_bytes()))
    found = [answer.probability for answer in solution.answers]
    assert [chance.exact for chance in found if chance] == EXPECTED[name]


def test_the_large_family() -> None:
    """Tor's sister and Leif: 2/3 x 1/25, two healthy children each with 3/4; the rest agrees.

    Silje and Anders have no answer by hand; the engine's own float run is checked against it,
    and the exact run against the brute force of tests/oracle.py on smaller families.
    """
    case = actions.load(CASES["island-family"].read_bytes())
    assert sum(person.count or 1 for person in case.people) >= 30
    solution = actions.solve(case)
    both = F(2, 3) * F(1, 25) * F(9, 16)
    leif = solution.answers[3].probability
    assert leif is not None
    assert leif.exact == both / (both + 1 - F(2, 75)) / 4
    for exact, rough in zip(solution.answers, actions.solve(case, "float").answers, strict=True):
        assert exact.probability is not None
        assert rough.probability is not None
        assert exact.probability.value == pytest.approx(rough.probability.value, abs=1e-12)


def test_every_bundled_case_has_an_expected_answer() -> None:
    assert {*EXPECTED, "island-family"} == set(CASES)


@pytest.mark.parametrize("name", CASES)
def test_every_case_is_complete_and_invented(name: str) -> None:
    case = actions.load(CASES[name].read_bytes())
    assert case.title
    assert case.vignette
    assert case.questions
    assert case.condition.name
    assert case.condition.name.endswith("(invented)")


@pytest.mark.parametrize("name", CASES)
def test_vignettes_name_the_people_and_the_condition(name: str) -> None:
    case = actions.load(CASES[name].read_bytes())
    assert case.vignette
    for person in case.people:
        if person.name:
            assert re.search(rf"\b{person.name}\b", case.vignette), person.name
    assert (case.condition.name or "").removesuffix(" (invented)") in case.vignette


def test_the_table_lists_every_case() -> None:
    listed = re.findall(r"^\| `([a-z-]+)`", (fixtures_folder() / "README.md").read_text(), re.M)
    assert sorted(listed) == sorted(CASES)


def test_a_case_is_in_place_in_a_checkout() -> None:
    assert fixtures_folder() == Path(__file__).parent.parent / "fixtures"
    json.loads(CASES["healthy-sister"].read_text(encoding="utf-8"))
    assert isinstance(actions.load(CASES["healthy-sister"].read_text(encoding="utf-8")), Case)
