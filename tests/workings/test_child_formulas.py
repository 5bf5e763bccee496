"""Each formula for a next child is that of the mode: against transmission, written anew here."""

import re
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from risk import actions
from tests.workings.families import case, person

MODES = st.sampled_from(
    ["autosomal_recessive", "autosomal_dominant", "x_linked_recessive", "x_linked_dominant"]
)
RATES = st.sampled_from(["0", "1/1000", "1/20", "1/3", "1/2", "1"])
#: Other rates, for which a rule must hold as it does for those of the case.
OTHER_RATES = [(F(1, 7), F(2, 3)), (F(3, 5), F(1, 11)), (F(1, 2), F(1, 2)), (F(1), F(1, 4))]
#: Chances of being affected, and of being born, by copies.
PENETRANCES = st.sampled_from(
    [None, ("0", "4/5", "1"), ("0", "1/2", "1/2"), ("1/2",) * 3, ("1/8", "1/4", "1/2")]
)
VIABILITIES = st.sampled_from([None, None, ("1", "1/2", "1/3"), ("1/2",) * 3])
COPIES = {"no copy": 0, "one copy": 1, "the allele": 1, "two copies": 2}
NUMBER = r"\d+(?:/\d+)?"
NEW_MUTATION = rf"u = (\S+) in eggs and v = (\S+) in sperm(?:: (.*?))?\), with chance ({NUMBER})"
#: A sum of products, or a quotient of two in brackets, with its value.
EQUATION = rf"(?<![\d/×+=(])(?<![\d/×+=] )((?:{NUMBER}|\()[\d/ ×+()]*) = ({NUMBER})"
#: Children with so many copies, and how many of all are such.
KIND = (
    rf"(?:a (daughter|son) with )?({'|'.join(COPIES)}) with (?:chance )?({NUMBER}(?: × {NUMBER})*)"
)


class Couple:
    """Two parents whose genotypes are known, and what is asked of their next child."""

    def __init__(self, mode, mother, father, asked, rates, penetrance, viability):
        self.x_linked = mode.startswith("x_linked")
        self.mother, self.father = mother, min(father, 1) if self.x_linked else father
        self.rates = [F(rate) for rate in rates]
        ask, sex = asked
        if ask == "child_carrier" and self.x_linked:
            sex = "female"
        self.asked = {"ask": ask, **({"sex": sex} if sex else {})}
        self.sexes = [sex] if sex else ["female", "male"]
        self.by_sex, self.born = {}, {}
        for each in self.sexes:
            enough = 2 if mode.endswith("recessive") and not self._one_x(each) else 1
            affected = penetrance or [copies >= enough for copies in range(3)]
            carrier = [copies == 1 for copies in range(3)]
            self.by_sex[each] = [*map(F, carrier if ask == "child_carrier" else affected)]
            self.born[each] = [*map(F, viability or "111")]
        self.more = {"mutation": {"maternal": rates[0], "paternal": rates[1]}}
        for key, chances in (("penetrance", penetrance), ("viability", viability)):
            if chances and self.x_linked:
                by_copies = dict(zip("012", chances, strict=True))
                males = {copies: by_copies[copies] for copies in "01"}
                self.more[key] = {"female": by_copies, "male": males}
            elif chances:
                self.more[key] = dict(zip("012", chances, strict=True))
        self.mode = mode

    def _one_x(self, sex):
        return self.x_linked and sex == "male"

    def children(self, sex, u, v):
        """The chances of 0, 1 and 2 copies in a child of this sex."""
        egg = F(self.mother, 2)
        sperm = F(self.father) if self.x_linked else F(self.father, 2)
        egg, sperm = egg + (1 - egg) * u, sperm + (1 - sperm) * v
        if self._one_x(sex):
            return [1 - egg, egg, F(0)]
        return [(1 - egg) * (1 - sperm), egg * (1 - sperm) + sperm * (1 - egg), egg * sperm]

    def chance(self, u, v):
        """The chance of what is asked of a child that is born."""
        happens = born = F(0)
        for sex in self.sexes:
            alive = [
                share * lives
                for share, lives in zip(self.children(sex, u, v), self.born[sex], strict=True)
            ]
            born += sum(alive)
            happens += sum(a * b for a, b in zip(alive, self.by_sex[sex], strict=True))
        return happens / born

    def text(self):
        people = [
            person("Ma", "female", genotype=self.mother),
            person("Pa", "male", genotype=self.father),
        ]
        question = {**self.asked, "parents": ["Pa", "Ma"]}
        one = case(self.mode, {"allele": "1/10"}, people, [question], **self.more)
        (working,) = actions.explain(one)
        return working.probability.exact, working.steps[-1].text


