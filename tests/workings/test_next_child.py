"""Why a next child has the chance that it has, and rows that average over somebody else."""

from dataclasses import replace
from fractions import Fraction as F

import pytest

from risk import actions
from risk.document.blocks import Table, flatten
from risk.document.working import working_blocks
from tests.workings.families import case, person, told

COUPLE = {"ask": "child_affected", "parents": ["I-1", "I-2"]}
RARE = {"allele": "rare"}


def couple(**facts):
    return [person("I-1", "male", **facts), person("I-2", "female", **facts)]


def test_homozygotes_who_are_not_born_leave_two_thirds():
    """Of 1/4, 1/2 and 1/4 the last are not born: 1/2 of the remaining 3/4."""
    (text,) = told(
        "autosomal_dominant",
        RARE,
        couple(affected=True),
        [COUPLE],
        viability={"0": "1", "1": "1", "2": "0"},
    )
    assert "no copy with chance 1/4, one copy with 1/2 and two copies with 1/4" in text
    assert "born alive with chance 1, 1 and 0: in all 1/4 + 1/2 = 3/4" in text
    assert "(1/2) / (3/4) = 2/3 of those born" in text


HALF_BORN = {"0": "1", "1": "1", "2": "1/2"}
SEVERAL = {"ask": "children_affected", "parents": ["I-1", "I-2"]}


def test_a_live_birth_tells_of_the_parents():
    """Two carriers have 7/8 of their children born alive, other couples here all of them."""
    people = [person("I-1", "male", genotype=1), person("I-2", "female", affected=False)]
    asked = [COUPLE, {**SEVERAL, "of": 2, "at_least": 1}]
    one, two = told("autosomal_recessive", {"carrier": "1/20"}, people, asked, viability=HALF_BORN)
    assert one.endswith(
        "As the child is born alive, the chance of these genotypes is not 1/20, but "
        "(1/20 × 7/8) / (1/20 × 7/8 + 19/20) = 7/159."
    )
    # 1/20 x 49/64 = 49/1280 beside 19/20 = 1216/1280.
    assert "which is (1/8) / (7/8) = 1/7 of those born; so each child is affected" in two
    assert two.endswith("(1/20 × (7/8)²) / (1/20 × (7/8)² + 19/20) = 49/1265.")


def test_a_live_birth_tells_of_several_pairs_of_genotypes():
    """Of an affected mother and a father from the population, three pairs can be."""
    people = [person("I-1", "male"), person("I-2", "female", genotype=2)]
    frequency = {"allele": "1/2"}
    (text,) = told(
        "autosomal_recessive", frequency, people, [COUPLE], viability={**HALF_BORN, "2": "1/3"}
    )
    # He was born alive: 1/4, 1/2 and 1/12 are 3/10, 3/5 and 1/10; of his children 1, 2/3 and 1/3
    # are born.
    assert text.endswith(
        "over all pairs, 3/10 + 3/5 × 2/3 + 1/10 × 1/3 = 11/15; what follows is of those born."
    )


def test_no_live_birth_is_told_where_all_are_born_alike():
    people = [person("I-1", "male", genotype=1), person("I-2", "female", affected=False)]
    (text,) = told("autosomal_recessive", {"carrier": "1/20"}, people, [COUPLE])
    assert "alive" not in text


@pytest.mark.parametrize(
    ("of", "least", "sum_"),
    [
        (3, 2, "two or more of three with 3 × (2/3)² × 1/3 + (2/3)³ = 20/27"),
        # 1 - 1/243 - 10/243.
        (5, 2, "two or more of five with 1 - (1/3)⁵ - 5 × 2/3 × (1/3)⁴ = 232/243"),
        (9, 5, "five or more of nine with (2/3)ᵏ × (1/3)⁹⁻ᵏ times the ways to choose k of nine"),
    ],
)
def test_at_least_so_many_affected_children_are_a_sum(of, least, sum_):
    """One child has chance 2/3, of 1/4, 1/2 and 1/4 the last not being born."""
    (text,) = told(
        "autosomal_dominant",
        RARE,
        couple(affected=True),
        [{**SEVERAL, "of": of, "at_least": least}],
        viability={"0": "1", "1": "1", "2": "0"},
    )
    assert "which is (1/2) / (3/4) = 2/3 of those born; so each child is affected" in text
    assert sum_ in text


def test_each_genotypes_penetrance_is_a_summand():
    """1/2 x 4/5 + 1/4 = 13/20."""
    (text,) = told(
        "autosomal_dominant",
        RARE,
        couple(affected=True),
        [COUPLE],
        penetrance={"0": "0", "1": "4/5", "2": "1"},
    )
    assert "one copy with chance 1/2 and two copies with 1/4" in text
    assert "is affected with chance 4/5 and 1: 1/2 × 4/5 + 1/4 = 13/20" in text


