"""The oracle itself against sums done by hand (each derivation stands beside its check)."""

import json
import math
from fractions import Fraction as F

import oracle
import pytest

AR, AD = "autosomal_recessive", "autosomal_dominant"
XR, XD = "x_linked_recessive", "x_linked_dominant"


def person(name, sex, parents=None, affected=None, **more):
    record = {"id": name, "sex": sex, **more}
    if parents:
        record |= {"father": parents[0], "mother": parents[1]}
    return record if affected is None else record | {"affected": affected}


def family(mode, frequency, people, **condition):
    case = {"version": 1, "people": people}
    case["condition"] = {"inheritance": mode, "frequency": frequency, **condition}
    return oracle.Oracle(oracle.load(json.dumps(case)))


def couple(**more):
    return [person("I-1", "male", **more), person("I-2", "female", **more)]


def ask(question, name="II-1", **more):
    return {"ask": question, "person": name, **more}


def child(question="child_affected", **more):
    return {"ask": question, "parents": ["I-2", "I-1"], **more}


PARENTS = ("I-1", "I-2")


@pytest.mark.parametrize("text", ["0.04", 0.04, "4%", "4e-2", "1/25", "1 in 25", "0.4 / 10"])
def test_numbers_are_read_from_their_text(text):
    assert oracle.number(text) == F(1, 25)


def test_roots():
    assert oracle.root(F(1, 10000)) == (F(1, 100), True)
    value, exact = oracle.root(F(1, 5000))
    assert not exact
    assert abs(value**2 - F(1, 5000)) < F(1, 10**58)


def test_series_is_a_cut_off_polynomial():
    e = oracle.Series([F(0), F(1), F(0)])
    assert ((1 - e) * (1 - e)).terms == (1, -2, 1)
    assert (e * e * e).terms == (0, 0, 0)
    assert oracle.ratio(2 * e * (1 - e), e * 3 + e * e) == F(2, 3)


def test_founders_in_hardy_weinberg_proportions():
    o = family(AR, {"allele": "1/10"}, [person("I-1", "unknown")])
    assert o.people_distributions()["I-1"] == {"0": F(81, 100), "1": F(18, 100), "2": F(1, 100)}


def test_carrier_frequency_is_that_of_the_unaffected():
    # q = c/(2-c); a founder with at most one allele carries with chance 2pq/(1-q^2) = c.
    o = family(AR, {"carrier": "1/25"}, [person("I-1", "male", affected=False)])
    assert o.answer(ask("carrier", "I-1")) == F(1, 25)


@pytest.mark.parametrize(("mode", "q"), [(AR, F(1, 5)), (AD, F(1, 10)), (XR, F(19, 100))])
def test_incidence(mode, q):
    # recessive q^2, dominant 1-(1-q)^2, on the X q itself
    incidence = {AR: q**2, AD: 1 - (1 - q) ** 2, XR: q}[mode]
    o = family(mode, {"incidence": str(incidence)}, couple())
    assert o.allele_frequency(0) == q
    assert o.answer(ask("disease_allele", "I-2")) == 1 - (1 - q) ** 2


def test_inbred_founder():
    # Fq + (1-F)q^2 with F = 1/16, q = 1/100
    o = family(AR, {"allele": "0.01"}, [person("I-1", "male", inbreeding="1/16")])
    q, inbred = F(1, 100), F(1, 16)
    expected = inbred * q + (1 - inbred) * q**2
    assert o.answer(ask("will_be_affected", "I-1")) == expected


def test_balance_gives_haldanes_third_with_and_without_grandparents():
    # One isolated boy, fitness 0: mother a carrier with 2/3; drawing her parents changes nothing.
    people = [*couple(), person("II-1", "male", PARENTS, True)]
    balance = {"mutation_selection_balance": {"fitness": 0}}
    rare = {"mutation": {"maternal": "rare", "paternal": "rare"}}
    assert family(XR, balance, people, **rare).answer(ask("carrier", "I-2")) == F(2, 3)
    people[1] |= {"father": "0-1", "mother": "0-2"}
    people += [person("0-1", "male"), person("0-2", "female")]
    assert family(XR, balance, people, **rare).answer(ask("carrier", "I-2")) == F(2, 3)


