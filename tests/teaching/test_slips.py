"""Slips of the bundled cases and of random families, against the case files they stand for."""

import json
from fractions import Fraction as F

import pytest
import strategies
from hypothesis import given, note, settings

from risk import actions
from risk.case.read import read_case
from risk.teaching.mark import mark
from risk.teaching.slips import KINDS, NAMES, slips
from tests.teaching.slip_cases import (
    CASES,
    DONE,
    ILL,
    QUESTIONS,
    SIBS,
    WELL,
    by_brute_force,
    condition,
    edited,
    edits,
    family,
    genotype,
    in_part,
    marked,
    of_some,
    one,
)


def one_question(name, number):
    case = json.loads(CASES[name], parse_float=str)
    case["questions"] = [case["questions"][number]]
    return case


@pytest.mark.parametrize(("name", "number"), QUESTIONS)
def test_every_slip_of_every_bundled_case(name, number):
    plain = one_question(name, number)
    case = read_case(CASES[name])
    true = by_brute_force(plain)
    wanted = {("complement", 1 - true), ("percent_sign", true * 100), ("percent_sign", true / 100)}
    for slip, changed in edits(plain):
        value = by_brute_force(changed)
        if value is not None:
            wanted.add((slip, value))
    parts = {(slip, by_brute_force(changed)) for slip, changed in in_part(plain)}
    wanted |= {(slip, value) for slip, value in parts if value is not None and felt(value, true)}
    wanted = {(slip, value) for slip, value in wanted if value != true and sensible(slip, value)}
    made = [slip for slip in slips(case, number) if slip.name not in BY_HAND]
    found = {(slip.name, slip.result[0]) for slip in made}
    for slip in made:
        if slip.chosen and (slip.name, slip.result[0]) not in wanted:
            # Some of many: which ones is not said by the table, but what was done to them is.
            assert slip.name in ("ignored_healthy_relatives", "ignored_healthy_children")
            assert felt(slip.result[0], true)
            changed = edited(plain, of_some(dict(slip.chosen), DONE[slip.name]))
            assert by_brute_force(changed) == slip.result[0]
            wanted.add((slip.name, slip.result[0]))
    # The table speaks of "the one" parent of a dominant condition: the one at risk.
    extra = {pair for pair in wanted - found if pair[0] == "transmission_forgotten"}
    # Relatives who make no difference, or next to none, are not what was forgotten.
    reached = {value for _, value in found}
    wanted -= {
        (slip, value)
        for slip, value in wanted - found
        if slip == "ignored_healthy_relatives" and (value in reached or not felt(value, true))
    }
    assert found <= wanted
    assert wanted - found == extra
    if plain["condition"]["inheritance"].endswith("recessive"):
        assert not extra
    for slip, value in found:
        if value.denominator < 10**60:
            got = mark(case, str(value), number)
            same = {each for each, other in found if other == value} - {"percent_sign"}
            unnamed = {"percent_sign"}  # which a fraction cannot show
            if "ignored_children" in got.slips:
                # Who is healthy among the children is forgotten with these.
                unnamed |= {"ignored_healthy_relatives", "ignored_healthy_children"} - {*got.slips}
            assert set(got.slips) - BY_HAND == same - unnamed
            if slip not in unnamed:
                assert (got.verdict, slip in got.slips) == ("slip", True), (slip, value)


#: Slips that no edit of a case file makes, or not in one way: each has its own test below.
BY_HAND = {
    *("half_for_two_thirds", "mutation_forgotten", "married_in_ignored", "parents_certain"),
    *(
        "zygosity_kept",
        "joint_not_divided",
        "likelihood_for_posterior",
        "step_forgotten",
        "penetrance_forgotten",
    ),
    *("plain_half", "likelihood_upside_down", "unaffected_counted", "two_thirds"),
    *("mosaicism_forgotten", "positive_is_proof", "carriers_certain", "one_child"),
    *("children_multiplied", "children_independent", "order_forgotten", "exactly_for_at_least"),
    *("kinship_ignored", "only_by_descent", "onset_from_birth", "half_of_two_thirds"),
    *("two_q", "not_all_for_none", "odds_for_chance", "only_affected", "rare_allele"),
    *("affected_for_carrier", "births_not_divided", "perfect_specificity"),
    *("rare_in_family", "plain_balance", "grandsons_as_sons", "prior_alone"),
}