def test_two_without_the_allele_have_a_child_with_two_new_ones():
    """Both must be new, with 1/1000 × 1/2: that this is u/2, too, is no reason."""
    new = {"maternal": "1/1000", "paternal": "1/2"}
    parts = ("autosomal_recessive", {"allele": 0}, couple(genotype=0))
    (text,) = told(*parts, [COUPLE], mutation=new)
    assert "(u = 1/1000 in eggs and v = 1/2 in sperm: uv), with chance 1/2000." in text
    onset = [{"age": 10, "cumulative": "2/5"}]
    (text,) = told(*parts, [{**COUPLE, "by_age": 10}], mutation=new, onset=onset)
    assert "in sperm: 2/5 × uv), with chance 1/5000. Here 2/5 is the share" in text


def test_nothing_is_passed_on_by_a_mother_without_the_allele():
    """Half of all are affected, with the allele or without."""
    half = {"0": "1/2", "1": "1/2"}
    (text,) = told(
        "x_linked_recessive",
        RARE,
        [person("I-1", "male", genotype=1), person("I-2", "female", genotype=0)],
        [{**COUPLE, "sex": "male"}],
        penetrance={"male": half, "female": {**half, "2": "1/2"}},
    )
    assert "a son of theirs has no copy, and then is affected with chance 1/2" in text


def test_half_the_children_on_the_x_are_sons():
    people = [person("I-1", "male", affected=False), person("I-2", "female", genotype=1)]
    (text,) = told("x_linked_recessive", {"allele": "1/100"}, people, [COUPLE])
    assert "A child is affected only if I-2 passes the allele on to a son: 1/2 × 1/2 = 1/4." in text


def test_a_row_that_averages_over_a_partner_is_a_sum():
    """One mosaic of two people: 1/100 x 1/5; two: 99/100 x 1/5 + 1/100 x 9/25."""
    people = [*couple(), person("II-1", "male", ("I-1", "I-2"), affected=True)]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "0"},
        people,
        [{"ask": "disease_allele", "person": "I-1"}],
        germline_mosaicism={"prior": "1/100", "gametes": "1/5"},
    )
    assert "1/100 are germline mosaics, who pass it on in 1/5 of eggs or sperm" in text
    assert "1/100 × 1/5 = 1/500 if I-1 has no copy of the allele" in text
    assert "99/100 × 1/5 + 1/100 × 9/25 = 126/625 if I-1 is a germline mosaic" in text