def test_balance_with_fitness():
    # H = 2(u+v+fu)/(1-f) = 4(1+f/2)/(1-f) u for u = v; f = 1/2: H = 10u, boy from new mutation u:
    # carrier given an affected son = (10/2) / (10/2 + 1) = 5/6
    people = [*couple(), person("II-1", "male", PARENTS, True)]
    o = family(
        XR,
        {"mutation_selection_balance": {"fitness": "1/2"}},
        people,
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    assert o.answer(ask("carrier", "I-2")) == F(5, 6)
    assert "I-1.fathered" in o.evidence


def test_father_of_unknown_phenotype_is_weighted_under_balance():
    # hemizygous males H/2 + u; u = v = 1/100, f = 1/2: H = 1/10, males 6/100, weighted 3 : 94
    people = [*couple(), person("II-1", "female", PARENTS)]
    rates = {"maternal": "1/100", "paternal": "1/100"}
    o = family(XR, {"mutation_selection_balance": {"fitness": "1/2"}}, people, mutation=rates)
    assert o.answer(ask("disease_allele", "I-1")) == F(3, 97)
    assert o.answer(ask("disease_allele", "I-1"), facts=[]) == F(6, 100)
    assert o.answer(ask("disease_allele", "I-2")) == F(1, 10)


def test_new_mutation():
    # child of two homozygous normal parents: 1 - (1-u)(1-v)
    o = family(AD, {"allele": 0}, couple(), mutation={"maternal": "1/10", "paternal": "1/5"})
    assert o.answer(child()) == 1 - F(9, 10) * F(4, 5)
    # and of a daughter of an X-linked pair the father's rate counts, of a son it does not
    o = family(XD, {"allele": 0}, couple(), mutation={"maternal": "1/10", "paternal": "1/5"})
    assert o.answer(child(sex="female")) == 1 - F(9, 10) * F(4, 5)
    assert o.answer(child(sex="male")) == F(1, 10)


def test_mosaic_mother():
    # An affected son of a healthy non-carrier (q = 0): she is mosaic with
    # m(g+(1-g)u) : (1-m)u; the next son: g + (1-g)u or u.
    m, g, u = F(1, 50), F(1, 4), F(1, 1000)
    people = [*couple(), person("II-1", "male", PARENTS, True)]
    o = family(
        XR,
        {"allele": 0},
        people,
        mutation={"maternal": str(u), "paternal": 0},
        germline_mosaicism={"prior": str(m), "gametes": str(g)},
    )
    passes = g + (1 - g) * u
    is_mosaic = m * passes / (m * passes + (1 - m) * u)
    assert o.answer(child(sex="male")) == is_mosaic * passes + (1 - is_mosaic) * u
    assert o.chances([lambda s: bool(s["I-2"][1])]) == [is_mosaic]
    assert o.people_distributions()["I-2"]["0"] == 1


def test_mosaic_clone_has_one_class():
    # Two affected daughters of a mosaic father (no other way in): both have the same class, so a
    # test that sees class a (3/4 of clones) and finds it in one will find it in the other.
    people = [
        *couple(),
        person("II-1", "female", PARENTS, True, tests=[{"test": "a only", "found": 1}]),
        person("II-2", "female", PARENTS, True),
    ]
    o = family(
        XD,
        {"allele": 0},
        people,
        variants=[{"name": "a", "share": "3/4"}, {"name": "b", "share": "1/4"}],
        tests=[{"name": "a only", "detects": ["a"]}],
        germline_mosaicism={"prior": "1/100", "gametes": "1/3"},
    )
    both_mosaic = o.chances([lambda s: bool(s["I-1"][1]) and bool(s["I-2"][1])])[0]
    assert 0 < both_mosaic < F(1, 10)
    alone = [lambda s: 2 in s["II-2"][0] and not (s["I-1"][1] and s["I-2"][1])]
    assert o.chances(alone) == [0]


def test_variant_classes_and_a_negative_panel():
    # c = 1/25, panel sees 90% of alleles: 0.1c / (0.1c + 1 - c) = 1/241 in the unaffected
    o = family(
        AR,
        {"carrier": "1/25"},
        [person("I-1", "male", affected=False, tests=[{"test": "panel", "found": 0}])],
        variants=[{"name": "seen", "share": "0.9"}, {"name": "unseen", "share": "0.1"}],
        tests=[{"name": "panel", "detects": ["seen"]}],
    )
    assert o.answer(ask("carrier", "I-1")) == F(1, 241)


def test_affected_with_one_allele_found():
    # An affected person (2 alleles, shares 9:1) with one detected has one seen and one unseen; a
    # sib's single allele is then seen or unseen with 1/2 each.
    people = [
        *couple(genotype=1),
        person("II-1", "male", PARENTS, True, tests=[{"test": "panel", "found": 1}]),
        person("II-2", "male", PARENTS, False, tests=[{"test": "panel", "found": 0}]),
    ]
    o = family(
        AR,
        {"carrier": "1/25"},
        people,
        variants=[{"name": "seen", "share": "0.9"}, {"name": "unseen", "share": "0.1"}],
        tests=[{"name": "panel", "detects": ["seen"]}],
    )
    # sib 0/0 1/4 , 0/unseen 1/4, 0/seen 1/4 (ruled out), both 1/4 (ruled out)
    assert o.answer(ask("carrier", "II-2")) == F(1, 2)


def test_twins_of_unknown_zygosity():
    twin = {"group": "a", "zygosity": "unknown", "monozygotic_chance": "1/3"}
    people = [
        *couple(genotype=1),
        person("II-1", "female", PARENTS, True, twin=twin),
        person("II-2", "female", PARENTS, twin=twin),
    ]
    o = family(AR, {"allele": "1/50"}, people)
    assert o.answer(ask("will_be_affected", "II-2")) == F(1, 3) + F(2, 3) * F(1, 4)
    people[3]["sex"] = "male"
    o = family(AR, {"allele": "1/50"}, people)
    assert o.answer(ask("will_be_affected", "II-2")) == F(1, 4)


def test_identical_twins_have_their_own_phenotypes():
    # dominant, penetrance 1/2, mother a carrier: both well: 1/2 * (1/2)^2 : 1/2
    twin = {"group": "a", "zygosity": "monozygotic"}
    people = [person("I-1", "male", genotype=0), person("I-2", "female", genotype=1)]
    people += [person(f"II-{i}", "female", PARENTS, False, twin=twin) for i in (1, 2)]
    o = family(AD, {"allele": "1/50"}, people, penetrance={"0": 0, "1": "1/2", "2": 1})
    assert o.answer(ask("carrier")) == F(1, 5)
    assert o.answer(ask("will_be_affected")) == 0


def test_onset():
    # share 1/2 at 40 (linear): well at 20 has share 1/4; carrier 1/2*(3/4) : 1/2 = 3/7;
    # ever affected: 3/7 * (1 - 1/4)/(3/4) = 3/7, by 40: 3/7 * (1/4)/(3/4) = 1/7
    people = [person("I-1", "male", genotype=0), person("I-2", "female", genotype=1)]
    people += [person("II-1", "female", PARENTS, False, age=20)]
    onset = [{"age": 40, "cumulative": "1/2"}, {"age": 60, "cumulative": 1}]
    o = family(AD, {"allele": "rare"}, people, onset=onset)
    assert o.answer(ask("carrier")) == F(3, 7)
    assert o.answer(ask("will_be_affected")) == F(3, 7)
    assert o.answer(ask("will_be_affected", by_age=40)) == F(1, 7)
    assert o.answer(ask("will_be_affected", by_age=20)) == 0
    assert o.answer(child(by_age=50)) == F(1, 2) * F(3, 4)
    assert [o.share_by(F(a)) for a in (0, 10, 40, 50, 99)] == [0, F(1, 8), F(1, 2), F(3, 4), 1]


def test_live_birth():
    # conceptuses 1:2:1, those with two alleles never born: 1/3, 2/3
    viability = {"0": 1, "1": 1, "2": 0}
    people = [*couple(genotype=1), person("II-1", "female", PARENTS)]
    o = family(AR, {"allele": "1/50"}, people, viability=viability)
    assert o.people_distributions()["II-1"] == {"0": F(1, 3), "1": F(2, 3), "2": 0}
    assert o.answer(child()) == 0
    assert o.answer(child("child_carrier")) == F(2, 3)
    people[2]["status"] = "miscarriage"
    o = family(AR, {"allele": "1/50"}, people, viability=viability)
    assert o.answer(ask("genotype")) == {"0": F(1, 4), "1": F(1, 2), "2": F(1, 4)}
    assert "II-1.born" not in o.evidence


def test_live_birth_by_sex():
    # X-linked, carrier mother; sons with the allele are born with chance 1/2: born are
    # 1/2 daughters and 1/4 + 1/8 sons, affected 1/8: (1/8)/(7/8) = 1/7; of sons 1/3.
    viability = {"female": {"0": 1, "1": 1, "2": 1}, "male": {"0": 1, "1": "1/2"}}
    people = [person("I-1", "male", genotype=0), person("I-2", "female", genotype=1)]
    o = family(XR, {"allele": "1/50"}, people, viability=viability)
    assert o.answer(child()) == F(1, 7)
    assert o.answer(child(sex="male")) == F(1, 3)
    assert o.answer(child("child_carrier")) == F(1, 2)
    assert o.answer(child("child_carrier", sex="male")) == 0
    # of two children born, both affected
    assert o.answer(child("children_affected", of=2, exactly=2)) == F(1, 49)


def test_that_children_are_born_says_something_of_the_parents():
    # Half of the carriers are lost before birth. II-1 (not born: no factor) carries with 1/2;
    # her n children asked about are all born with (3/4)^n if she does, with 1 if not.
    people = [
        person("I-1", "male", genotype=0),
        person("I-2", "female", genotype=1),
        person("II-1", "female", PARENTS, status="pregnancy"),
        person("II-2", "male", genotype=0),
    ]
    viability = {"0": 1, "1": "1/2", "2": 1}
    penetrance = {"0": 0, "1": 1, "2": 1}
    o = family(AD, {"allele": "1/9"}, people, viability=viability, penetrance=penetrance)
    # one child of hers: born 1/2 + 1/4 = 3/4 (affected 1/4), else born 1
    question = {"ask": "child_affected", "parents": ["II-2", "II-1"]}
    assert o.answer(question) == F(1, 4) / (F(3, 4) + 1)
    two = {"ask": "children_affected", "parents": ["II-2", "II-1"], "of": 2, "exactly": 2}
    assert o.answer(two) == F(1, 16) / (F(9, 16) + 1)
    weights = o.chances([lambda s: oracle.alleles_of(s["II-1"]) == 1], children=two)
    assert weights == [F(9, 16) / (F(9, 16) + 1)]


def test_phenotypes_by_sex():
    penetrance = {
        "female": {"0": 0, "1": "1/4", "2": 1},
        "male": {"0": 0, "1": "3/4", "2": 1},
    }
    people = [person("I-1", "male", genotype=0), person("I-2", "female", genotype=1)]
    o = family(AD, {"allele": "1/9"}, people, penetrance=penetrance)
    assert o.answer(child(sex="female")) == F(1, 8)
    assert o.answer(child(sex="male")) == F(3, 8)
    assert o.answer(child()) == F(1, 4)


def test_uncle_and_niece():
    # Founders' pair with one carrier (rare limit, from a known carrier I-2); uncle II-1, his sister
    # II-2 has III-1 with an outsider: child of II-1 and III-1 is homozygous with 1/2 * 1/4 * 1/4.
    people = [
        person("I-1", "male"),
        person("I-2", "female", genotype=1),
        person("II-1", "male", PARENTS),
        person("II-2", "female", PARENTS),
        person("II-3", "male"),
        person("III-1", "female", ("II-3", "II-2")),
    ]
    o = family(AR, {"allele": "rare"}, people)
    question = {"ask": "child_affected", "parents": ["II-1", "III-1"]}
    assert o.answer(question) == F(1, 32)
    both = {"ask": "both_carriers", "people": ["II-1", "III-1"]}
    assert o.answer(both) == F(1, 8)


@pytest.mark.parametrize("mode", [AR, AD, XR, XD])
def test_limit_is_approached(mode):
    def at(q):
        people = [
            *couple(),
            person("II-1", "male", PARENTS, True),
            person("II-2", "female", PARENTS, False),
        ]
        o = family(mode, {"allele": q}, people, penetrance={"0": "0", "1": "1/3", "2": "9/10"})
        return o.answer(ask("carrier", "II-2"))

    limit = at("rare")
    assert abs(at("1e-6") - limit) < F(1, 10**5)
    assert abs(at("1e-8") - limit) < F(1, 10**7)


def test_log_likelihood():
    people = [*couple(genotype=1), person("II-1", "male", PARENTS, True, count=2)]
    o = family(AR, {"allele": "1/10"}, people)
    assert o.log_likelihood() == pytest.approx(math.log(0.18**2 / 16), abs=1e-12)
    assert family(AR, {"allele": "rare"}, people).log_likelihood() is None


def test_conflict():
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female", affected=True),
        person("II-1", "male", PARENTS, False),
        person("II-2", "male", PARENTS, False),
    ]
    o = family(AR, {"allele": "1/10"}, people)
    assert not o.possible()
    assert o.is_conflict(["I-1.affected", "I-2.affected", "II-2.affected"])
    assert not o.is_conflict(list(o.evidence))
    with pytest.raises(oracle.Impossible):
        o.answer(ask("carrier"))


def test_rows_of_the_table_add_up_to_one():
    people = [*couple(), person("II-1", "male", PARENTS), person("II-2", "female", PARENTS)]
    o = family(
        AD,
        {"allele": "1/7"},
        people,
        mutation={"maternal": "1/9", "paternal": "1/11"},
        germline_mosaicism={"prior": "1/5", "gametes": "1/3"},
        variants=[{"name": "a", "share": "1/3"}, {"name": "b", "share": "2/3"}],
    )
    assert sum(weight for weight, _ in o.table([], 0)) == 1