#: Those of the table up to here may lead to certainty.
ANY_RESULT = NAMES[: NAMES.index("ignored_healthy_children")]


def felt(value, true):
    """What is left out of some people only counts where it moves the answer by a twentieth."""
    return abs(value - true) > true / 20


def sensible(slip, value):
    """Slips lead to no more than 1, and the later ones of the table to no certainty."""
    return value <= 1 and (slip in ANY_RESULT or value not in (0, 1))


#: Slips whose edits the table fixes without saying who in the family is meant.
PLAIN = ("ignored_unaffected", "ignored_children", "ignored_tests", "perfect_tests", "ignored_age")
PLAIN += ("ignored_healthy_children", "ignored_viability", "ignored_identical_twins", "child_sex")
PLAIN += ("ignored_by_age",)


@settings(max_examples=60)
@given(strategies.cases(asked=1))
def test_slips_of_random_families(plain):
    note(json.dumps(plain))
    if plain["questions"][0]["ask"] == "genotype":
        return
    true = by_brute_force(plain)
    if true is None:
        return
    case = read_case(json.dumps(plain))
    exact = all(chance.exact is not None for chance in [actions.solve(case).answers[0].probability])
    wanted = set()
    for slip, changed in edits(plain):
        value = by_brute_force(changed)
        if slip in PLAIN and value is not None and sensible(slip, value):
            wanted.add((slip, value if exact else round(float(value), 10)))
    for slip, changed in in_part(plain):
        value = by_brute_force(changed)
        if value is not None and felt(value, true) and sensible(slip, value):
            wanted.add((slip, value if exact else round(float(value), 10)))
    true = true if exact else round(float(true), 10)
    found = {
        (slip.name, slip.result[0] if exact else round(float(slip.result[0]), 10))
        for slip in slips(case)
        if slip.name in PLAIN
    }
    differ = {pair for pair in wanted if pair[1] != true}
    assert {pair for pair in found if pair[1] != true} == differ


@pytest.mark.parametrize(
    ("name", "number", "joint"),
    [
        # By hand: what stands before the division in the tables of the answers' own sources.
        ("healthy-sister", 0, F(1, 2)),  # 1/2 of 3/4
        ("healthy-sister", 1, F(1, 2) * F(1, 25) * F(1, 4)),
        ("healthy-sons", 0, F(1, 2) * F(1, 8)),
        ("healthy-sons", 1, F(1, 2) * F(1, 8) * F(1, 2)),
        ("negative-test", 0, F(1, 2) * F(1, 10)),  # a student may begin with 1/2 ...
        ("negative-test", 1, F(1, 25) * F(1, 10)),
        ("enzyme-level", 0, F(1, 2) * F(1, 4) * F(1, 3)),
        ("reduced-penetrance", 0, F(1, 2) * F(1, 5)),
        ("late-onset", 0, F(1, 2) * F(1, 2) * F(39, 40)),
        ("variant-classes", 1, F(1, 25) * F(15, 100)),
        # ... or with the 2/3 of whoever is known to be well.
        ("negative-test", 0, F(2, 3) * F(1, 10)),
    ],
)
def test_joint_not_divided(name, number, joint):
    case = read_case(CASES[name])
    assert joint in [s.result[0] for s in slips(case, number) if s.name == "joint_not_divided"]
    assert "joint_not_divided" in mark(case, str(joint), number).slips