def test_a_row_that_averages_over_a_daughter_is_a_sum_too():
    """A daughter of a woman without the allele has it anew with chance 2e (egg or sperm); her
    sons' facts have chance e if she has none, 1/2 x 1/2 x 1/2 if she is a carrier."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female"),
        person("II-1", "male", affected=False),
        person("II-2", "female", ("I-1", "I-2")),
        person("III-1", "male", ("II-1", "II-2"), affected=True),
        person("III-2", "male", ("II-1", "II-2"), affected=False, count=2),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "0"}},
        people,
        [{"ask": "carrier", "person": "I-2"}],
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    assert "if I-2 has no copy of the allele ε + 2ε × 1/8 = 5/4 ε and if I-2 is a" in text
    assert "a carrier 1/2 × 1/8 = 1/16." in text


def test_several_pairs_have_a_rule_for_their_chances():
    people = [person("I-1", "male"), person("I-2", "female")]
    (text,) = told("autosomal_recessive", {"allele": "1/100"}, people, [COUPLE])
    assert "(a carrier: 1/2; two copies: 1) a child is affected with chance ab" in text


@pytest.mark.parametrize(
    ("sons", "said"),
    [
        ((False,), "Half the children get the allele: 1 - 1/2 × 4/5 = 3/5."),
        ((True,), "Half the children get the allele: 1/2 × 4/5 = 2/5."),
        ((False, False), "Each son is unaffected with chance 1 - 1/2 × 4/5 = 3/5 if Lea has one"),
    ],
)
def test_a_child_of_somebody_with_one_copy_falls_ill_with_half_the_penetrance(sons, said):
    """80% of those with the allele, whom half the children are; their father has none to give."""
    children = [
        person(f"II-{n}", "male", ("Max", "Lea"), affected=affected)
        for n, affected in enumerate(sons)
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "1/1000"},
        [person("Max", "male", genotype=0), person("Lea", "female"), *children],
        [{"ask": "disease_allele", "person": "Lea"}],
        penetrance={"0": "0", "1": "80%", "2": "80%"},
    )
    assert said in text


def test_alike_children_say_which_parents_their_chance_holds_for():
    people = [
        person("Ola", "female", affected=False),
        person("Pim", "male", affected=False),
        person("Boys", "male", ("Pim", "Ola"), affected=False, count=3),
    ]
    asked = [
        {"ask": "child_affected", "parents": ["Pim", "Ola"]},
        {"ask": "carrier", "person": "Boys"},
    ]
    couple, boys = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    assert "Each son is unaffected with chance 3/4 if Pim and Ola are both carriers" in couple
    # 1/5488 is not one boy's chance of being affected, but that of either of two others.
    assert "1 - " not in boys
    assert "the chance of that is 5487/5488 with no allele, 111/112 for a carrier" in boys
    assert "The other two count in this row, too, averaged over what the parents may have" in boys
    people[:2] = [person("Ola", "female", genotype=1), person("Pim", "male", genotype=1)]
    (boys,) = told("autosomal_recessive", {"carrier": "1/25"}, people, asked[1:])
    assert "The other two count in this row, too, alike whatever this one has." in boys


def test_nothing_is_explained_of_the_father_of_a_son_on_the_x():
    people = [
        person("Bo", "male", affected=False),
        person("Eva", "female", affected=False),
        person("Al", "male", ("Bo", "Eva"), affected=True),
    ]
    asked = {"ask": "child_affected", "parents": ["Bo", "Eva"]}
    balance = {"mutation_selection_balance": {"fitness": 0}}
    new = {"maternal": "rare", "paternal": "rare"}
    mode = "x_linked_recessive"
    son, child = told(mode, balance, people, [{**asked, "sex": "male"}, asked], mutation=new)
    assert "Bo is unaffected" not in son and "Bo comes from" not in son
    assert "A father gives his sons no X, so a son is affected only if Eva is a carrier" in son
    # Of a daughter he would be needed.
    assert "Bo is unaffected" in child


def test_children_of_parents_of_whom_neither_is_certain_bring_a_row_each():
    """An affected son and an unaffected daughter are not alike, and nobody says "they"."""
    people = [
        *couple(affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": 0},
        people,
        [COUPLE],
        mutation={"maternal": "1/100", "paternal": "1/100"},
        germline_mosaicism={"prior": "1/100", "gametes": "1/5"},
    )
    assert "so that each counts in the table on its own (alike ones together)." in text


def test_the_reason_that_a_father_gives_no_x_does_not_part_a_sentence():
    people = [person("Jim", "male"), person("Liv", "female", affected=True)]
    asked = {"ask": "child_affected", "parents": ["Jim", "Liv"], "sex": "male"}
    (text,) = told("x_linked_dominant", {"allele": "rare"}, people, [asked])
    assert text.count("for certain") == 1
    assert text.endswith(
        "A father gives his sons no X, so a son is affected only if Liv passes the allele on: 1/2."
    )
    people = [person("Jim", "male"), person("Liv", "female", affected=False)]
    (text,) = told("x_linked_recessive", {"carrier": "1/9"}, people, [asked])
    assert "no X, so a son is affected only if Liv is a carrier and passes the allele on" in text


@pytest.mark.parametrize(
    ("mode", "asked", "rule", "then"),
    [
        # a is 1/2 or 1, b is 0 or 1; a son has his mother's X alone, and is half of all children.
        (
            "x_linked_recessive",
            {},
            "a son is affected with chance a and a daughter with chance ab; both sexes are equally",
            lambda a, b: (a + a * b) / 2,
        ),
        (
            "x_linked_dominant",
            {},
            "a son is affected with chance a and a daughter with chance 1 - (1 - a)(1 - b); both",
            lambda a, b: (a + 1 - (1 - a) * (1 - b)) / 2,
        ),
        (
            "x_linked_recessive",
            {"sex": "female"},
            "a daughter is affected with chance ab.",
            lambda a, b: a * b,
        ),
        (
            "x_linked_recessive",
            {"sex": "male"},
            "a son is affected with chance a.",
            lambda a, b: a,
        ),
        (
            "x_linked_recessive",
            {"ask": "child_carrier"},
            "a daughter has one copy with chance a(1 - b) + b(1 - a) and two with ab.",
            lambda a, b: a * (1 - b) + b * (1 - a),
        ),
    ],
)
def test_several_pairs_on_the_x_have_a_rule_for_their_chances(mode, asked, rule, then):
    """The rule, worked out here, is also what the rows say."""
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2")),
        person("II-2", "male"),
    ]
    question = {"ask": "child_affected", "parents": ["II-1", "II-2"], **asked}
    one = case(mode, {"allele": "1/100"}, people, [question])
    (working,) = actions.explain(one)
    (step,) = [step for step in working.steps if step.combine is not None]
    assert rule in step.text
    half = "a carrier" if mode.endswith("recessive") else "one copy"
    assert f"II-1 passes the allele on ({half}: 1/2; two copies: 1)" in step.text
    b_told = "and b for the chance that II-2 does (with the allele: 1)" in step.text
    assert b_told == (asked.get("sex") != "male")
    rows = [each for each in step.combine if each.product]
    assert len(rows) > 1
    for each in rows:
        assert each.chance == then(F(each.case["II-1"], 2), F(each.case["II-2"]))


def test_a_sons_cases_are_the_mothers_alone_on_the_x():
    """q = 1/100, whatever the father has: 99/5000 x 1/2 + 1/10000 = 1/100."""
    people = [person("I-1", "male"), person("I-2", "female"), person("I-3", "female", genotype=1)]
    asked = {"ask": "child_affected", "sex": "male"}
    one = case(
        "x_linked_recessive",
        {"allele": "1/100"},
        people,
        [{**asked, "parents": ["I-1", mother]} for mother in ("I-2", "I-3")],
    )
    unknown, carrier = [working.steps[-1] for working in actions.explain(one)]
    assert [(line.label, line.weight, line.chance, line.product) for line in unknown.lines] == [
        ("I-2 carrier", F(99, 5000), F(1, 2), F(99, 10000)),
        ("I-2 two copies", F(1, 10000), F(1), F(1, 10000)),
    ]
    assert "For each genotype of I-2 (a father gives his sons no X): its chance" in unknown.text
    assert carrier.text == (
        "I-3 is known to be a carrier. A father gives his sons no X, so a son is affected only if "
        "I-3 passes the allele on: 1/2."
    )
    # The record for other programs keeps a case for each pair of genotypes.
    assert len(unknown.combine) == 4
    shown = [row.cells for row in working_table(one)]
    assert shown == [
        ("I-2 carrier", "99/5000", "1/2", "99/10000"),
        ("I-2 two copies", "1/10000", "1", "1/10000"),
        ("together", "", "", "1/100"),
    ]


def test_a_son_counts_by_his_mother_alone_also_where_his_father_has_no_allele():
    people = [person("I-1", "male", affected=False), person("I-2", "female")]
    asked = {**COUPLE, "sex": "male"}
    one = case("x_linked_recessive", {"allele": "1/100"}, people, [asked])
    assert [row.cells for row in working_table(one)][:2] == [
        ("I-2 carrier", "99/5000", "1/2", "99/10000"),
        ("I-2 two copies", "1/10000", "1", "1/10000"),
    ]
    (working,) = actions.explain(one)
    assert working.idle == ("I-1 is unaffected",)


def test_what_is_added_up_over_a_father_tied_to_the_mother_is_said_to_be():
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
    ]
    asked = {**COUPLE, "sex": "male"}
    (text,) = told("x_linked_recessive", {"allele": "1/100"}, people, [asked])
    assert "its chance, added up over what I-1 may have, times that of what is asked" in text


def test_sons_and_daughters_with_one_chance_are_children():
    # Of a mother who has one copy or two, and a father who has none.
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=True),
    ]
    (text,) = told("x_linked_dominant", {"allele": "1/100"}, people, [COUPLE])
    assert text.endswith("(one copy: 1/2; two copies: 1), a child is affected with chance a.")


def working_table(one):
    """The rows of the one table that the first working of a case shows."""
    blocks = flatten(working_blocks(actions.explain(one)[0], one))
    (table,) = [block for block in blocks if isinstance(block, Table)]
    return table.rows


@pytest.mark.parametrize("frequency", ["rare", "1/100"])
@pytest.mark.parametrize("known", [{}, {"affected": False}])
def test_a_son_says_nothing_of_his_father(frequency, known):
    people = [person("Tom", "male", **known), person("Eva", "female"), person("Ida", "female")]
    people[1]["genotype"] = 1
    asked = {"ask": "child_affected"}
    carrier, other, daughter = told(
        "x_linked_recessive",
        {"allele": frequency},
        people,
        [
            {**asked, "sex": "male", "parents": ["Tom", "Eva"]},
            {**asked, "sex": "male", "parents": ["Tom", "Ida"]},
            {**asked, "sex": "female", "parents": ["Tom", "Eva"]},
        ],
    )
    assert carrier == (
        "Eva is known to be a carrier. A father gives his sons no X, so a son is affected only if "
        "Eva passes the allele on: 1/2."
    )
    assert other.startswith("Ida comes from the population")
    assert "Tom" not in other
    # The daughter has the same parents, and a father of whom it matters what he has.
    assert "Tom has" in daughter


def test_two_relatives_who_are_taken_together_have_a_table():
    """Double cousins, by two couples of common ancestors: what one has tells of the other."""
    people = [
        *[person(f"I-{n}", "male" if n % 2 else "female") for n in (1, 2, 3, 4)],
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "male", ("I-1", "I-2")),
        person("II-3", "female", ("I-3", "I-4")),
        person("II-4", "female", ("I-3", "I-4")),
        person("III-1", "male", ("II-1", "II-3"), affected=False),
        person("III-2", "female", ("II-2", "II-4"), affected=False),
    ]
    pair = ["III-1", "III-2"]
    asked = [{"ask": "both_carriers", "people": pair}, {"ask": "child_affected", "parents": pair}]
    one = case("autosomal_recessive", {"allele": "1/100"}, people, asked)
    for working in actions.explain(one):
        (step,) = working.steps
        assert "so that both are taken together, from what is known of" in step.text
        assert "II-1, III-1 and III-2 are unaffected" in step.text
        blocks = flatten(working_blocks(working, one))
        tables = [block for block in blocks if isinstance(block, Table)]
        rows = [row.cells[0] for row in tables[0].rows]
        assert rows[-1] == "III-1 carrier, III-2 carrier"
        assert len(rows) == len(step.hypotheses) > 1


def test_two_who_tell_nothing_of_each_other_have_no_second_table():
    people = [person("I-1", "male", affected=False), person("I-2", "female", affected=False)]
    asked = [{"ask": "both_carriers", "people": ["I-1", "I-2"]}]
    one = case("autosomal_recessive", {"allele": "1/100"}, people, asked)
    (working,) = actions.explain(one)
    last = flatten(working_blocks(replace(working, steps=working.steps[-1:]), one))
    assert not [block for block in last if isinstance(block, Table)]


def test_of_one_child_any_number_counts_and_it_is_not_unaffected_for_certain():
    asked = {**SEVERAL, "of": 1, "at_least": 0}
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, couple(genotype=1), [asked])
    assert "affected with chance 1/4: affected or not, it counts" in text


def test_rates_of_zero_are_no_new_mutation_and_several_children_follow_from_one():
    # One child: 1/4 from one mosaic, 1 - (3/4)^2 = 7/16 from two; of two children at least one:
    # 1 - (3/4)^2 = 7/16 and 1 - (9/16)^2 = 175/256.
    several = {"ask": "children_affected", "parents": ["I-1", "I-2"], "of": 2, "at_least": 1}
    people = [*couple(affected=False), person("II-1", "female", ("I-1", "I-2"), affected=True)]
    parts = ("autosomal_dominant", {"allele": 0}, people, [COUPLE, several])
    mosaics = {"prior": "1/100", "gametes": "1/4"}
    for rate in (0, "1/1000"):
        found = told(*parts, germline_mosaicism=mosaics, mutation={"maternal": rate, "paternal": 0})
        assert ["new mutation" in text for text in found] == [bool(rate)] * 2
    text = told(*parts, germline_mosaicism=mosaics)[1]
    assert "(a germline mosaic: 1/4) a child is affected with chance 1 - (1 - a)(1 - b)" in text
    assert (
        "with p for the chance that one child is affected, at least one of two is affected" in text
    )
    assert "1 - (1 - p)²" in text


@pytest.mark.parametrize(
    ("asked", "rule"),
    [
        ({"of": 3, "exactly": 0}, "none of three is affected with chance (1 - p)³"),
        ({"of": 2, "exactly": 2}, "both are affected with chance p²"),
        ({"of": 3, "exactly": 1}, "one of three can be chosen in 3 ways, each with chance p × (1"),
        ({"of": 3, "at_least": 2}, "pᵏ × (1 - p)³⁻ᵏ times the ways to choose k of three"),
        ({"of": 1, "exactly": 0}, "it is unaffected with 1 - p"),
    ],
)
def test_so_many_of_several_children_have_their_rule(asked, rule):
    question = {"ask": "children_affected", "parents": ["I-1", "I-2"], **asked}
    (text,) = told("autosomal_recessive", {"allele": "1/10"}, couple(), [question])
    assert rule in text


def test_on_the_x_only_daughters_need_two_copies():
    people = [person("Jim", "male", affected=False), person("Liv", "female", genotype=1)]
    asked = {"ask": "child_affected", "parents": ["Jim", "Liv"], "sex": "female"}
    (text,) = told("x_linked_recessive", {"allele": "1/9"}, people, [asked])
    assert "A daughter is affected only with two copies, one from each parent" in text


def test_on_the_x_a_carrier_is_a_daughter_in_the_working_too():
    """All daughters of an affected man have his allele, and none of his sons."""
    people = [person("I-1", "male", affected=True), person("I-2", "female", affected=False)]
    asked = {"ask": "child_carrier", "parents": ["I-1", "I-2"]}
    parts = "x_linked_recessive", RARE, people
    (text,) = told(*parts, [asked])
    assert text.endswith("and so carries nothing. Every daughter of theirs is a carrier.")
    (working,) = actions.explain(case(*parts, [asked]))
    assert "The next daughter of I-1 and I-2 is a carrier" in working.conclusion


COUSINS = [
    person("I-1", "male"),
    person("I-2", "female"),
    person("II-1", "male", ("I-1", "I-2"), affected=True),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
    person("II-3", "male", ("I-1", "I-2"), affected=False),
    person("X", "male"),
    person("Y", "female"),
    person("III-1", "male", ("X", "II-2"), affected=False),
    person("III-2", "female", ("II-3", "Y"), affected=False),
    person("IV-1", "female", ("III-1", "III-2"), affected=False),
]


def test_an_unaffected_partner_is_not_said_to_have_two_copies_by_a_vanishing_chance():
    """III-2 is a carrier with 2/3 x 1/2; with two copies she would be affected."""
    asked = [{"ask": "carrier", "person": "III-1"}]
    text = told("autosomal_recessive", RARE, COUSINS, asked)[0]
    whole = "so that the chance of all this is 2/3 + 1/3 × 3/4 = 11/12 if III-1 is a carrier"
    assert f"III-2 is a carrier with chance 1/3, {whole}" in text
    assert "III-2 is a daughter of II-3." in text
    family = case("autosomal_recessive", RARE, COUSINS, asked)
    (working,) = actions.explain(family)
    blocks = flatten(working_blocks(working, family))
    shown = " ".join(block.text for block in blocks if hasattr(block, "text"))
    assert "II-3 is a carrier with chance 2/3, and then passes it on with chance 1/2" in shown
    assert [step.people for step in working.steps] == [("II-2",), ("II-3",), ("III-1",)]
    assert working.steps[-1].rows[-1].uses == (working.steps[1].id,)
    assert "ε" not in shown


def test_a_vanishing_quantity_is_said_to_stay_where_the_sum_has_none():
    """A row 1 and 3ε has the sum 1, and ε is still there in the result."""
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2")),
        person("III-1", "male", ("X", "II-2"), affected=True),
        person("X", "male"),
    ]
    family = case(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": 0}},
        people,
        [{"ask": "carrier", "person": "II-2"}],
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    (working,) = actions.explain(family)
    blocks = flatten(working_blocks(working, family))
    (note,) = [each.text for each in blocks if getattr(each, "text", "").startswith("ε stands")]
    assert "divided by a sum that has it too; otherwise it stays, for a later step" in note


def test_the_father_of_a_son_on_the_x_is_explained_where_a_daughter_tells_of_both():
    # II-2 is unaffected unless both give her the allele, and I-1 may be a mosaic.
    mother = person("I-2", "female", affected=False)
    (working,) = actions.explain(
        case(
            "x_linked_recessive",
            {"allele": "1/5000"},
            [
                person("I-1", "male", affected=False),
                mother,
                person("II-1", "male", ("I-1", "I-2"), affected=True),
                person("II-2", "female", ("I-1", "I-2"), affected=False),
            ],
            [{**COUPLE, "sex": "male"}],
            germline_mosaicism={"prior": "1/2000", "gametes": "1/4"},
        )
    )
    father, _, couple = working.steps
    assert father.people == ("I-1",)
    assert "I-1 is unaffected, which rules out the allele" in father.text
    assert father.posterior == (F(1999, 2000), F(1, 2000), 0)
    assert couple.rows[0].uses == ("s1", "s2")


FAMILY_OF_TWO = [
    *couple(affected=False),
    person("II-1", "female", ("I-1", "I-2"), affected=True),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
]


def test_a_row_about_both_parents_says_what_a_child_has_by_its_own_genotype():
    """Of one parent with one copy 1/2 × 1/100 + 1/2 × 3/5 = 61/200 are affected."""
    parts = ("autosomal_dominant", {"allele": "1/1000"}, FAMILY_OF_TWO)
    asked = [{"ask": "disease_allele", "person": "II-2"}]
    phenocopies = {"0": "1/100", "1": "3/5", "2": "3/5"}
    (text,) = told(*parts, asked, penetrance=phenocopies)
    by_own = (
        "II-1 is affected: the chance of that is 1/100 with no allele, else 3/5, weighed by what a "
        "child of the two may have: "
    )
    assert by_own in text
    assert "1/4 × 1/100 + 3/4 × 3/5 = 181/400." in text
    # Where the phenotype shows the genotype there is nothing to say.
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, FAMILY_OF_TWO, asked)
    assert "weighed by what a child" not in text


def test_a_row_averaged_over_a_partner_says_what_a_child_has_by_its_own_genotype():
    """A child of two carriers is affected with 1/4 × 1/2 = 1/8.

    I-1's parents are related, so that the copy not passed on is not as anyone's.
    """
    (text,) = told(
        "autosomal_recessive",
        {"allele": "1/20"},
        [{**FAMILY_OF_TWO[0], "inbreeding": "1/64"}, *FAMILY_OF_TWO[1:3]],
        [{"ask": "carrier", "person": "I-1"}],
        penetrance={"0": "0", "1": "0", "2": "1/2"},
    )
    assert "× 1/8 + " in text
    assert (
        "II-1 is affected: the chance of that is 1/2 with two copies, else 0, weighed by what a "
        "child of the two may have: if I-1 and I-2 are both carriers 1/4 × 1/2 = 1/8 and if one of "
        "I-1 and I-2 has two copies of the allele and the other is a carrier 1/2 × 1/2 = 1/4."
    ) in text


def test_long_numbers_of_a_short_sum_are_decimals():
    """A woman's daughter, her husband unaffected, has one allele with 1/2 × (1 + u) × (1 - u) +
    1/2 × (1 - u) × u, about 1/2, if she is a carrier; that daughter's son is then affected with
    (1 + u)/2, so that he is with about 0.2501."""
    people = [
        *couple(affected=False),
        person("II-1", "male", affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("III-1", "male", ("II-1", "II-2"), affected=True),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"allele": "1/10000"},
        people,
        [{"ask": "carrier", "person": "I-2"}],
        mutation={"maternal": "1/10000", "paternal": "1/10000"},
    )
    assert "if I-2 is a carrier ≈0.4999 × 1/10000 + ≈0.50005 × 10001/20000 ≈ 0.2501." in text


@pytest.mark.parametrize(
    ("asked", "then"),
    [
        (COUPLE, "A child is affected only if I-2 passes the allele on: 1/2."),
        ({**SEVERAL, "of": 2, "at_least": 2}, "Each child is affected with chance 1/2, "),
    ],
)
def test_what_is_certain_of_two_parents_is_said_once(asked, then):
    """An unaffected father, an affected mother, and a son who has nothing of hers."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=True),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
    ]
    (text,) = told("autosomal_dominant", {"allele": "1/100"}, people, [asked])
    assert (
        f"so for certain I-1 has no copy of the allele and I-2 has one copy of the allele. {then}"
        in text
    )
    assert text.count("I-2 has one copy") == 1


