import pytest

from risk import actions
from tests.workings.families import case, person, told

ASKED_OF_A = {"ask": "carrier", "person": "A"}
UNAFFECTED = {"carrier": "1/20"}
TWIN = {"group": "t", "zygosity": "unknown", "monozygotic_chance": "1/3"}

SPOUSE = [
    person("G", "male", affected=True),
    person("A", "female", affected=False),
    person("C", "female", ("G", "A"), affected=False, count=3),
]


def test_being_unaffected_gives_the_prior_also_where_children_rule_out_two_copies():
    """19/20 and 1/20, times 1 and 1/8: 152 to 1."""
    (working,) = actions.explain(case("autosomal_recessive", UNAFFECTED, SPOUSE, [ASKED_OF_A]))
    (step,) = working.steps
    assert [row.text for row in step.rows] == [
        "unaffected, population",
        "three unaffected daughters",
    ]
    assert [*map(str, step.rows[0].values)] == ["19/20", "1/20"]
    assert [*map(str, step.posterior)] == ["152/153", "1/153"]
    assert not working.idle


def test_being_unaffected_gives_the_prior_also_where_a_test_rules_out_two_copies():
    enzyme = {"name": "enzyme", "likelihood": {"low": {"0": "1/50", "1": "1/10", "2": 0}}}
    result = [{"test": "enzyme", "result": "low"}]
    people = [person("A", "female", affected=False, tests=result)]
    parts = ("autosomal_recessive", UNAFFECTED, people, [ASKED_OF_A])
    (text,) = told(*parts, tests=[enzyme])
    assert "1/20 of unaffected people are carriers" in text
    assert "q =" not in text


def test_being_unaffected_gives_the_prior_also_where_not_all_are_born_alive():
    (text,) = told(
        "autosomal_recessive",
        UNAFFECTED,
        [person("A", "female", affected=False, status="alive")],
        [ASKED_OF_A],
        viability={"0": 1, "1": 1, "2": "1/2"},
    )
    assert "1/20 of people with at most one copy are carriers, and so of the unaffected" in text


def test_of_somebody_whose_genotype_is_certain_being_unaffected_is_no_reason():
    """The daughters are carriers by their father and themselves, whatever their mother has."""
    question = {"ask": "carrier", "person": "C"}
    (working,) = actions.explain(case("autosomal_recessive", UNAFFECTED, SPOUSE, [question]))
    assert [*working.idle] == ["A is unaffected"]


def test_a_partner_is_unaffected_in_one_question_as_in_the_other():
    """Asked about with an affected niece or alone: her father is a carrier with 1/20."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("B", "female", ("I-1", "I-2"), affected=False),
        person("H", "male", affected=False),
        person("A", "male", ("I-1", "I-2"), affected=False),
        person("D", "female", ("H", "B"), affected=True),
    ]
    questions = [ASKED_OF_A, {"ask": "both_carriers", "people": ["A", "B"]}]
    questions.append({"ask": "child_affected", "parents": ["A", "D"]})
    workings = actions.explain(case("autosomal_recessive", UNAFFECTED, people, questions))
    assert [working.idle for working in workings] == [()] * 3


@pytest.mark.parametrize("related", [None, "1/16"])
def test_the_frequency_is_not_that_of_children_of_relatives(related):
    more = {"inbreeding": related} if related else {}
    people = [person("A", "female", affected=False, **more)]
    (text,) = told("autosomal_recessive", UNAFFECTED, people, [ASKED_OF_A])
    assert ("1/20 of unaffected people" in text) == (related is None)


def test_a_rare_allele_came_through_the_parent_whose_own_is_affected():
    """A healthy woman between her affected father and her affected son, and the son's sister."""
    people = [
        *(person("I-1", "male", affected=True), person("I-2", "female", affected=False)),
        person("Ada", "female", ("I-1", "I-2"), affected=False),
        person("Bo", "male", affected=False),
        person("III-1", "male", ("Bo", "Ada"), affected=True),
        person("Eva", "female", ("Bo", "Ada"), affected=False),
    ]
    workings = actions.explain(
        case(
            "autosomal_dominant",
            {"allele": "rare"},
            people,
            [
                {"ask": "disease_allele", "person": "Ada"},
                {"ask": "disease_allele", "person": "Eva"},
            ],
            penetrance={"0": 0, "1": "4/5", "2": "4/5"},
        )
    )
    mother, sister = [" ".join(step.text for step in working.steps) for working in workings]
    through = "I-1 and III-1 are affected; as the allele is rare, it came through Ada, so "
    assert mother == f"{through}Ada has one copy of the allele for certain."
    assert sister.startswith(f"{through}for certain Ada has one copy of the allele and Bo has no")
    # No table is needed for what is certain, and the facts are the same in both.
    assert [len(step.rows) for step in workings[0].steps] == [1]
    assert not any("is affected" in idle for working in workings for idle in working.idle)