@pytest.mark.parametrize(
    ("name", "number", "slip", "wrong"),
    [
        # By hand, from the tables of the answers' own sources.
        ("healthy-sons", 0, "likelihood_for_posterior", F(1, 8)),  # three healthy sons
        ("negative-test", 0, "likelihood_for_posterior", F(1, 10)),  # a carrier tests negative
        ("late-onset", 0, "likelihood_for_posterior", F(39, 40) * F(1, 2)),
        ("first-cousins", 1, "step_forgotten", F(1, 2)),  # 1/4, one half left out
        ("first-cousins", 3, "step_forgotten", F(2, 3) * F(1, 2) * F(1, 4)),
        ("healthy-sister", 1, "step_forgotten", F(2, 3) * F(1, 25) * F(1, 2)),
        ("healthy-sons", 1, "child_sex", F(1, 9) * F(1, 4)),  # a son's chance is 1/9 x 1/2
        ("reduced-penetrance", 1, "penetrance_forgotten", F(1, 6) * F(1, 2)),  # x 4/5 affected
        ("twins", 1, "ignored_identical_twins", F(1, 2)),
        ("late-onset", 2, "ignored_by_age", F(19, 119)),
        # A half and being well with 1/5: the wrong way up, 4/5, it is 4/5 to 1; and of a child
        # 1/6 x 4/5 without the half.
        ("reduced-penetrance", 0, "likelihood_upside_down", F(4, 9)),
        ("reduced-penetrance", 1, "step_forgotten", F(1, 6) * F(4, 5)),
        ("negative-test", 0, "likelihood_upside_down", F(9, 14)),  # 2/3 x 9/10 to 1/3
        ("lethal-balance", 0, "plain_half", F(1, 2)),
        ("four-children", 0, "unaffected_counted", 1 - F(1, 4) ** 4),  # one of four is well
        ("four-children", 1, "unaffected_counted", 4 * F(3, 4) * F(1, 4) ** 3),
        ("four-children", 2, "unaffected_counted", F(1, 4) ** 4),
        ("four-children", 2, "one_child", F(3, 4)),  # is not affected
        ("four-children", 2, "not_all_for_none", 1 - F(1, 4) ** 4),
        ("first-cousins", 1, "two_thirds", F(2, 3)),
        ("first-cousins", 2, "two_thirds", F(2, 3) ** 2),
        # The partner's chance as it is, 1/241, and the healthy sister a carrier for certain.
        ("negative-test", 2, "carriers_certain", F(1, 241) * F(1, 4)),
    ],
)
def test_slips_by_hand(name, number, slip, wrong):
    case = read_case(CASES[name])
    assert wrong in [each.result[0] for each in slips(case, number) if each.name == slip]
    assert slip in mark(case, str(wrong), number).slips


def cousin_of(uncle_sister):
    """A man's carrier chance whose mother or aunt is the healthy sister of an affected boy."""
    family = json.loads(CASES["healthy-sister"], parse_float=str)
    family["condition"]["frequency"] = {"allele": "rare"}
    family["people"] += [
        {"id": "II-9", "sex": "male"},
        {"id": "III-9", "sex": "male", "father": "II-9", "mother": uncle_sister},
    ]
    family["questions"] = [{"ask": "carrier", "person": "III-9"}]
    return read_case(json.dumps(family))


def test_a_half_for_two_thirds_and_a_half_left_out_on_the_way():
    # The nephew of an affected boy by his healthy sister: 2/3 x 1/2.  With 1/2 for 2/3 it is 1/4,
    # and without the step from mother to son 2/3.
    case = cousin_of("II-2")
    found = {(slip.name, slip.result[0]) for slip in slips(case)}
    assert ("half_for_two_thirds", F(1, 4)) in found
    assert ("step_forgotten", F(2, 3)) in found
    assert mark(case, "1/4").slips == ("half_for_two_thirds",)
    # Not knowing whether she is affected is another case: 1/2 x 1/2 + 1/4 x 1.
    assert ("ignored_healthy_relatives", F(1, 2)) in found
    told = mark(case, "2/3")
    assert "step_forgotten" in told.slips
    assert "III-9" in told.feedback


@pytest.mark.parametrize(
    ("answer", "named"),
    [
        ("0.67", True),  # 1/150 is 0.67%
        ("0.667", True),
        ("2/3", False),  # a fraction has no percent sign
        ("67%", False),
        ("0.0067%", True),
        ("0.67%", False),  # right
    ],
)
def test_a_percent_sign_lost_or_put_too_many(answer, named):
    got = mark(read_case(CASES["healthy-sister"]), answer, 1)
    assert ("percent_sign" in got.slips) == named