def test_carriers_among_the_born_are_counted_in_a_whole_sentence():
    """Of 1/2 with the allele half are born: 1/4 of all, and 1/3 of the 3/4 born."""
    people = [person("I-1", "male", genotype=0), person("I-2", "female", genotype=1)]
    asked = {"ask": "child_carrier", "parents": ["I-1", "I-2"]}
    parts = ("autosomal_dominant", {"allele": "1/50"}, people)
    (text,) = told(*parts, [asked], viability={"0": "1", "1": "1/2", "2": "0"})
    assert "= 1/4 have just one copy and are born alive, which is (1/4) / (3/4) = 1/3 of" in text
    (text,) = told(*parts, [COUPLE], viability={"0": "1", "1": "1/2", "2": "0"})
    assert "= 1/4 are affected and born alive, which is (1/4) / (3/4) = 1/3 of" in text


def last_step(mode, people, asked, **condition):
    """The last step of the working of one question, and its chances by what the two have."""
    one = case(mode, {"allele": "1/100"}, people, [asked], **condition)
    (working,) = actions.explain(one)
    step = working.steps[-1]
    return step.text, {tuple(each.case.values()): each.chance for each in step.combine}


def test_of_several_children_each_falls_ill_by_its_copies():
    """From none and one copy a child has the allele with 1/2, and then falls ill with 1/2."""
    asked = {**SEVERAL, "of": 2, "at_least": 1}
    penetrance = {"0": "0", "1": "1/2", "2": "1/2"}
    text, chances = last_step("autosomal_dominant", couple(), asked, penetrance=penetrance)
    assert (
        "and with two copies with chance ab. The chance that it is affected is 0 with no copy, "
        "else 1/2; with p for the chance that one child is affected, at least one of "
        "two is affected with chance 1 - (1 - p)²."
    ) in text
    p = F(1, 2) * F(1, 2)
    assert chances[0, 1] == 1 - (1 - p) ** 2