def test_a_known_genotype_comes_before_what_it_can_be_inferred_from():
    people = [
        person("I-1", "male", affected=False, genotype=1),
        person("I-2", "female", affected=False, genotype=1),
        person("II-1", "female", ("I-1", "I-2"), name="Tove", affected=True, twin=TWIN),
        person("A", "female", ("I-1", "I-2"), twin=TWIN),
    ]
    (working,) = actions.explain(
        case("autosomal_recessive", {"allele": "rare"}, people, [ASKED_OF_A])
    )
    text = working.steps[-1].text
    assert text.startswith(
        "I-1 and I-2 are known to be carriers. A is a twin of unknown zygosity (Tove is affected): "
    )
    assert [*working.idle] == ["I-1 and I-2 are unaffected"]


DOMINANT = ("autosomal_dominant", {"allele": "rare"})
PENETRANCE = {"0": 0, "1": "4/5", "2": "4/5"}


def test_a_rare_allele_came_through_the_twin_who_has_the_affected_child():
    """Identical twins have one genotype, but the child is of one of them alone."""
    same = {"group": "1", "zygosity": "monozygotic"}
    people = [
        *(person("I-1", "male", affected=True), person("I-2", "female")),
        person("II-1", "male", ("I-1", "I-2"), affected=False, twin=same),
        person("II-2", "male", ("I-1", "I-2"), affected=False, twin=same),
        *(person("II-3", "female"), person("III-1", "female", ("II-1", "II-3"), affected=True)),
    ]
    asked = [{"ask": "carrier", "person": "II-2"}]
    (working,) = actions.explain(case(*DOMINANT, people, asked, penetrance=PENETRANCE))
    said = "it came through II-1, so II-1 and II-2 have one copy of the allele for certain."
    assert said in working.steps[-1].text


def test_what_follows_only_for_a_rare_allele_is_said_to():
    """Two affected half-siblings have it from the one parent whom they share."""
    people = [
        *(person("I-1", "male"), person("I-2", "female"), person("I-3", "male")),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
        person("II-2", "male", ("I-3", "I-2"), affected=True),
        person("II-3", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "II-3"}]
    (working,) = actions.explain(case(*DOMINANT, people, asked, penetrance=PENETRANCE))
    assert working.steps[-1].text.startswith(
        "II-1 and II-2 are affected, and the allele is rare, so for certain I-1 has no copy of the "
        "allele and I-2 has one copy of the allele."
    )


def test_who_is_known_to_have_no_rare_allele_is_not_said_to_come_from_the_population():
    """Beside it, what is known of the father tells nothing of the mother."""
    people = [
        person("Silas", "male", genotype=1),
        person("Vesna", "female", affected=False, genotype=0),
        person("II-1", "male", ("Silas", "Vesna"), affected=False),
        person("II-2", "female", affected=False, genotype=0),
    ]
    asked = [
        {"ask": "genotype", "person": "II-1"},
        {"ask": "both_carriers", "people": ["II-1", "II-2"]},
    ]
    parts = case("autosomal_recessive", {"allele": "rare"}, people, asked)
    alone, both = actions.explain(parts)
    assert "Silas is known to be a carrier and Vesna is known to have no disease allele." in (
        alone.steps[0].text
    )
    assert [*alone.idle] == [
        "Vesna, II-1 and II-2 are unaffected",
        "II-2 is known to have no disease allele",
    ]
    assert "II-2 is known to have no disease allele." in both.steps[-1].text
    assert [*both.idle] == ["Vesna, II-1 and II-2 are unaffected"]