def test_the_bundled_cases_lead_to_every_slip_but_those_named_here():
    assert len(set(NAMES)) == len(NAMES) == 56
    found = {
        slip.name for name, number in QUESTIONS for slip in slips(read_case(CASES[name]), number)
    }
    # No bundled case has an affected child of parents of unknown phenotype, twins in doubt, a
    # test positive in some without the allele, several children whose parents are in doubt, or
    # relatives who are not independent: the cousins' grandparents are carriers for certain.  None
    # gives q, and of recessive conditions none asks about children of an affected parent, or has
    # a relative who may have the allele from two sides beside a partner from the population; the
    # balance of mutation is the textbook's, and on the X nobody has a daughter with sons.
    assert found == set(NAMES) - {
        *("parents_certain", "zygosity_kept", "positive_is_proof"),
        *("children_multiplied", "children_independent", "only_by_descent", "kinship_ignored"),
        *("two_q", "affected_for_carrier", "perfect_specificity"),
        *("rare_in_family", "plain_balance", "grandsons_as_sons"),
    }


def test_slips_are_those_of_the_themes_and_refer_to_each_other():
    assert tuple(kind.name for kind in KINDS) == NAMES
    for kind in KINDS:
        assert kind.sets or kind.changes or kind.reads or kind.of_true
        simpler = () if callable(kind.gives_way_to) else kind.gives_way_to
        assert {*simpler, *kind.includes, *kind.part_of} < {*NAMES}


def test_a_slip_that_changes_nothing_is_none():
    case = read_case(CASES["four-children"])
    found = {slip.name for slip in slips(case, 0)}
    assert found == {
        *("complement", "transmission_forgotten", "percent_sign"),
        *("one_child", "order_forgotten", "exactly_for_at_least", "unaffected_counted"),
    }


def test_a_genotype_question_has_distributions():
    plain = one_question("healthy-sister", 0)
    plain["questions"] = [{"ask": "genotype", "person": "II-2"}]
    case = read_case(json.dumps(plain))
    results = {slip.name: slip.result for slip in slips(case)}
    # Among the children of two carriers, whether well or not.
    assert results["ignored_unaffected"] == (F(1, 4), F(1, 2), F(1, 4))
    # The same before the division, with the affected ruled out.
    assert results["joint_not_divided"] == (F(1, 4), F(1, 2), 0)
    assert "complement" not in results


def test_whoever_marries_in_above_may_carry_too():
    people = [*SIBS, one("m3", **WELL), one("f3", ("m3", "f2"), **WELL)]
    ask = {"ask": "carrier", "person": "f3"}
    plain = family("autosomal_recessive", {"carrier": "1/50"}, people, ask)
    said = marked(plain, "married_in_ignored", edited(plain, genotype("m3", 0)))
    assert "takes m3 to carry nothing" in said
    # Of a partner of whoever is asked about another slip speaks.
    plain["questions"] = [{"ask": "carrier", "person": "f2"}]
    names = {slip.name for slip in slips(read_case(json.dumps(plain)))}
    assert "married_in_ignored" not in names


def test_parents_of_unknown_phenotype_may_have_two_copies():
    people = [one("m1"), one("f1"), *SIBS[2:]]
    ask = {"ask": "carrier", "person": "f2"}
    plain = family("autosomal_recessive", {"carrier": "1/50"}, people, ask)
    changed = edited(edited(plain, genotype("m1", 1)), genotype("f1", 1))
    assert by_brute_force(changed) == F(2, 3)
    assert "m1 and f1 to have one copy for certain" in marked(plain, "parents_certain", changed)