def test_of_several_pairs_children_are_counted_among_those_born():
    """Of two carriers 1/4, 1/2 and 1/4 are conceived, and 1, 9/10 and 1/2 of these are born."""
    viability = {"0": "1", "1": "9/10", "2": "1/2"}
    parts = ("autosomal_recessive", couple())
    text, chances = last_step(*parts, COUPLE, viability=viability)
    born = "The chance that it is born alive is 1 with no copy, 9/10 with one copy and 1/2 with two"
    assert born in text
    assert (
        "Of those born, the chance is that of being born alive and affected, divided by that of "
        "being born alive."
    ) in text
    alive = F(1, 4) + F(1, 2) * F(9, 10) + F(1, 4) * F(1, 2)
    assert chances[1, 1] == F(1, 4) * F(1, 2) / alive
    asked = {"ask": "child_carrier", "parents": ["I-1", "I-2"]}
    text, chances = last_step(*parts, asked, viability=viability)
    assert "is that of being born alive with just one copy, divided by that of being" in text
    assert "affected is" not in text
    assert chances[1, 1] == F(1, 2) * F(9, 10) / alive


def test_on_the_x_daughters_and_sons_are_affected_and_born_each_in_their_way():
    """From a father with none and a mother with one copy: half of all are daughters."""
    text, chances = last_step(
        "x_linked_dominant",
        couple(),
        COUPLE,
        penetrance={"female": {"0": "0", "1": "1/2", "2": "1"}, "male": {"0": "0", "1": "1"}},
        viability={"female": {"0": "1", "1": "1", "2": "1/2"}, "male": {"0": "1", "1": "1/4"}},
    )
    assert (
        "both sexes are equally likely. The chance that a daughter is affected is 0 with no copy, "
        "1/2 with one copy and 1 with two copies. The chance that a son is affected is 0 with no "
        "copy and 1 with the allele."
    ) in text
    assert "that a son is born alive is 1 with no copy and 1/4 with the allele. Of those" in text
    daughter, son = F(1, 2) * F(1, 2), F(1, 2) * F(1, 4)
    assert chances[0, 1] == (daughter + son) / (1 + F(1, 2) + F(1, 2) * F(1, 4))


