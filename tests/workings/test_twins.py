"""What workings say of twins."""

from fractions import Fraction

from risk import actions
from tests.workings.families import case, person, told

COUPLE = [person("I-1", "male", affected=False), person("I-2", "female", affected=False)]
AFFECTED = person("II-3", "male", ("I-1", "I-2"), affected=True)


def twin(id, **more):
    twins = {"group": "t", "zygosity": "unknown", **more.pop("twins", {})}
    return person(id, "female", ("I-1", "I-2"), twin=twins, **more)


def test_two_twins_of_unknown_zygosity_are_worked_out_by_both_possibilities():
    # Both unaffected: 3/4 if monozygotic, 9/16 if not; so they are with (1/3 × 3/4) /
    # (1/3 × 3/4 + 2/3 × 9/16) = 2/5.  Each is a carrier with 2/3: 2/5 × 2/3 + 3/5 × 4/9 = 8/15.
    chance = {"monozygotic_chance": "1/3"}
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/50"},
        [
            *COUPLE,
            twin("II-1", twins=chance, affected=False),
            twin("II-2", twins=chance, affected=False),
            AFFECTED,
        ],
        [{"ask": "both_carriers", "people": ["II-1", "II-2"]}],
    )
    assert "II-1 and II-2 are twins, monozygotic (identical) with chance 1/3" in text
    assert "so I-1 and I-2 are both carriers for certain" in text
    assert (
        "chance 1/4 + 1/2 = 3/4 if they are monozygotic (one genotype) and (1/4 + 1/2) × "
        "(1/4 + 1/2) = 9/16 if not (two genotypes)"
    ) in text
    assert "(1/3 × 3/4) / (1/3 × 3/4 + 2/3 × 9/16) = 2/5" in text
    assert "II-1 carrier, II-2 carrier: 2/5 × 2/3 + 3/5 × 2/3 × 2/3 = 8/15" in text


def test_identical_twins_are_said_to_be_so_and_only_the_parent_is_named_as_one():
    # Tom's child is affected, so both twins are carriers; of the unaffected 1/50 are carriers.
    same = {"group": "t", "zygosity": "monozygotic"}
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/50"},
        [
            *COUPLE,
            person("II-1", "male", ("I-1", "I-2"), name="Tim", twin=same, affected=False),
            person("II-2", "male", ("I-1", "I-2"), name="Tom", twin=same),
            person("II-3", "female", name="Zoe", affected=False),
            person("III-1", "male", ("II-2", "II-3"), affected=True),
            person("II-4", "female", name="Ivy", affected=False),
        ],
        [{"ask": "child_affected", "parents": ["II-1", "II-4"]}],
    )
    assert text.startswith("Tim and Tom are identical (monozygotic) twins, and so have one and the")
    assert "A child is affected only if Ivy is a carrier and both pass the allele on" in text


def test_of_identical_twins_only_the_one_who_is_the_parent_passes_the_allele_on():
    # The affected brother's sisters are unaffected, so carriers with 2/3, and II-2 passes it on
    # with 2/3 × 1/2 = 1/3; with II-4's 1/25 × 1/2 = 1/50 a child has one copy with 1/3 × 49/50 +
    # 2/3 × 1/50 = 17/50, against no allele with 2/3 × 49/50 = 49/75.
    same = {"group": "t", "zygosity": "monozygotic"}
    family = case(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [
            *COUPLE,
            AFFECTED,
            twin("II-1", twins=same, affected=False),
            twin("II-2", twins=same, affected=False),
            person("II-4", "male", affected=False),
            person("III-1", "female", ("II-4", "II-2"), affected=False),
        ],
        [
            {"ask": "carrier", "person": "III-1"},
            {"ask": "child_affected", "parents": ["II-2", "II-4"]},
        ],
    )
    child, couple = [working.steps[-1] for working in actions.explain(family)]
    assert "II-2 is a carrier with chance 2/3. II-2 passes" in child.text
    assert "II-2 passes the allele on with chance 2/3 × 1/2 = 1/3 and II-4 with" in child.text
    assert child.rows[0].text == "from II-2 and II-4"
    assert child.rows[0].values[:2] == (Fraction(49, 75), Fraction(17, 50))
    assert couple.rows[0].text == "II-2 and II-4, independent of each other"


