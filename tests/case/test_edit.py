"""Growing and changing families: what the functions promise, on examples and on random edits."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from risk.case import edit, edit_remove
from risk.case.checks import check_case
from risk.case.kin import children_of, descendants_of, partners_of
from risk.case.model import Case, Condition, Couple, Frequency, Person, Question, TestResult, Twin
from risk.case.numbering import generation_of, next_id, roman, standard_id, standard_ids
from risk.number import quantity
from risk.problems import InputError

RARE = Condition("autosomal_recessive", Frequency(allele="rare"))


def parents() -> Case:
    return edit.two_parents(RARE, affected=False)


def siblings() -> Case:
    """Two unaffected parents, an affected daughter II-1, a brother II-2 with partner II-3."""
    case, _ = edit.add_children(parents(), "I-1", sex="female", affected=True)
    case, _ = edit.add_siblings(case, "II-1", sex="male", affected=False)
    case, _ = edit.add_partner(case, "II-2")
    return case


def assert_whole(case: Case) -> None:
    """The rules of the case file about people, written again from its description."""
    ids = [person.id for person in case.people]
    assert len(ids) == len(set(ids))
    by_id = {person.id: person for person in case.people}
    for person in case.people:
        assert (person.father is None) == (person.mother is None)
        if person.father is not None and person.mother is not None:
            assert by_id[person.father].sex == "male"
            assert by_id[person.mother].sex == "female"
            assert person.inbreeding is None
            for parent in (person.father, person.mother):
                assert by_id[parent].count is None
                assert by_id[parent].status in ("alive", "deceased")
        if person.count is not None:
            assert person.count >= 2
            assert person.twin is None
            assert not person.roles
        if person.twin is not None:
            group = [p for p in case.people if p.twin and p.twin.group == person.twin.group]
            assert len(group) >= 2
            assert len({p.twin for p in group}) == 1
            assert len({(p.father, p.mother) for p in group}) == 1
            if person.twin.zygosity == "monozygotic":
                assert len({p.sex for p in group}) == 1
        assert person.id not in ancestors(case, person.id)
    for couple in case.couples:
        assert set(couple.partners) <= set(ids)
        assert len(set(couple.partners)) == 2
    for question in case.questions:
        assert set(edit.asked_about(question)) <= set(ids)


def ancestors(case: Case, id: str) -> set[str]:
    found: set[str] = set()
    level = [id]
    while level:
        person = case.person(level.pop())
        for parent in (person.father, person.mother):
            if parent is not None and parent not in found:
                found.add(parent)
                level.append(parent)
    return found


# --- numbering -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "name"),
    [(1, "I"), (4, "IV"), (9, "IX"), (14, "XIV"), (40, "XL"), (0, "0"), (-1, "00")],
)
def test_generations_have_roman_names(number: int, name: str) -> None:
    assert name == roman(number)


@given(st.integers(-3, 60), st.integers(1, 999))
def test_a_standard_id_reads_back(generation: int, number: int) -> None:
    assert (generation, number) == standard_id(f"{roman(generation)}-{number}")


@pytest.mark.parametrize("id", ["", "II", "II-0", "IIII-1", "VX-1", "Ann", "II-2b", "2-1", "-1"])
def test_other_ids_are_not_standard(id: str) -> None:
    assert standard_id(id) is None


def test_the_next_id_follows_the_largest_and_fills_no_gap() -> None:
    assert next_id(["II-1", "II-7", "III-9", "Ann"], 2) == "II-8"


def test_people_without_standard_ids_get_one_from_their_place_in_the_family() -> None:
    people = (
        Person("Ann", "female"),
        Person("Bo", "male"),
        Person("Cy", "male", father="Bo", mother="Ann"),
    )
    case = Case(RARE, people)
    assert [generation_of(case, id) for id in ("Ann", "Bo", "Cy")] == [1, 1, 2]
    case, new = edit.add_siblings(case, "Cy")
    assert new == ("II-1",)


def test_grandparents_of_the_first_generation_do_not_renumber_anyone() -> None:
    case, new = edit.add_parents(siblings(), "I-1")
    assert new == ("0-1", "0-2")
    assert {"I-1", "I-2", "II-1", "II-2", "II-3"} < {p.id for p in case.people}
    assert {"0-1": "I-1", "0-2": "I-2", "I-1": "II-1"}.items() <= standard_ids(case).items()


def test_a_niece_is_numbered_below_her_uncle_though_they_are_a_couple() -> None:
    people = (
        Person("Al", "male"),
        Person("Bo", "female"),
        Person("Cy", "male", father="Al", mother="Bo"),
        Person("Di", "female", father="Al", mother="Bo"),
        Person("Ed", "male"),
        Person("Fay", "female", father="Ed", mother="Di"),
    )
    case = Case(RARE, people, couples=(Couple(("Cy", "Fay")),))
    ids = standard_ids(case)
    assert (ids["Cy"], ids["Di"], ids["Fay"]) == ("II-1", "II-2", "III-1")


def test_renumbering_changes_ids_everywhere() -> None:
    case, _ = edit.add_parents(siblings(), "I-1")
    case = edit.add_question(case, Question("child_affected", parents=("II-2", "II-3")))
    new = edit.renumber(case)
    assert_whole(new)
    assert new.questions[0].parents == ("III-2", "III-3")
    assert new.person("II-1").father == "I-1"


# --- growing -------------------------------------------------------------------------------


def test_two_parents_are_a_couple() -> None:
    case = parents()
    assert partners_of(case, "I-1") == ("I-2",)
    assert [(p.sex, p.affected) for p in case.people] == [("male", False), ("female", False)]


def test_a_child_without_a_second_parent_brings_an_unknown_one() -> None:
    case, (child,) = edit.add_children(edit.one_person(RARE, "female"), "I-1", sex="male")
    assert case.person(child).mother == "I-1"
    father = case.person(str(case.person(child).father))
    assert (father.sex, father.affected) == ("male", None)
    assert_whole(case)


def test_three_unaffected_brothers_are_one_symbol() -> None:
    case, (id,) = edit.add_siblings(
        siblings(), "II-1", sex="male", number=3, alike=True, affected=False
    )
    person = case.person(id)
    assert (person.count, person.sex, person.affected) == (3, "male", False)
    assert_whole(case)


def test_several_different_children_are_so_many_people() -> None:
    case, ids = edit.add_children(parents(), "I-2", number=4, sex="female")
    assert ids == ("II-1", "II-2", "II-3", "II-4")
    assert_whole(case)


def test_a_sibling_of_a_founder_brings_parents() -> None:
    case, (id,) = edit.add_siblings(edit.one_person(RARE, "male"), "I-1", sex="female")
    assert case.person("I-1").father == case.person(id).father == "0-1"
    assert_whole(case)


def test_twins_share_parents_and_kind_and_may_be_three() -> None:
    case, (second,) = edit.add_twin(siblings(), "II-2", "monozygotic")
    case, (third,) = edit.add_twin(case, second, "monozygotic")
    assert {"II-2", second, third} == {p.id for p in case.people if p.twin is not None}
    case = edit.set_twins(case, third, "unknown", quantity("1/3"))
    assert case.person("II-2").twin == Twin("1", "unknown", quantity("1/3"))
    assert_whole(case)


def test_living_twins_are_of_one_age() -> None:
    case = edit.set_age(siblings(), "II-2", quantity("30"))
    case, (second,) = edit.add_twin(case, "II-2", "dizygotic")
    assert case.person(second).age == quantity("30")
    case = edit.set_age(case, second, quantity("31"))
    assert case.person("II-2").age == quantity("31")
    assert case.person("II-1").age is None


def test_a_twin_who_has_died_keeps_the_age_at_death() -> None:
    case, (second,) = edit.add_twin(siblings(), "II-2", "dizygotic")
    case = edit.change_person(case, "II-2", status="deceased", age=quantity("20"))
    case = edit.set_age(case, second, quantity("31"))
    assert case.person("II-2").age == quantity("20")
    case = edit.set_age(case, "II-2", quantity("21"))
    assert case.person(second).age == quantity("31")
    assert edit.add_twin(case, "II-2", "dizygotic")[0].people[-1].age is None


def test_parting_one_of_two_twins_leaves_two_ordinary_siblings() -> None:
    case, (second,) = edit.add_twin(siblings(), "II-2", "dizygotic", "female")
    assert all(p.twin is None for p in edit.part_twins(case, second).people)


def test_with_two_partners_a_child_needs_to_know_which() -> None:
    case, (other,) = edit.add_partner(siblings(), "II-2")
    with pytest.raises(InputError, match="several partners"):
        edit.add_children(case, "II-2")
    case, (child,) = edit.add_children(case, "II-2", other)
    assert case.person(child).mother == other


def test_cousins_become_a_couple() -> None:
    case, (aunt,) = edit.add_siblings(edit.add_parents(siblings(), "I-1")[0], "I-1", sex="female")
    case, (cousin,) = edit.add_children(case, aunt, sex="female")
    case = edit.add_couple(case, "II-2", cousin)
    assert cousin in partners_of(case, "II-2")
    assert_whole(case)


REFUSED = [
    (lambda c: edit.add_parents(c, "II-1"), "has parents already"),
    (lambda c: edit.add_couple(c, "I-1", "I-2"), "couple already"),
    (lambda c: edit.add_couple(c, "I-1", "I-1"), "their own partner"),
    (lambda c: edit.set_parents(c, "I-1", "II-2", "II-3"), "descended from I-1"),
    (lambda c: edit.set_parents(c, "II-3", "I-2", "I-1"), "I-2 is female"),
    (lambda c: edit.set_parents(c, "II-3", "I-1", None), "both parents or neither"),
    (lambda c: edit.set_parents(c, "II-3", "I-9", "I-2"), 'no person "I-9"'),
    (lambda c: edit.change_person(c, "I-1", count=3), "has children"),
    (lambda c: edit.add_children(c, "II-1", "I-2"), "both female"),
    (lambda c: edit.add_children(edit.change_person(c, "II-1", count=2), "II-1"), "stands for 2"),
    (
        lambda c: edit.add_children(edit.change_person(c, "II-1", status="pregnancy"), "II-1"),
        "alive",
    ),
    (lambda c: edit.add_twin(c, "II-1", "monozygotic", "male"), "same sex"),
    (lambda c: edit.add_children(c, "I-1", number=100), "between 1 and 99"),
    (lambda c: edit.rename(c, "II-1", "II-2"), "another person"),
    (lambda c: edit.rename(c, "II-1", "  "), "cannot be empty"),
    (lambda c: edit.rename(c, "II-1", "x" * 41), "at most 40"),
    (lambda c: edit.rename(c, "II-1", "a\x07b"), "control characters"),
    (lambda c: edit.rename(c, "II-1", "a\uffff"), "control characters"),
    (lambda c: edit.rename(c, "II-1", "a\ud800"), "control characters"),
    (lambda c: edit_remove.remove(c, "IX-9"), 'no person "IX-9"'),
    (lambda c: edit.add_question(c, Question("carrier", person="IX-9")), 'no person "IX-9"'),
    (lambda c: edit.take_back(c, "II-1.born"), "follows from"),
]


@pytest.mark.parametrize(("change", "words"), REFUSED, ids=[words for _, words in REFUSED])
def test_what_would_break_the_family_is_refused_in_words(change, words) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match=words) as caught:
        change(siblings())
    assert all(problem.path for problem in caught.value.problems)


def test_inbreeding_is_not_lost_silently() -> None:
    case = edit.change_person(siblings(), "I-1", inbreeding=quantity("1/16"))
    with pytest.raises(InputError, match="clear it before"):
        edit.add_parents(case, "I-1")


# --- changing and removing -----------------------------------------------------------------


def test_renaming_reaches_parents_couples_and_questions() -> None:
    case = edit.add_question(siblings(), Question("both_carriers", people=("I-1", "II-2")))
    case = edit.add_question(case, Question("carrier", person="I-1"))
    new = edit.rename(case, "I-1", "Grandpa")
    assert new.person("II-1").father == "Grandpa"
    assert new.couples[0].partners == ("Grandpa", "I-2")
    assert [edit.asked_about(q) for q in new.questions] == [("Grandpa", "II-2"), ("Grandpa",)]
    assert case == edit.rename(new, "Grandpa", "I-1")


def test_removing_takes_descendants_and_partners_without_a_tie() -> None:
    case, (child,) = edit.add_children(siblings(), "II-2", sex="male")
    assert ("II-2", "II-3", child) == edit_remove.removal(case, "II-2")
    new = edit_remove.remove(edit.add_question(case, Question("carrier", person=child)), "II-2")
    assert [p.id for p in new.people] == ["I-1", "I-2", "II-1"]
    assert new.questions == ()
    assert_whole(new)


def test_removing_one_of_a_couple_leaves_the_other() -> None:
    case = siblings()
    couple = edit.two_parents(case.condition, False)
    assert edit_remove.removal(couple, "I-2") == ("I-2",)
    assert [p.id for p in edit_remove.remove(couple, "I-2").people] == ["I-1"]
    assert edit_remove.remove(couple, "I-2").couples == ()
    # Their children go, and whoever married these; the other parent is what is left.
    assert edit_remove.removal(case, "I-2") == ("I-2", "II-1", "II-2", "II-3")


def test_removing_a_partner_who_married_in_leaves_the_family() -> None:
    assert edit_remove.removal(siblings(), "II-3") == ("II-3",)
    assert edit_remove.removal(siblings(), "II-1") == ("II-1",)


@pytest.mark.parametrize(
    ("fact", "left"),
    [
        ("II-1.affected", (None, 1, 2)),
        ("II-1.genotype", (True, None, 2)),
        ("II-1.tests[0]", (True, 1, 1)),
    ],
)
def test_taking_one_fact_back_leaves_the_others(fact: str, left: tuple[object, ...]) -> None:
    case = edit.change_person(siblings(), "II-1", genotype=1)
    case = edit.add_result(
        edit.add_result(case, "II-1", TestResult("a", found=1)), "II-1", TestResult("b")
    )
    person = edit.take_back(case, fact).person("II-1")
    assert left == (person.affected, person.genotype, len(person.tests))
    assert person.tests[-1].test == "b"


def test_what_is_left_without_facts_however_many_results_there_are() -> None:
    case = siblings()
    for found in range(12):
        case = edit.add_result(case, "II-1", TestResult("panel", found=found))
    results = {f"II-1.tests[{index}]" for index in range(12) if index != 10}
    left = edit.without_facts(case, {*results, "II-2.affected", "II-1.born"})
    assert left.person("II-1").tests == (TestResult("panel", found=10),)
    assert left.person("II-2").affected is None
    assert left.people[:3] == (
        *case.people[:2],
        replace(case.person("II-1"), tests=left.person("II-1").tests),
    )


def of_unknown_sex() -> Case:
    """A is the father and B the mother of C, and the file does not say their sexes."""
    people = (Person("A"), Person("B"), Person("C", father="A", mother="B"), Person("D"))
    return Case(RARE, people)


@pytest.mark.parametrize(("one", "two"), [("A", "B"), ("B", "A")])
def test_whose_parents_they_are_tells_father_from_mother(one: str, two: str) -> None:
    case, (child,) = edit.add_children(of_unknown_sex(), one, two)
    assert (case.person(child).father, case.person(child).mother) == ("A", "B")
    assert not check_case(case)


@pytest.mark.parametrize(("known", "father", "mother"), [("A", "A", "D"), ("B", "D", "B")])
def test_a_parent_has_the_same_part_with_another_partner(
    known: str, father: str, mother: str
) -> None:
    case = edit.add_couple(of_unknown_sex(), known, "D")
    for new, (child,) in (
        edit.add_children(case, known, "D"),
        edit.add_children(case, "D", known),
    ):
        assert (new.person(child).father, new.person(child).mother) == (father, mother)
        assert not check_case(new)
    case, (partner,) = edit.add_partner(of_unknown_sex(), known)
    case, (child,) = edit.add_children(case, known, partner)
    assert partner in (case.person(child).father, case.person(child).mother)
    assert not check_case(case)


def test_two_who_are_fathers_have_no_child() -> None:
    case = edit.change_person(of_unknown_sex(), "D", sex="male")
    with pytest.raises(InputError, match="A and D are both male"):
        edit.add_children(case, "A", "D")


def test_a_couple_from_common_children_gets_an_entry_when_something_is_known_of_it() -> None:
    case = replace(siblings(), couples=())
    case = edit.change_couple(case, "I-2", "I-1", consanguineous=True)
    case = edit.change_couple(case, "I-1", "I-2", separated=True)
    (couple,) = case.couples
    assert (couple.consanguineous, couple.separated) == (True, True)
    assert edit.remove_couple(case, "I-1", "I-2").couples == ()


def test_questions_are_added_once_and_removed() -> None:
    question = Question("carrier", person="II-2")
    case = edit.add_question(siblings(), question)
    with pytest.raises(InputError, match="already"):
        edit.add_question(case, question)
    assert case.questions == (question,)
    assert edit.remove_question(case, 0).questions == ()


def test_two_people_asked_about_in_the_other_order_are_the_same_question() -> None:
    case = edit.add_question(siblings(), Question("both_carriers", people=("I-1", "I-2")))
    assert edit.asks(case, Question("both_carriers", people=("I-2", "I-1")))
    assert not edit.asks(case, Question("both_carriers", people=("I-1", "II-2")))


# --- any sequence of edits -----------------------------------------------------------------

SEXES = st.sampled_from(["female", "male", "unknown"])
ACTIONS = st.sampled_from(
    [
        "parents",
        "partner",
        "child",
        "sibling",
        "alike",
        "twin",
        "remove",
        "rename",
        "part",
        "ask",
        "couple",
    ]
)


@st.composite
def grown(draw: st.DrawFn) -> Case:
    case = draw(st.sampled_from([parents(), siblings(), edit.one_person(RARE, "unknown")]))
    for action in draw(st.lists(ACTIONS, max_size=14)):
        if not case.people:
            break
        ids = st.sampled_from([person.id for person in case.people])
        id, other, sex = draw(ids), draw(ids), draw(SEXES)
        zygosity = draw(st.sampled_from(["monozygotic", "dizygotic", "unknown"]))
        try:
            if action == "parents":
                case, _ = edit.add_parents(case, id)
            elif action == "partner":
                case, _ = edit.add_partner(case, id, sex)
            elif action == "child":
                case, _ = edit.add_children(case, id, sex=sex, number=draw(st.integers(1, 3)))
            elif action == "sibling":
                case, _ = edit.add_siblings(case, id, sex=sex)
            elif action == "alike":
                case, _ = edit.add_siblings(case, id, sex=sex, number=3, alike=True)
            elif action == "twin":
                case, _ = edit.add_twin(case, id, zygosity, sex)
            elif action == "remove":
                case = edit_remove.remove(case, id)
            elif action == "rename":
                case = edit.rename(case, id, draw(st.sampled_from(["Ann", "III-9", "x"])))
            elif action == "part":
                case = edit.part_twins(case, id)
            elif action == "ask":
                case = edit.add_question(case, Question("both_carriers", people=(id, other)))
            else:
                case = edit.add_couple(case, id, other)
        except InputError:
            pass
    return case


@settings(max_examples=150, deadline=None)
@given(grown())
def test_no_sequence_of_edits_breaks_a_family(case: Case) -> None:
    assert_whole(case)


@settings(max_examples=60, deadline=None)
@given(grown(), st.data())
def test_removal_names_exactly_those_who_go(case: Case, data: st.DataObject) -> None:
    if not case.people:
        return
    id = data.draw(st.sampled_from([person.id for person in case.people]))
    gone = edit_remove.removal(case, id)
    assert {id, *descendants_of(case, id)} <= set(gone)
    left = edit_remove.remove(case, id)
    assert [p.id for p in case.people if p.id not in gone] == [p.id for p in left.people]
    assert all(children_of(left, other) == () or other not in gone for other in gone)


@settings(max_examples=60, deadline=None)
@given(grown())
def test_renumbering_twice_changes_nothing_more(case: Case) -> None:
    once = edit.renumber(case)
    assert_whole(once)
    assert once == edit.renumber(once)
    assert all(standard_id(person.id) for person in once.people)
