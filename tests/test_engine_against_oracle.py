"""The engine against the oracle, on random families over the whole case file.

Exact answers must be the very same fractions; floats agree to 1e-12. `TWOTHIRDS_TESTS=thorough`
runs thousands of families (see `conftest.py`).
"""

import json

import oracle
import pytest
import strategies
from hypothesis import given, note

from risk.actions import solve
from risk.case.read import read_case
from risk.problems import ImpossibleEvidence

CLOSE = 1e-12


def parts(answer):
    """An answer's chances in order, whether it is one or a distribution."""
    return answer.distribution if answer.probability is None else (answer.probability,)


def expected_parts(answer):
    return list(answer.values()) if isinstance(answer, dict) else [answer]


def same(wanted, got, exact):
    """Whether chances are the expected fractions, exactly where they can be."""
    assert len(got) in (len(wanted), len(wanted) - 1)  # a male on the X may lack the entry for 2
    for fraction, chance in zip(wanted, got, strict=False):
        assert abs(float(fraction) - chance.value) <= CLOSE
        if exact:
            assert chance.exact == fraction
        elif exact is False:
            assert chance.exact is None


def agree(case):
    """Compare one case (plain data); True where its evidence is possible."""
    text = json.dumps(case)
    truth = oracle.Oracle(oracle.load(text))
    read = read_case(text)
    try:
        answers, people = truth.answers(), truth.people_distributions()
    except oracle.Impossible:
        for arithmetic in ("exact", "float"):
            with pytest.raises(ImpossibleEvidence) as caught:
                solve(read, arithmetic)
            if not truth.possible():
                assert truth.is_conflict(caught.value.conflict), caught.value.conflict
        return False
    for arithmetic in ("exact", "float"):
        solution = solve(read, arithmetic)
        exact = truth.exact if arithmetic == "exact" else None
        assert len(answers) == len(solution.answers)
        for wanted, answer in zip(answers, solution.answers, strict=True):
            same(expected_parts(wanted), parts(answer), exact)
        assert list(people) == [person.id for person in solution.people]
        for person in solution.people:
            same(list(people[person.id].values()), person.disease_alleles, exact)
        likelihood = truth.log_likelihood()
        if likelihood is None:
            assert solution.log_likelihood is None
        else:
            assert abs(likelihood - solution.log_likelihood) <= CLOSE * max(1, abs(likelihood))
    return True


@given(strategies.cases())
def test_random_families(case):
    note(json.dumps(case))
    agree(case)


@pytest.mark.parametrize("mode", strategies.MODES)
@given(strategies.st.data())
def test_every_mode(mode, data):
    case = data.draw(strategies.cases(strategies.conditions(mode)))
    note(json.dumps(case))
    agree(case)


# Loops that chance seldom draws: child, sex, father, mother
LOOPS = {
    "double first cousins": """a m; b f; c m; d f; e m a b; f f c d; g f a b; h m c d;
        i f e f; j m h g""",
    "sibs for three generations": "a m; b f; c m a b; d f a b; e m c d; f f c d; g f e f; h m e f",
    "mother and son": "a m; b f; c m a b; d f c b; e m c b; f f e d",
    "uncle and niece": "a m; b f; c m a b; d f a b; e m; f f e d; g m c f; h f c f",
    "half sibs by both parents": "a m; b f; c f; d m; e f a b; f m a c; g f d b; h m f e; i f f g",
    "great-grandfather": "a m; b f; c f a b; d m; e f d c; f m; g f f e; h m a g",
}


def looped(name, mode):
    """The family, with the last person affected where that is no phenotype of chance."""
    people = []
    for words in (line.split() for line in LOOPS[name].split(";")):
        person = {"id": words[0], "sex": "male" if words[1] == "m" else "female"}
        if len(words) == 4:
            person |= {"father": words[2], "mother": words[3]}
        people.append(person)
    people[-1]["affected"] = True
    people[-2]["affected"] = False
    condition = {"inheritance": mode, "penetrance": {"0": "1/50", "1": "1/3", "2": "9/10"}}
    asked = [{"ask": "both_carriers", "people": [people[0]["id"], people[-1]["id"]]}]
    asked += [{"ask": "genotype", "person": people[i]["id"]} for i in (1, -1)]
    return {"version": 1, "condition": condition, "people": people, "questions": asked}


@pytest.mark.parametrize("mode", strategies.MODES)
@pytest.mark.parametrize("name", LOOPS)
@pytest.mark.parametrize("rare", [True, False])
def test_loops(name, mode, rare):
    case = looped(name, mode)
    case["condition"]["frequency"] = {"allele": "rare" if rare else "1/40"}
    if len(case["people"]) > 9:  # fewer rows for the oracle
        case["people"][0]["genotype"], case["people"][3]["genotype"] = 1, 0
    assert agree(case)
    if rare:
        del case["condition"]["penetrance"]
        agree(case)
    elif len(case["people"]) < 8:
        case["condition"]["mutation"] = {"maternal": "1/1000", "paternal": "1/500"}
        assert agree(case)


@pytest.mark.parametrize("mode", strategies.MODES)
@pytest.mark.parametrize("bound", [{"at_least": 1}, {"exactly": 37}, {"at_least": 120}])
def test_two_hundred_children(mode, bound):
    people = [
        {"id": "a", "sex": "male", "affected": False},
        {"id": "b", "sex": "female"},
        {"id": "c", "sex": "male", "father": "a", "mother": "b", "affected": True},
    ]
    case = {
        "version": 1,
        "condition": {
            "inheritance": mode,
            "frequency": {"allele": "1/30"},
            "penetrance": {"0": "1/1000", "1": "1/2", "2": "4/5"},
            "viability": {"0": "1", "1": "1", "2": "9/10"},
        },
        "people": people,
        "questions": [{"ask": "children_affected", "parents": ["a", "b"], "of": 200, **bound}],
    }
    assert agree(case)