def test_an_age_counts_in_the_chances_by_copies():
    """Half of the 80% who ever fall ill do so by 40."""
    asked = {**COUPLE, "by_age": 40}
    text, chances = last_step(
        "autosomal_dominant",
        couple(),
        asked,
        penetrance={"0": "0", "1": "4/5", "2": "4/5"},
        onset=[
            {"age": 0, "cumulative": "0"},
            {"age": 40, "cumulative": "1/2"},
            {"age": 80, "cumulative": "1"},
        ],
    )
    assert "The chance that it is affected by the age of 40 is 0 with no copy, else 2/5." in text
    assert chances[0, 1] == F(1, 2) * F(2, 5)


def test_new_mutation_changes_a_normal_allele_and_adds_nothing_to_certainty():
    """A carrier passes it on with 1/2, or a normal allele that mutated: 1/2 + 1/2 x 1/1000."""
    mutation = {"maternal": "1/1000", "paternal": "1/500"}
    text, chances = last_step("x_linked_recessive", couple(), COUPLE, mutation=mutation)
    changes = "a normal allele changes into it by new mutation in"
    assert (
        f"I-2 passes the allele on (a carrier: 1/2; two copies: 1; {changes} 1/1000 of eggs) and"
        in text
    )
    assert f"I-1 does (with the allele: 1; {changes} 1/500 of sperm), a son" in text
    a, b = F(1, 2) + F(1, 2) * F(1, 1000), F(1, 500)
    assert chances[0, 1] == F(1, 2) * a + F(1, 2) * a * b
    text, _ = last_step("autosomal_recessive", couple(), COUPLE, mutation=mutation)
    assert f"{changes} 1/1000 of eggs and 1/500 of sperm) a child" in text