def test_of_what_identical_twins_get_the_verb_is_of_both():
    # Each parent of an affected child is a carrier with 48/49 here, or else affected, so that it
    # passes the allele on with 48/49 × 1/2 + 1/49 = 25/49, and a sibling has none with (24/49)².
    same = {"group": "t", "zygosity": "monozygotic"}
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [
            person("I-1", "male"),
            person("I-2", "female"),
            AFFECTED,
            twin("II-1", twins=same),
            twin("II-2", twins=same),
        ],
        [{"ask": "carrier", "person": "II-2"}],
    )
    assert "so that II-1 and II-2 have no allele with 24/49 × 24/49 = 576/2401" in text


def test_an_affected_twin_makes_carriers_of_the_parents_whichever_twin_is_asked_about():
    # With 1/2 identical and affected; otherwise 1/4, as any child of two carriers: 5/8.
    twins = [twin("II-1"), twin("II-2", affected=True)]
    for people in ([*COUPLE, *twins], [*COUPLE, *reversed(twins)]):
        (text,) = told(
            "autosomal_recessive",
            {"carrier": "1/50"},
            people,
            [{"ask": "genotype", "person": "II-1"}],
        )
        assert "I-1 and I-2 are unaffected and II-2 is affected, so I-1 and I-2" in text
        assert (
            "no allele 1/2 × 1/4 = 1/8; carrier 1/2 × 1/2 = 1/4; affected 1/2 × 1 + 1/2 ×" in text
        )


def test_what_is_known_of_one_twin_alone_has_a_table_and_says_nothing_of_the_zygosity():
    """II-1, a carrier's wife with two unaffected sons: 1/4 and 1/2 × 9/16, so 8/17 and 9/17.

    II-2 then is without the allele with 1/3 × 8/17 + 2/3 × 1/4 = 11/34.
    """
    chance = {"monozygotic_chance": "1/3"}
    people = [
        *COUPLE,
        twin("II-1", twins=chance, affected=False),
        twin("II-2", twins=chance, affected=False),
        AFFECTED,
        person("II-4", "male", genotype=1),
        *[person(f"III-{n}", "male", ("II-4", "II-1"), affected=False) for n in (1, 2)],
    ]
    asked = [{"ask": "carrier", "person": "II-2"}]
    both = [{"ask": "both_carriers", "people": ["II-1", "II-2"]}]
    for questions in (asked, both):
        parts = "autosomal_recessive", {"carrier": "1/20"}, people, questions
        (working,) = actions.explain(case(*parts))
        first, last = working.steps
        assert first.people == ("II-1",)
        assert first.total == Fraction(17, 32)
        assert first.posterior[:2] == (Fraction(8, 17), Fraction(9, 17))
        assert "3/4 × 3/4 = 9/16" in first.text
        assert last.rows[0].uses == (first.id,)
        if questions is asked:
            assert (
                "with chance 1/3 (what is known of one twin alone does not change that) of being"
            ) in last.text
            assert "no allele 1/3 × 8/17 + 2/3 × 1/4 = 11/34" in last.text
        else:
            assert "1/4 + 1/2 × 9/16 = 17/32 if they are monozygotic" in last.text
            assert "(1/4 + 1/2 × 9/16) × (1/4 + 1/2) = 51/128 if not" in last.text


def test_identical_twins_are_said_to_be_so_once_in_a_working():
    same = {"group": "t", "zygosity": "monozygotic"}
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female"),
        *[person(f"II-{n}", "female", ("I-1", "I-2"), twin=same, affected=False) for n in (1, 2)],
        person("II-3", "male"),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        [{"ask": "child_affected", "parents": ["II-3", "II-1"]}],
        penetrance={"0": "0", "1": "3/5", "2": "3/5"},
    )
    assert text.count("identical (monozygotic) twins") == 1


def test_what_is_known_of_either_identical_twin_is_said_to_count_for_both():
    """Each question counts the twin's own health; the other's says the same, and adds nothing."""
    same = {"group": "t", "zygosity": "monozygotic"}
    family = case(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [
            *COUPLE,
            person("II-1", "female", ("I-1", "I-2"), name="Zia", twin=same, affected=False),
            person("II-2", "female", ("I-1", "I-2"), name="Amy", twin=same, affected=False),
            AFFECTED,
            person("II-4", "male", affected=False),
            person("III-1", "male", ("II-4", "II-2"), affected=False),
        ],
        [{"ask": "carrier", "person": id} for id in ("II-1", "II-2")],
    )
    for working, one, other in zip(
        actions.explain(family), ("Zia", "Amy"), ("Amy", "Zia"), strict=True
    ):
        (step,) = working.steps
        rows = ["from two carriers", f"{one} is unaffected", "an unaffected son of Amy"]
        assert [row.text for row in step.rows] == rows
        assert "one and the same genotype: what is known of either counts for both" in step.text
        says = f"{other} is unaffected (which says the same as that {one} is unaffected)"
        assert working.idle == (says,)


