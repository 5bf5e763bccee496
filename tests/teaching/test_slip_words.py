"""What is said of a slip is true of the family where it is said."""

import json

import pytest

from risk.case.read import read_case
from risk.teaching.slip_left_out import beside_half_of_two_thirds, beside_the_half
from risk.teaching.slips import slips
from tests.teaching.slip_cases import ILL, SIBS, WELL, family, one


def told(plain, slip):
    """What is said of each slip of one name to the first question of a case."""
    case = read_case(json.dumps(plain))
    return [each.said for each in slips(case) if each.name == slip]


def test_the_three_kinds_are_equally_likely_but_for_new_mutation():
    people = [*SIBS, one("m3", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m3", "f2"]}
    plain = family("autosomal_recessive", {"carrier": "1/50"}, people, ask)
    (plainly,) = told(plain, "half_for_two_thirds")
    assert "Such a child is one of three equally likely kinds" in plainly
    for rate, exact in (("1/1000", False), ("rare", True), (0, True)):
        plain["condition"]["mutation"] = {"maternal": rate, "paternal": rate}
        (text,) = told(plain, "half_for_two_thirds")
        assert ("Such a child is, but for new mutation, one of three" in text) != exact


@pytest.mark.parametrize("slip", ["partner_certain", "partner_ignored"])
@pytest.mark.parametrize(
    ("tests", "child", "tail"),
    [
        ([], {}, "that of the population."),
        ([{"test": "t", "result": "negative"}], {}, "population, before test results are counted."),
        ([], WELL, "population, before what is known of descendants is counted."),
        (
            [{"test": "t", "result": "positive"}],
            WELL,
            "before test results and what is known of descendants are counted.",
        ),
    ],
)
def test_the_chance_of_a_partner_begins_with_the_population(slip, tests, child, tail):
    test = {"name": "t", "sensitivity": "9/10", "specificity": "19/20"}
    people = [*SIBS, one("m3", **WELL, tests=tests), one("f4", ("m3", "f2"), **child)]
    ask = {"ask": "child_affected", "parents": ["m3", "f2"]}
    plain = family("autosomal_recessive", {"carrier": "1/50"}, people, ask, tests=[test])
    (text,) = told(plain, slip)
    assert text.endswith(tail)
    if slip == "partner_certain":
        assert text.startswith("This takes m3 to be a carrier for sure.")
        assert ("Nothing says so" in text) == (not tests and not child)


def test_a_partner_is_a_carrier_only_where_there_are_carriers():
    people = [one("m1", **WELL), one("f1", **ILL)]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    penetrance = {"0": 0, "1": "1/2", "2": "1/2"}
    plain = family("autosomal_dominant", {"allele": "1/9"}, people, ask, penetrance=penetrance)
    (text,) = told(plain, "partner_certain")
    assert text.startswith("This takes m1 to have the disease allele for sure.")


@pytest.mark.parametrize(
    ("penetrance", "full", "share"),
    [
        ({"0": 0, "1": "1/2", "2": "1/2"}, "Here some never are", ["multiply by the share"]),
        ({"0": "1/9", "1": "1.0", "2": 1}, "Here others are, too", ["add their share"]),
        (
            {"0": "1/9", "1": "1/2", "2": "1/2"},
            "Here some never are",
            ["multiply by the share", "add their share"],
        ),
    ],
)
def test_who_is_affected_without_the_genotype_is_not_said_to_be_one_of_those_who_never_are(
    penetrance, full, share
):
    people = [one("m1", **WELL), one("f1", **ILL), one("m2", ("m1", "f1"))]
    ask = {"ask": "will_be_affected", "person": "m2"}
    plain = family("autosomal_dominant", {"allele": "1/9"}, people, ask, penetrance=penetrance)
    assert all(full in text for text in told(plain, "full_penetrance"))
    assert told(plain, "full_penetrance")
    (text,) = told(plain, "penetrance_forgotten")
    for part in ("multiply by the share", "add their share"):
        assert (part in text) == (part in share)


def child_of_the_affected(inheritance, parent, child, **more):
    """Somebody healthy with an affected parent and one who is well, asked about as a carrier."""
    people = [one("m1", **WELL), one("f1", **WELL), one(child, ("m1", "f1"), **WELL)]
    people[parent == "f1"]["affected"] = True
    ask = {"ask": "carrier", "person": child}
    return family(inheritance, {"carrier": "1/40"}, people, ask, **more)


def test_no_half_is_said_of_a_parent_who_has_no_other_copy():
    mother = child_of_the_affected("autosomal_recessive", "f1", "m2")
    father = child_of_the_affected("x_linked_recessive", "m1", "f2")
    for plain, parent, child in ((mother, "f1", "m2"), (father, "m1", "f2")):
        (text,) = told(plain, "plain_half")
        assert f"{parent} is affected, though, and has no copy without the allele" in text
        assert f"ask what {child} gets" in text
        assert "Whether a parent" not in text
    (text,) = told(mother, "two_thirds")
    assert "f1 is affected, though" in text
    assert "how likely the parents are to be carriers" not in text
    # Where carriers may be affected, too, an affected mother may have one copy.
    some = {"0": 0, "1": "1/10", "2": 1}
    (text,) = told(
        child_of_the_affected("autosomal_recessive", "f1", "m2", penetrance=some), "plain_half"
    )
    assert "Whether a parent of m2 has one" in text


def niece(grandparents, uncle, mother, test):
    """m4, the child of an affected man's healthy sister f2 and of m3."""
    people = [one("m1", **grandparents), one("f1", **grandparents)]
    people += [one("m2", ("m1", "f1"), **ILL), one("f2", ("m1", "f1"), **WELL)]
    people += [one("m3", **mother), one("m4", ("m3", "f2"), **WELL, tests=test)]
    people += [one("f5", ("m1", "f1"), **uncle)]
    tests = [{"name": "t", "sensitivity": "9/10", "specificity": 1}]
    ask = {"ask": "carrier", "person": "m4"}
    return family("autosomal_recessive", {"carrier": "1/50"}, people, ask, tests=tests)


NEGATIVE = [{"test": "t", "result": "negative"}]


@pytest.mark.parametrize(
    ("case", "text"),
    [
        # The parents of an affected man, being well, are carriers for certain, and f2 their child.
        (
            niece(WELL, {}, WELL, NEGATIVE),
            "which f2 is. What the other parent, m3, may pass on, and what is known of m4, count",
        ),
        # m3 is known to have no allele: the test alone is left out, as m4 cannot have two.
        (niece(WELL, WELL, {"genotype": 0}, NEGATIVE), "which f2 is. What is known of m4 counts"),
        # Of m1 and f1 nothing is known: each may have two copies, and f5, being well, tells of it.
        (
            niece({}, WELL, {"genotype": 0}, []),
            "is taken for. What the parents of f2 may be besides, and what is known of others in",
        ),
    ],
)
def test_of_half_of_two_thirds_that_is_said_which_this_family_leaves_out(case, text):
    assert text in beside_half_of_two_thirds(read_case(json.dumps(case)), "m4", "f2")


def test_of_the_plain_half_that_is_said_which_this_family_leaves_out():
    # f2 is the daughter of a carrier (her mother) and of a man without the allele.
    people = [one("f1", genotype=1), one("m1", **WELL), one("f2", ("m1", "f1"), **WELL)]
    people[2]["tests"] = NEGATIVE
    tests = [{"name": "t", "sensitivity": "9/10", "specificity": 1}]
    ask = {"ask": "carrier", "person": "f2"}
    plain = family("x_linked_recessive", {"allele": "rare"}, people, ask, tests=tests)
    assert beside_the_half(read_case(json.dumps(plain)), "f2") == "What is known of f2 counts too."
    # Nobody is known to be a carrier now, and a brother who is well says something of the mother.
    people[0] = one("f1")
    people.append(one("m2", ("m1", "f1"), **WELL))
    plain = family("x_linked_recessive", {"allele": "1/9"}, people, ask, tests=tests)
    assert beside_the_half(read_case(json.dumps(plain)), "f2") == (
        "Whether a parent of f2 has one, and what is known of f2 and others in the family, count "
        "too."
    )


def test_of_a_healthy_child_with_a_test_only_what_counts_is_said_to_be_left_out():
    """A grandmother whose daughter, with an affected son, has a normal enzyme level.

    Where new mutation and selection are in balance, a daughter who is well says nothing on the X.
    """
    people = [one("m1"), one("f1"), one("m2", **WELL)]
    people.append(one("f2", ("m1", "f1"), **WELL, tests=[{"test": "t", "result": "normal"}]))
    people += [one("m3", ("m2", "f2"), **ILL), one("m4", ("m2", "f2"), **WELL)]
    level = {"normal": {"0": "95%", "1": "1/3", "2": "1/3"}}
    level["raised"] = {"0": "5%", "1": "2/3", "2": "2/3"}
    plain = family(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": 0}},
        people,
        {"ask": "carrier", "person": "f1"},
        mutation={"maternal": "rare", "paternal": "rare"},
        tests=[{"name": "t", "likelihood": level}],
    )
    texts = told(plain, "ignored_healthy_children")
    both = [text for text in texts if "m4" in text and "f2" in text]
    assert both == [
        (
            "This is the answer without the test result of f2, and without m4, who is healthy. A "
            "healthy child says something about its parents too, though less than an affected one."
        )
    ]
    alone = [text for text in texts if "m4" not in text]
    assert alone == [
        (
            "This is the answer without the test result of f2. What a child's test says counts for "
            "its parents, too."
        )
    ]


def test_of_full_penetrance_only_what_it_leaves_out_is_said():
    """Carriers are affected in part: nobody without the allele is, and everyone at risk is."""
    table = {"female": {"0": 0, "1": "1/10", "2": 1}, "male": {"0": 0, "1": 1}}
    people = [*SIBS, one("m3", **WELL)]
    asks = ({"ask": "carrier", "person": "f2"}, {"ask": "child_affected", "parents": ["m3", "f2"]})
    plain, of_child = (
        family("x_linked_recessive", {"allele": "rare"}, people, ask, penetrance=table)
        for ask in asks
    )
    (text,) = told(plain, "full_penetrance")
    assert text == (
        "This takes carriers never to be affected. Here 1/10 of them are, so that a carrier's "
        "being well counts 9/10."
    )
    (text,) = told(of_child, "full_penetrance")
    assert "a carrier daughter counts 1/10, and a carrier's being well counts 9/10." in text
    (text,) = told(of_child, "penetrance_forgotten")
    assert text.endswith("the genotype is. Some carriers are affected, too: add their share.")


def test_nobody_is_said_to_be_well_where_that_tells_nothing():
    people = [one("m1", **WELL), one("f1", **ILL), one("m2", ("m1", "f1"))]
    ask = {"ask": "will_be_affected", "person": "m2"}
    penetrance = {"0": 0, "1": "1/2", "2": "1/2"}
    plain = family("autosomal_dominant", {"allele": "rare"}, people, ask, penetrance=penetrance)
    (text,) = told(plain, "full_penetrance")
    assert text.endswith("Here some never are: multiply by the share who are.")
    people.append(one("m3", ("m2", "f2"), **WELL))
    people.append(one("f2", **WELL))
    texts = told(plain, "full_penetrance")
    assert texts[0].endswith("so that being well is weaker evidence.")