ALLELES = st.sampled_from([0, 1, 2])
ASKED = st.tuples(
    st.sampled_from(["child_affected", "child_affected", "child_carrier"]),
    st.sampled_from([None, "female", "male"]),
)
BOTH_RATES = st.one_of(st.tuples(RATES, RATES), RATES.map(lambda rate: (rate, rate)))
NONE, NO_RATES = st.just(None), st.just(("0", "0"))


def value_of(formula, u=None, v=None):
    """The value of a formula as it is printed: ``u(1 - v) + uv``."""
    for printed, python in (("×", "*"), ("uv", "u * v"), ("u(", "u * ("), ("v(", "v * (")):
        formula = formula.replace(printed, python)
    formula = re.sub(r"\)\s*\(", ") * (", formula)
    return eval(re.sub(NUMBER, r"F('\g<0>')", formula), {"F": F, "u": u, "v": v})


@given(
    st.builds(Couple, MODES, st.just(0), st.just(0), ASKED, BOTH_RATES, NONE, NONE),
)
def test_a_rule_of_new_mutation_is_that_of_the_mode(couple):
    """With any other rates the rule still gives what follows from transmission."""
    chance, text = couple.text()
    found = re.search(NEW_MUTATION, text)
    if found is None:
        assert not chance
        return
    u, v, rule, value = found.groups()
    assert [F(u), F(v)] == couple.rates
    assert F(value) == chance == couple.chance(*couple.rates)
    assert value_of(rule, F(u), F(v)) == chance
    for others in OTHER_RATES:
        u, v = [other if own else own for own, other in zip(couple.rates, others, strict=True)]
        assert value_of(rule, u, v) == couple.chance(u, v)


@given(
    st.builds(
        Couple,
        MODES,
        ALLELES,
        ALLELES,
        ASKED,
        st.one_of(NO_RATES, BOTH_RATES),
        PENETRANCES,
        VIABILITIES,
    )
)
def test_what_passes_on_is_derived_as_the_mode_has_it(couple):
    chance, text = couple.text()
    assert chance == couple.chance(*couple.rates)
    for formula, value in re.findall(EQUATION, text):
        assert value_of(formula) == F(value)
    derived = re.findall(f"({NUMBER}) of those born", text) or re.findall(f"= ({NUMBER})\\.$", text)
    assert [F(each) for each in derived] in ([], [chance])
    asked = list(couple.by_sex.values())
    mendel = not any(couple.rates) and all(set(born) == {1} for born in couple.born.values())
    if "both pass the allele on" in text:
        assert (couple.mother, couple.father, couple.x_linked, mendel) == (1, 1, False, True)
        assert asked == [[0, 0, 1]] * len(asked)
    if "the allele is passed on" in text:
        assert mendel
        assert couple.mother + couple.father == 1 or couple.sexes == ["male"]
        assert [by_copies[:2] for by_copies in asked] == [[0, 1]] * len(asked)
        for sex in couple.sexes:
            assert couple.children(sex, 0, 0)[:2] == [F(1, 2), F(1, 2)]
    if "every " in text:
        assert chance == 1
    for who, copies, share in re.findall(KIND, text):
        sexes = {"daughter": ["female"], "son": ["male"]}.get(who, couple.sexes)
        shares = [couple.children(sex, *couple.rates)[COPIES[copies]] for sex in sexes]
        assert value_of(share) == sum(shares) / len(couple.sexes)