def test_twins_are_told_of_where_they_count_whatever_others_are_called():
    """ "Ann and Bo" stands in "Mary Ann and Bob", of whom it is said that they are carriers."""
    same = {"twin": {"group": "t", "zygosity": "monozygotic"}}
    parents = [
        person("I-1", "male", name="Mary Ann", affected=False),
        person("I-2", "female", name="Bob", affected=False),
    ]
    twins = [
        person(id, "male", ("I-1", "I-2"), name=name, **same)
        for id, name in (("II-2", "Ann"), ("II-3", "Bo"))
    ]
    sister = person("II-4", "female", ("I-1", "I-2"), affected=False)
    asked = [{"ask": "carrier", "person": id} for id in ("II-4", "II-2")]
    people = [*parents, person("II-1", "female", ("I-1", "I-2"), affected=True), *twins, sister]
    apart, of_them = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    assert "Mary Ann and Bob are both carriers for certain" in apart
    assert "identical" not in apart
    assert of_them.startswith("Ann and Bo are identical (monozygotic) twins")


def test_what_is_certain_of_both_parents_is_said_once_in_whichever_order_they_are_asked():
    people = [person("I-1", "male", affected=False), person("I-2", "female", affected=False)]
    people.append(person("II-1", "male", ("I-1", "I-2"), affected=True))
    asked = [
        {"ask": "child_affected", "parents": each} for each in (["I-1", "I-2"], ["I-2", "I-1"])
    ]
    for text in told("autosomal_recessive", {"carrier": "1/25"}, people, asked):
        assert text.count("both carriers for certain") == 1


def test_chances_in_a_twins_row_are_derived_and_said_to_be_of_what_is_known_of_the_twin():
    """A test that finds 9/10 of carriers, never wrongly positive, of a twin of two carriers:
    negative with 1/4 + 1/2 × 1/10 = 3/10 for any sibling.
    """
    test = {"name": "t", "sensitivity": "9/10", "specificity": "1"}
    negative = [{"test": "t", "result": "negative"}]
    chance = {"monozygotic_chance": "1/4"}
    people = [*COUPLE, AFFECTED, twin("II-1", twins=chance, affected=False)]
    people.append(twin("II-2", twins=chance, affected=False, tests=negative))
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/20"}, people, asked, tests=[test])
    assert "II-2 is the twin: with chance 1/4 they are monozygotic" in text
    assert "II-2 tested negative (t): the chance of that is 1 with no allele and 1/10" in text
    assert "positive in 9/10 of those with a disease allele (sensitivity)" in text
    assert (
        "If they are not monozygotic, what is known of II-2 has chance 1/4 + 1/2 × 1/10 = 3/10; "
        "altogether: with no allele 3/4 × 3/10 + 1/4 = 19/40 and for a carrier"
    ) in text

    # A third of the same birth, likewise: 1/4 of 19/40 is now the chance of being monozygotic, or
    # 1/4 × 1/10 of 1/4 for a carrier.
    people.append({**people[-1], "id": "II-4"})
    (text,) = told("autosomal_recessive", {"carrier": "1/20"}, people, asked, tests=[test])
    assert "is the twin" not in text
    assert "II-2 is of the same birth: with chance 1/4 they are monozygotic" in text
    assert (
        "II-4 is of the same birth: with chance 1/4 at first, and by the row before "
        "1/4 / (19/40) = 10/19 with no allele and 1/4 × 1/10 / (1/4) = 1/10 for a carrier, they"
    ) in text
    assert "9/19 × 3/10 + 10/19 = 127/190 and for a carrier 9/10 × 3/10 + 1/10 × 1/10" in text


def test_what_is_known_below_a_twin_is_told_by_what_the_twin_may_have():
    # A carrier's two sons are unaffected with 1/2 × 1/2, those of any sibling with 1/2 + 1/8.
    people = [
        person("I-1", "male"),
        person("I-2", "female", genotype=1),
        twin("II-1"),
        twin("II-2"),
        person("II-3", "male"),
        person("III-1", "male", ("II-3", "II-2"), affected=False, count=2),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"allele": "rare"},
        people,
        [{"ask": "carrier", "person": "II-1"}],
    )
    assert "are unaffected, each with chance 1/2 if II-2 is a carrier" in text
    assert "what is known of III-1 has chance 1/2 + 1/2 × 1/4 = 5/8; altogether: with no" in text