@pytest.mark.parametrize(
    ("frequency", "rate"), [({"allele": "1/1000"}, "1/10000"), ({"allele": "1/50"}, "1/100")]
)
def test_a_new_mutation_may_be_forgotten_and_lead_to_certainty(frequency, rate):
    people = [one("f1"), one("m1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    people.append(one("f2", ("m1", "f1")))
    both = {"maternal": rate, "paternal": rate}
    for id in ("f1", "f2"):
        ask = {"ask": "carrier", "person": id}
        plain = family("x_linked_recessive", frequency, people, ask, mutation=both)
        changed = edited(plain, condition(mutation=None))
        assert "can be new in whoever has it" in marked(plain, "mutation_forgotten", changed)


def test_new_mutation_forgotten_where_it_balances_selection():
    """An isolated case: 2/3 for the mother by the balance, and 1 by whoever forgets mutation."""
    people = [one("f1"), one("m1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    balance = {"mutation_selection_balance": {"fitness": 0}}
    rare = {"maternal": "rare", "paternal": "rare"}
    ask = {"ask": "carrier", "person": "f1"}
    case = read_case(json.dumps(family("x_linked_recessive", balance, people, ask, mutation=rare)))
    assert mark(case, "2/3").verdict == "right"
    assert "mutation_forgotten" in mark(case, "1").slips


def test_the_half_for_two_thirds_comes_first_and_of_a_child_too():
    people = [*SIBS, one("m3", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m3", "f2"]}
    case = read_case(json.dumps(family("autosomal_recessive", {"carrier": "1/50"}, people, ask)))
    got = mark(case, "1/400")
    assert mark(case, "1/300").verdict == "right"
    assert "half_for_two_thirds" in got.slips
    assert got.feedback.startswith("This takes f2, as the healthy child of two carriers, to carry")
    assert "with chance 1/2. Such a child is one of three equally likely kinds" in got.feedback


def test_slips_of_a_child_who_is_born_only_without_two_copies():
    """With two copies nobody is born, so that nothing can be read off such a child."""
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    people = [one("m1"), one("f1")]
    lethal = {"0": 1, "1": 1, "2": 0}
    plain = family("autosomal_recessive", {"allele": "1/10"}, people, ask, viability=lethal)
    case = read_case(json.dumps(plain))
    assert by_brute_force(plain) == 0
    assert mark(case, "0").verdict == "right"
    got = mark(case, "1/100")
    assert got.slips == ("ignored_viability",)


def test_a_positive_test_taken_as_proof():
    # Of 1/20, found in 9/10, against 19/20, of whom 1/50 are positive too: 45/64 carry.
    tested = one("f1", **WELL, tests=[{"test": "t", "result": "positive"}])
    people = [one("m1", **WELL, genotype=1), tested]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    test = {"name": "t", "sensitivity": "9/10", "specificity": "49/50"}
    plain = family("autosomal_recessive", {"carrier": "1/20"}, people, ask, tests=[test])
    assert by_brute_force(plain) == F(45, 256)
    said = marked(plain, "positive_is_proof", edited(plain, genotype("f1", 1)))
    assert "takes the positive test of f1 for proof" in said
    # It is also the partner without a family history taken for a carrier; the test is the reason.
    got = mark(read_case(json.dumps(plain)), "1/4")
    assert {"partner_certain", "positive_is_proof"} <= set(got.slips)
    assert got.feedback.startswith("This takes the positive test of f1 for proof")
    plain["questions"] = [{"ask": "carrier", "person": "f1"}]
    got = mark(read_case(json.dumps(plain)), "1")
    assert got.slips == ("positive_is_proof",)
    # A test that never errs is proof.
    test["specificity"] = "1"
    assert mark(read_case(json.dumps(plain)), "1").verdict == "right"


def test_germline_mosaicism_forgotten_and_no_partner_with_an_affected_child():
    people = [one("f1", **WELL), one("m1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"], "sex": "male"}
    mosaic = {"prior": "1/50", "gametes": "1/4"}
    plain = family(
        "x_linked_recessive", {"carrier": "1/100"}, people, ask, germline_mosaicism=mosaic
    )
    case = read_case(json.dumps(plain))
    got = mark(case, "1/2")  # of a carrier
    assert got.slips == ("mosaicism_forgotten",)
    assert "germline mosaicism out" in got.feedback
    assert not {slip.name for slip in slips(case)} & {"partner_certain", "partner_ignored"}


def test_a_half_for_two_thirds_of_whoever_is_asked_about_and_tested():
    # Prior 1/2, and a test that misses 1/10: 1/10 to 1.  Where nothing else is known, to forget
    # that the person is well is the same slip, and is named alone.
    assert mark(read_case(CASES["negative-test"]), "1/11", 0).slips == ("half_for_two_thirds",)
    assert mark(read_case(CASES["healthy-sister"]), "1/2").slips[0] == "ignored_unaffected"
    assert "half_for_two_thirds" not in mark(read_case(CASES["healthy-sister"]), "1/2").slips


COUSIN = {"ask": "children_affected", "parents": ["m3", "f2"]}


def two_of_a_carrier(**how):
    """Children of the healthy sister of an affected boy and a carrier: both carry with 2/3."""
    ask = {**COUSIN, "of": 3, **how}
    people = [*SIBS, one("m3", **WELL, genotype=1)]
    return family("autosomal_recessive", {"allele": "rare"}, people, ask)


@pytest.mark.parametrize(
    ("how", "slip", "wrong", "words"),
    [
        # One child: 2/3 x 1/4 = 1/6.  At least one of three: 2/3 x 37/64.
        ({"at_least": 1}, "one_child", F(1, 6), "a question about one child"),
        ({"at_least": 1}, "children_multiplied", F(3, 6), "multiplies the chance of one child"),
        ({"at_least": 1}, "children_independent", 1 - F(5, 6) ** 3, "tells of the parents"),
        ({"at_least": 1}, "carriers_certain", F(37, 64), "takes f2 to have the disease allele"),
        ({"at_least": 1}, "exactly_for_at_least", F(2, 3) * F(27, 64), "exactly 1"),
        ({"exactly": 1}, "exactly_for_at_least", F(2, 3) * F(37, 64), "about 1 or more"),
        # One and two of three without the three ways.
        ({"exactly": 1}, "order_forgotten", F(2, 3) * F(9, 64), "one order of the children"),
        ({"at_least": 2}, "order_forgotten", F(2, 3) * (F(3, 64) + F(1, 64)), "one order"),
    ],
)
def test_slips_of_several_children(how, slip, wrong, words):
    got = mark(read_case(json.dumps(two_of_a_carrier(**how))), str(wrong))
    assert slip in got.slips
    assert words in got.feedback


@pytest.mark.parametrize(
    ("facts", "wrong", "slip", "words"),
    [
        # The answer is 1/25 x 1/2; without the half, and with the half for the other parent, too.
        (ILL, F(1, 25), "transmission_forgotten", "how likely it is that f1 has the allele"),
        ({"genotype": 2}, F(1, 25), "transmission_forgotten", "still has to receive it"),
        (ILL, F(1, 100), "affected_for_carrier", "takes m1 for a carrier"),
    ],
)
def test_slips_with_an_affected_parent(facts, wrong, slip, words):
    people = [one("m1", **facts), one("f1", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    plain = family("autosomal_recessive", {"carrier": "1/25"}, people, ask)
    got = mark(read_case(json.dumps(plain)), str(wrong))
    assert got.slips == (slip,)
    assert words in got.feedback


@pytest.mark.parametrize(
    ("inheritance", "more"),
    [
        ("autosomal_dominant", {}),
        # Some carriers are affected: then it is no slip to take somebody affected for one.
        ("autosomal_recessive", {"penetrance": {"0": 0, "1": "1/10", "2": 1}}),
    ],
)
def test_an_affected_parent_may_be_a_carrier(inheritance, more):
    people = [one("m1", **ILL), one("f1", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    plain = family(inheritance, {"allele": "1/10"}, people, ask, **more)
    found = {slip.name for slip in slips(read_case(json.dumps(plain)))}
    assert "affected_for_carrier" not in found


def test_parents_of_one_child_taken_for_carriers():
    got = mark(read_case(CASES["healthy-sister"]), "1/4", 1)
    assert got.slips == ("carriers_certain",)
    assert "to have the disease allele for certain" in got.feedback


LETHAL = {"0": 1, "1": 1, "2": 0}


@pytest.mark.parametrize(
    ("facts", "ask", "true", "wrong"),
    [
        # Of four conceived one has two copies and is lost, and two have one copy: 2/4 to 3/4.
        (ILL, {}, F(2, 3), F(1, 2)),
        # A student takes who is lost for a child who is not affected.
        (ILL, {"of": 3, "exactly": 2}, 3 * F(2, 3) ** 2 * F(1, 3), 3 * F(1, 2) ** 3),
    ],
)
def test_live_birth_not_divided_by(facts, ask, true, wrong):
    people = [one("m1", **facts), one("f1", **facts), one("f2", ("m1", "f1"), **WELL)]
    what = {"ask": "children_affected" if ask else "child_affected", "parents": ["m1", "f1"]}
    plain = family("autosomal_dominant", {"allele": "rare"}, people, what | ask, viability=LETHAL)
    case = read_case(json.dumps(plain))
    assert mark(case, str(true)).verdict == "right"
    got = mark(case, str(wrong))
    assert got.slips == ("births_not_divided",)
    assert "divide by the share who are" in got.feedback
    # Who is lost is not to be multiplied either.
    assert "No table is needed" not in mark(case, "3/7").feedback


def test_births_of_relatives_count_as_before_where_a_childs_does_not():
    # Half of those with two copies are lost: of two carriers' children who are born 1/8 to 7/8 are
    # affected.  The healthy sister carries with 2/3, as before, and her child is conceived so.
    half = {"0": 1, "1": 1, "2": "1/2"}
    people = [*SIBS, one("m3", **WELL, genotype=1)]
    for parents, wrong in ((["m1", "f1"], F(1, 8)), (["m3", "f2"], F(2, 3) * F(1, 8))):
        ask = {"ask": "child_affected", "parents": parents}
        plain = family("autosomal_recessive", {"carrier": "1/50"}, people, ask, viability=half)
        assert "births_not_divided" in mark(read_case(json.dumps(plain)), str(wrong)).slips
    # On the X, lost as a boy: a daughter in four of all.
    table = {"female": {"0": 1, "1": 1, "2": 1}, "male": {"0": 1, "1": 0}}
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    people = [one("m1", **WELL), one("f1", **ILL)]
    plain = family("x_linked_dominant", {"allele": "rare"}, people, ask, viability=table)
    case = read_case(json.dumps(plain))
    assert (mark(case, "1/3").verdict, mark(case, "1/4").slips) == (
        "right",
        ("births_not_divided",),
    )


def test_a_negative_test_is_not_always_negative_without_the_allele():
    # 2/3 carry; of these 1/10 and of the others 199/200 test negative: 40/239, and 1/6 without
    # the latter.  The partner's positive result of the same test counts as it does.
    test = {"name": "t", "sensitivity": "0.9", "specificity": "0.995"}
    people = [*SIBS[:3], {**SIBS[3], "tests": [{"test": "t", "result": "negative"}]}]
    people.append(one("m3", **WELL, tests=[{"test": "t", "result": "positive"}]))
    ask = {"ask": "carrier", "person": "f2"}
    plain = family("autosomal_recessive", {"carrier": "1/25"}, people, ask, tests=[test])
    case = read_case(json.dumps(plain))
    assert mark(case, "40/239").verdict == "right"
    got = mark(case, "1/6")
    assert got.slips == ("perfect_specificity",)
    assert "test negative; only 0.995 of them do, which counts in the negative test of f2" in (
        got.feedback
    )
    plain["questions"] = [{"ask": "child_affected", "parents": ["m3", "f2"]}]
    positive = F(1, 25) * F(9, 10) / (F(1, 25) * F(9, 10) + F(24, 25) * F(1, 200))
    assert "perfect_specificity" in mark(read_case(json.dumps(plain)), str(positive / 24)).slips
    test["specificity"] = 1
    assert "perfect_specificity" not in {s.name for s in slips(read_case(json.dumps(plain)))}


def test_what_floats_lose_is_no_slip():
    # An irrational q makes sums that should be 1 a little more or less.
    people = [one("m1", **WELL), one("f1"), one("f2", **WELL)]
    people.append(one("m2", ("m1", "f2"), count=2))
    ask = {"ask": "child_carrier", "parents": ["f1", "m2"]}
    case = read_case(json.dumps(family("autosomal_dominant", {"incidence": "3%"}, people, ask)))
    true = actions.solve(case).answers[0].probability
    assert true.exact is None
    for slip in slips(case):
        assert float(slip.result[0]) != pytest.approx(true.value, rel=1e-12), slip.name
