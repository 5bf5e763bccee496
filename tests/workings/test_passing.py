"""What a child gets from parents who are not certain, as a sum that a student can follow."""

from tests.workings.families import person, told

GRANDDAUGHTER = [
    person("I-1", "male"),
    person("I-2", "female"),
    person("II-2", "female", ("I-1", "I-2")),
    person("II-1", "male"),
    person("III-1", "male", ("II-1", "II-2"), affected=True),
]


def test_a_father_gives_his_x_to_each_daughter_and_new_mutation_adds_to_both():
    """2e of the mother's 10e is lost: e + 10e/2 from her, e + 3e from him, 10e in all."""
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "1/2"}},
        GRANDDAUGHTER,
        [{"ask": "carrier", "person": "II-2"}],
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    # What the sentence on the population ends with is not said again of I-2.
    assert "a woman is a carrier with chance 2(u + v + 1/2 × u)/(1 - 1/2) = 10ε. I-1 has" in text
    assert "I-1 has the allele with chance 3ε. With new mutation" in text
    assert (
        "With new mutation counted, I-2 passes the allele on with chance ε + 10ε × 1/2 = 6ε and "
        "I-1 with chance ε + 3ε = 4ε, so that II-2 has one copy with 6ε + 4ε = 10ε"
    ) in text
    assert "a parent with one copy" not in text


def test_a_mosaic_parent_passes_the_allele_on_in_the_share_stated():
    """1/10 of the mother's eggs: 4/5 x 1/10 where she is a mosaic with chance 4/5."""
    parents = [person("I-1", "male"), person("I-2", "female", affected=False)]
    (text,) = told(
        "x_linked_recessive",
        {"allele": 0},
        [
            *parents,
            person("II-1", "male", ("I-1", "I-2"), affected=True),
            person("II-2", "female", ("I-1", "I-2")),
        ],
        [{"ask": "carrier", "person": "II-2"}],
        mutation={"maternal": "1/1000", "paternal": "1/1000"},
        germline_mosaicism={"prior": "1/1000", "gametes": "1/10"},
    )
    # A mosaic's egg has the allele with 1/10 + 9/10 x 1/1000 = 1009/10000.
    assert " × 1009/10000 = " in text
    assert "a parent with one copy" not in text
    # Too long for fractions: (1/1000 x 999/1000 + 1009/10000 x 1/1000) is the chance of the son.
    assert "With new mutation counted, I-2 passes the allele on with chance " in text
    assert "I-1 with chance 999/1000 × 1/1000 + 1/1000 × 1009/10000 = 10999/10000000" in text


def test_what_vanishes_beside_a_carriers_half_is_left_out_of_the_sum():
    """Both parents of the child asked about are children of carriers: 2/3 x 1/2 = 1/3 each."""
    grandparents = [
        person(f"{side}{role}", sex, affected=False)
        for side in "AB"
        for role, sex in (("f", "male"), ("m", "female"))
    ]
    people = [*grandparents, person("X", "male"), person("Y", "female")]
    for side, sex, partner in (("A", "female", "X"), ("B", "male", "Y")):
        parents = (f"{side}f", f"{side}m")
        people += [
            person(f"{side}ill", "male", parents, affected=True),
            person(f"{side}2", sex, parents, affected=False),
            person(
                f"{side}3",
                "male" if side == "A" else "female",
                ("X", "A2") if partner == "X" else ("B2", "Y"),
            ),
        ]
    people.append(person("C", "male", ("A3", "B3"), affected=False))
    (text,) = told(
        "autosomal_recessive", {"allele": "rare"}, people, [{"ask": "carrier", "person": "C"}]
    )
    assert (
        "B3 passes the allele on with chance 1/3 × 1/2 = 1/6 and A3 with chance 1/3 × 1/2 = 1/6, "
        "so that C has no allele with 5/6 × 5/6 = 25/36, two copies with 1/6 × 1/6 = 1/36 and one "
        "copy with the rest, 5/18"
    ) in text


def test_parents_of_an_affected_child_are_independent_as_both_chances_multiply():
    """Each passed the allele on, whatever the other has: 58/59 and 1/59 for each alone."""
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/30"},
        [
            person("I-1", "male"),
            person("I-2", "female"),
            person("II-1", "male", ("I-1", "I-2"), affected=True),
            person("II-2", "female", ("I-1", "I-2"), affected=False),
        ],
        [{"ask": "carrier", "person": "II-2"}],
    )
    assert (
        "The chance that II-1 got the allele from both I-2 and I-1 is a product, of one factor for "
        "each parent, so that what I-2 has says nothing more about I-1."
    ) in text
    assert "no allele with 29/59 × 29/59" in text


def test_what_a_parent_passes_on_for_certain_is_no_factor():
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2")),
    ]
    asked = [{"ask": "disease_allele", "person": "II-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/30"}, people, asked)
    assert "I-1 with chance 1" in text
    assert "two copies with 1/60 and one copy with the rest, 59/60" in text