def test_a_twin_of_whom_nothing_is_known_is_not_averaged_in():
    people = [
        person("I-1", "male"),
        person("I-2", "female", genotype=1),
        twin("II-1"),
        twin("II-2"),
        person("II-3", "male"),
        person("III-1", "male", ("II-3", "II-2"), affected=False, count=3),
    ]
    asked = [{"ask": "carrier", "person": "II-2"}]
    family = case("x_linked_recessive", {"allele": "rare"}, people, asked)
    (working,) = actions.explain(family)
    assert working.steps[0].rows[0].text == "from a carrier mother"
    assert "zygosity" not in working.steps[0].text


def test_a_twins_prior_names_only_what_is_not_told_before():
    people = [*COUPLE, AFFECTED, twin("II-1", genotype=1), twin("II-2", affected=False)]
    asked = [{"ask": "carrier", "person": "II-2"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/20"}, people, asked)
    assert "II-2 is a twin of unknown zygosity (II-1 is known to be a carrier): with" in text


def test_of_the_sums_of_a_twins_row_only_those_left_out_are_others():
    """On the X, with a father who has no allele, a twin has one or none: one sum is left out."""
    test = {"name": "t", "sensitivity": "9/10", "specificity": "49/50"}
    negative = [{"test": "t", "result": "negative"}]
    people = [person("I-1", "male", affected=False), person("I-2", "female", affected=False)]
    people += [twin("II-1"), twin("II-2", tests=negative)]
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told("x_linked_recessive", {"allele": "1/20"}, people, asked, tests=[test])
    assert (
        "has chance 39/40 × 49/50 + 1/40 × 1/10 = 479/500 with no allele and 1/2 × 49/50 + 1/2 × "
        "1/10 = 27/50 for a carrier; altogether: with no "
        "allele 1/2 × 479/500 + 1/2 × 49/50 = 969/1000 and for a carrier 1/2 × 27/50 + 1/2 × 1/10 "
        "= 8/25."
    ) in text


def test_what_uncertain_parents_have_where_a_twin_has_no_allele_is_told():
    # Each parent is a carrier with 1/20, and if that copy was not passed on with 1/39.  So both
    # pass it on to a sibling with 1/78 × 1/78 = 1/6084; where the twin is a carrier, one of the
    # parents is so for certain: 1/2 × 1/78 = 1/156.
    chance = {"monozygotic_chance": "1/3"}
    people = [*COUPLE, *(twin(id, twins=chance, affected=False) for id in ("II-1", "II-2"))]
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/20"}, people, asked)
    assert (
        "If II-1 has no copy of the allele, neither parent passed it on, and then I-2 is a carrier "
        "with chance 1/40 / (39/40) = 1/39 and I-1 is a carrier with chance 1/40 / (39/40) = 1/39."
    ) in text
    assert "has chance 6083/6084 with no allele and 155/156 for a carrier; altogether" in text


def test_that_sons_are_certain_is_said_of_twins_as_of_others():
    twin = {"twin": {"group": "A", "zygosity": "unknown"}}
    people = [
        person("I-1", "male"),
        person("I-2", "female", affected=True),
        person("II-1", "male", ("I-1", "I-2"), **twin),
        person("II-2", "male", ("I-1", "I-2"), **twin),
    ]
    asked = [{"ask": "disease_allele", "person": each} for each in ("II-1", "II-2")]
    one, two = told("x_linked_recessive", {"carrier": "1/25"}, people, asked)
    assert one.startswith("I-2 is affected, so II-1 has the allele for certain.")
    assert two == one.replace("II-1", "II-2")


def test_a_twins_row_tells_nothing_of_what_is_left_out_of_it():
    """That II-1 has two copies, which a balance of rare mutation makes vanish, is in no row."""
    twin = {"twin": {"group": "A", "zygosity": "unknown"}}
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2"), **twin),
        person("II-2", "female", ("I-1", "I-2"), affected=False, **twin),
        person("III-1", "female", ("I-1", "II-1")),
        person("III-2", "female", ("I-1", "II-1"), genotype=1),
    ]
    asked = [{"ask": "carrier", "person": "III-1"}]
    condition = {
        "mutation": {"maternal": "rare", "paternal": "rare"},
        "penetrance": {
            "female": {"0": "1/50", "1": "1/20", "2": "1/2"},
            "male": {"0": 0, "1": "1/20"},
        },
    }
    frequency = {"mutation_selection_balance": {"fitness": "1/2"}}
    (text,) = told("x_linked_recessive", frequency, people, asked, **condition)
    assert (
        "otherwise they are those of any two siblings. II-2 is unaffected: the chance of that, 1 "
        "minus the penetrance, is 1 - 1/50 = 49/50 with no allele." in text
    )