NO_X = "A father gives his sons no X"
NEEDS_TWO = "daughter is affected only with two copies, one from each parent, and I-2 has no copy"


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        (COUPLE, f"{NO_X}, a {NEEDS_TWO} of the allele."),
        ({**SEVERAL, "of": 2, "at_least": 1}, f"{NO_X}, a {NEEDS_TWO} of the allele."),
        ({**COUPLE, "sex": "male"}, f"{NO_X}, and I-2 has no copy of the allele."),
        ({**COUPLE, "sex": "female"}, f"A {NEEDS_TWO} of the allele."),
    ],
)
def test_an_affected_father_has_no_affected_child_on_the_x_for_a_reason(asked, reason):
    people = [person("I-1", "male", affected=True), person("I-2", "female", affected=False)]
    (text,) = told("x_linked_recessive", RARE, people, [asked])
    assert text.endswith(f"and so carries nothing. {reason}")


@pytest.mark.parametrize(
    ("mode", "genotypes", "asked", "reason", "more"),
    [
        (
            "autosomal_recessive",
            (1, 1),
            {},
            "Children with two copies are never born alive, and no others are affected.",
            {"viability": {"0": "1", "1": "1", "2": "0"}},
        ),
        (
            "x_linked_recessive",
            (0, 1),
            {},
            "Sons with the allele are never born alive, and no others are affected.",
            {"viability": {"female": HALF_BORN, "male": {"0": "1", "1": "0"}}},
        ),
        (
            "autosomal_recessive",
            (2, 2),
            {"ask": "child_carrier"},
            "The two can have only children with two copies.",
            {},
        ),
        (
            "autosomal_dominant",
            (0, 1),
            {},
            "only children with no copy and children with one copy, who are never affected.",
            {"penetrance": {"0": "0", "1": "0", "2": "1"}},
        ),
        (
            "autosomal_recessive",
            (2, 2),
            {**SEVERAL, "of": 2, "exactly": 1},
            "Every child who is born to the two is affected.",
            {},
        ),
        (
            "autosomal_recessive",
            (None, None),
            {**SEVERAL, "of": 2, "exactly": 1},
            "With each of these pairs of genotypes all children born are affected, or none.",
            {"viability": {"0": "1", "1": "0", "2": "1"}},
        ),
    ],
)
def test_what_no_child_can_have_says_why(mode, genotypes, asked, reason, more):
    people = couple()
    for each, genotype in zip(people, genotypes, strict=True):
        if genotype is not None:
            each["genotype"] = genotype
    (text,) = told(mode, {"allele": "1/50"}, people, [{**COUPLE, **asked}], **more)
    assert text.endswith(reason)


def test_in_the_rare_limit_only_rarer_parents_may_have_children():
    """From two copies and none comes one copy, which is never born; from two and two, two."""
    people = [person("I-1", "male", affected=True), person("I-2", "female")]
    parts = ("autosomal_recessive", RARE, people, [COUPLE])
    one = case(*parts, viability={"0": "1", "1": "0", "2": "1"})
    (working,) = actions.explain(one)
    assert "No child of such a pair is ever born alive" in working.steps[-1].text
    assert "certain" in working.conclusion
