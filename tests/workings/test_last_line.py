import pytest

from risk import actions
from tests.workings.families import case, person, told

PARENTS = {"parents": ["I-1", "I-2"]}
CHILD = {"ask": "child_affected", **PARENTS}


def last_line(inheritance, frequency, people, question, **condition):
    """The closing of the only question's last step."""
    (working,) = actions.explain(case(inheritance, frequency, people, [question], **condition))
    return working.steps[-1].closing


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({}, "A child is affected only if I-2 is a carrier and passes the allele on to a son: "),
        ({"sex": "male"}, "A father gives his sons no X, so a son is affected only if I-2 is a "),
        ({"ask": "child_carrier"}, "A daughter is a carrier only if I-2 is a carrier and passes "),
    ],
)
def test_a_partner_who_carries_nothing_is_not_told_of_again(asked, said):
    """A carrier's daughter by a man from the population; what is asked has a subject of its own."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", ("A", "B")),
        *(person("A", "male", affected=False), person("B", "female", genotype=1)),
    ]
    line = last_line("x_linked_recessive", {"allele": "rare"}, people, {**CHILD, **asked})
    assert line.startswith(said)
    assert "I-1" not in line


@pytest.mark.parametrize("known", [{"affected": False}, {"affected": True}, {}])
def test_that_a_man_on_the_x_is_no_carrier_is_said_whatever_is_known(known):
    """No fact of his rules anything out for that, and none of his mother's is needed."""
    people = [
        *(person("I-1", "male"), person("I-2", "female")),
        person("Bo", "male", ("I-1", "I-2"), **known),
        person("II-2", "male", ("I-1", "I-2"), affected=True),
    ]
    penetrance = {
        "female": {"0": 0, "1": 0, "2": "7/10"},
        "male": {"0": 0, "1": "7/10"},
    }
    question = {"ask": "carrier", "person": "Bo"}
    parts = ("x_linked_recessive", {"allele": "1/50"}, people, [question])
    assert told(*parts, penetrance=penetrance) == [
        "Bo has one X chromosome, and so is never a carrier."
    ]


def test_what_two_reasons_made_certain_is_not_said_again():
    people = [person("I-1", "male", affected=True), person("I-2", "female", genotype=1)]
    line = last_line("autosomal_recessive", {"carrier": "1/25"}, people, CHILD)
    assert line == "A child is affected only if I-2 passes the allele on: 1/2."


def test_the_penetrance_is_a_factor_of_its_own():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", ("A", "B"), affected=False),
        *(person("A", "male"), person("B", "female", genotype=1)),
    ]
    line = last_line(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        CHILD,
        penetrance={"0": 0, "1": "4/5", "2": "4/5"},
    )
    assert line == (
        "A child is affected only if I-2 has one copy of the allele and passes it on, and then "
        "with chance 4/5: 1/2 × 4/5 = 2/5."
    )


def test_sons_and_daughters_who_are_alike_are_children():
    """On the X, dominant: whoever gets it from the mother is affected."""
    people = [person("I-1", "male", affected=False), person("I-2", "female", genotype=1)]
    line = last_line("x_linked_dominant", {"allele": "rare"}, people, CHILD)
    assert line == "A child is affected only if I-2 passes the allele on: 1/2."


def test_who_passes_the_allele_on_is_named_where_the_other_has_two_for_certain():
    """The affected have two copies; whether the other is a carrier is the question."""
    people = [person("I-1", "male", affected=False), person("I-2", "female", affected=True)]
    line = last_line("autosomal_recessive", {"carrier": "1/25"}, people, CHILD)
    assert line == "A child is affected only if I-1 is a carrier and passes the allele on: 1/2."


def test_that_two_are_both_carriers_is_not_said_to_be_asked():
    people = [person("I-1", affected=False), person("I-2", affected=False)]
    both = {"ask": "both_carriers", "people": ["I-1", "I-2"]}
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, [both])
    assert text.endswith("The chance that both are carriers is the product of their chances.")
    # By the table of the two it is one of its lines.
    child = person("II-1", "male", ("I-1", "I-2"), affected=False)
    people = [person("I-1", "male", affected=False), person("I-2", "female", affected=False)]
    assert not last_line("autosomal_recessive", {"carrier": "1/25"}, [*people, child], both)


def test_of_any_child_it_is_told_what_it_then_is():
    """An affected child has no chances any more, so that they are those of any child."""
    people = [person("I-1", "male", affected=True), person("I-2", "female", affected=False)]
    line = last_line("x_linked_recessive", {"carrier": "1/50"}, people, CHILD)
    assert line == (
        "A child is affected only if I-2 is a carrier; a child of theirs is then a daughter with "
        "two copies with chance 1/2 × 1/2 or a son with the allele with 1/2 × 1/2: "
        "1/2 × 1/2 + 1/2 × 1/2 = 1/2."
    )


def test_several_children_begin_with_what_one_needs():
    people = [person("I-1", affected=False), person("I-2", affected=False)]
    several = {"ask": "children_affected", **PARENTS, "of": 3}
    asked = [{**several, **which} for which in ({"at_least": 1}, {"exactly": 3}, {"exactly": 1})]
    texts = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    begin = "A child is affected only if I-1 and I-2 are both carriers; each child is then affected"
    assert [begin in text for text in texts] == [True, True, False]
    # With just one of three not all are affected either, which might be why others cannot be.
    assert "What is asked is possible only if I-1 and I-2 are both carriers; each" in texts[2]
