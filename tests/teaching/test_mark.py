"""Marks of single answers and of a class with all its mess."""

import csv
import io
import json
from dataclasses import replace
from fractions import Fraction as F

import pytest

from risk import actions
from risk.case.read import read_case
from risk.document.mark_figure import slips_scene
from risk.document.marks import class_blocks, mark_blocks, parting_in_words
from risk.problems import InputError
from risk.render.svg import to_svg
from risk.render.teaching_json import mark_json, summary_json
from risk.render.text_blocks import blocks_to_text
from risk.teaching.class_marks import marks_table
from risk.teaching.class_table import read_answers
from risk.teaching.slips import SHORT
from risk.wording.chances import one_in, percent
from tests.teaching.slip_cases import CASES


def case(name):
    return actions.example(name)


@pytest.mark.parametrize(
    ("answer", "verdict", "slips"),
    [
        # Common practice: the healthy sib of an affected child is a carrier with chance 2/3.
        ("2/3", "right", []),
        ("two thirds", "right", []),
        ("4/6", "right", []),
        ("0.667", "rounded", []),
        ("67 %", "rounded", []),
        ("66,7%", "rounded", []),
        ("0.66", "wrong", []),
        ("1/2", "slip", ["ignored_unaffected", "joint_not_divided"]),
        ("50%", "slip", ["ignored_unaffected", "joint_not_divided"]),
        ("1/3", "slip", ["complement"]),
        ("0.33", "slip", ["complement"]),
        ("1/7", "wrong", []),
        ("0", "wrong", []),
        ("1", "wrong", []),
    ],
)
def test_verdicts(answer, verdict, slips):
    mark = actions.mark(case("healthy-sister"), answer)
    assert (mark.verdict, list(mark.slips)) == (verdict, slips)


@pytest.mark.parametrize("answer", ["26.3%", "26.2%", "0.263", "0.262"])
def test_a_half_may_be_rounded_either_way(answer):
    """21/80 = 26.25 %, of an affected person's child where 21/40 of those with it are affected."""
    people = [{"id": "I-1", "sex": "male", "affected": True}, {"id": "I-2", "sex": "female"}]
    text = {
        "version": 1,
        "condition": {
            "inheritance": "autosomal_dominant",
            "frequency": {"allele": "rare"},
            "penetrance": {"0": "0", "1": "21/40", "2": "21/40"},
        },
        "people": people,
        "questions": [{"ask": "child_affected", "parents": ["I-1", "I-2"]}],
    }
    assert actions.mark(read_case(json.dumps(text)), answer).verdict == "rounded"


@pytest.mark.parametrize(
    ("question", "true"),
    [
        # She has two copies, whatever the allele's frequency.
        ({"ask": "carrier", "person": "II-2"}, "0, 0%, impossible under these assumptions"),
        # Her husband may be a carrier, which only a vanishing share of people are.
        (
            {"ask": "child_affected", "parents": ["II-3", "II-2"]},
            "0, 0%, vanishing in the rare limit",
        ),
    ],
)
def test_a_certain_answer_is_sent_to_the_facts_that_it_follows_from(question, true):
    parents = {"father": "I-1", "mother": "I-2"}
    rare = actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_recessive",
                    "frequency": {"allele": "rare"},
                },
                "people": [
                    {"id": "I-1", "sex": "male"},
                    {"id": "I-2", "sex": "female"},
                    {"id": "II-2", "sex": "female", "affected": True, **parents},
                    {"id": "II-3", "sex": "male", "affected": False},
                ],
                "questions": [question],
            }
        )
    )
    mark = actions.mark(rare, "1/3")
    assert mark.verdict == "wrong"
    assert "multiply" not in mark.feedback
    shown = " ".join(blocks_to_text(mark_blocks(mark, rare, reveal=True)).split())
    assert "Ask what follows from this: II-2 is affected." in shown
    assert f"The answer is {true}." in shown


def test_digits_given_decide_what_a_slip_equals():
    # 1/24 is what a certain partner would give, 1/5784 the truth.
    tested = case("negative-test")
    assert actions.mark(tested, "0.042", 2).slips == ("partner_certain",)
    assert actions.mark(tested, "0.0417", 2).slips == ("partner_certain",)
    assert actions.mark(tested, "0.041", 2).verdict == "wrong"
    assert actions.mark(tested, "1/25", 2).verdict == "wrong"


@pytest.mark.parametrize(
    ("answer", "verdict", "slips"),
    [
        # By hand: an unaffected founder carries with 2q/(1+q) = 2/51, so that a child of two is
        # affected with (1/51)^2; without their being well it is q^2.
        ("1/2601", "right", ()),
        ("1 in 2,601", "right", ()),
        ("1 in 2,500", "slip", ("ignored_unaffected", "two_q")),  # and 2q x 2q x 1/4
        # Only one of them forgotten: 1/51 x 1/50.
        ("1 in 2550", "slip", ("ignored_unaffected",)),
        # Both for sure: 1/4; one: 1/2 x 1/51.
        ("1 in 102", "slip", ("partner_certain",)),
    ],
)
def test_one_in_so_many(answer, verdict, slips):
    got = actions.mark(two_founders("1/50"), answer)
    assert (got.verdict, got.slips) == (verdict, slips)


def two_founders(allele):
    """A couple, both unaffected, and a child of theirs (autosomal recessive)."""
    plain = {
        "version": 1,
        "condition": {"inheritance": "autosomal_recessive", "frequency": {"allele": allele}},
        "people": [
            {"id": "I-1", "sex": "male", "affected": False},
            {"id": "I-2", "sex": "female", "affected": False},
        ],
        "questions": [{"ask": "child_affected", "parents": ["I-1", "I-2"]}],
    }
    return read_case(json.dumps(plain))


def test_one_in_a_rounded_number_names_the_slip_and_is_said_to_be_no_exact_answer():
    # With q = 3/100 the answer is (3/103)^2, which is 1 in 1178.8; both forgotten it is q^2, 1 in
    # 1111.1, and one forgotten 3/103 x 3/100, 1 in 1144.4.
    asked = two_founders("3/100")
    assert actions.mark(asked, "9/10609").verdict == "right"
    assert actions.mark(asked, "0.00085").verdict == "rounded"
    assert actions.mark(asked, "0.085%").verdict == "rounded"
    for answer in ("1 in 1111", "1 in 1,111", "one in 1111", "1 in 1111.1", "0.09%", "9/10000"):
        # With the approximation 2q it is 2q x 2q x 1/4, which is q^2 as well.
        assert actions.mark(asked, answer).slips == ("ignored_unaffected", "two_q"), answer
    assert actions.mark(asked, "1 in 1144").slips == ("ignored_unaffected",)
    to_three_digits = actions.mark(asked, "1 in 1110")
    assert to_three_digits.slips == ("ignored_unaffected", "two_q")
    for answer in ("1 in 1109", "1 in 1112", "1 in 1120", "1/1111"):
        assert actions.mark(asked, answer).verdict == "wrong", answer
    # The answer itself, also as the program writes it: "about 1 in 1,180".
    for answer in ("1 in 1179", "about 1 in 1,180", "~ 1 in 1178.8"):
        near = actions.mark(asked, answer)
        assert (near.verdict, near.slips) == ("rounded", ()), answer
    assert actions.mark(asked, "1/1179").verdict == "wrong"
    assert actions.mark(asked, "1 in 1178").feedback.startswith("Not quite: this is very")
    too_far = actions.mark(asked, "1 in 1200")
    assert too_far.verdict == "wrong"
    assert too_far.feedback.startswith("Not quite: in 1 in N the N is rounded too far.")


def test_what_the_program_says_of_its_own_answer_is_right():
    # Allele frequencies that make chances of all sizes: (q / (1 + q))^2 of two healthy founders.
    for allele in ("1/5", "1/7", "2/23", "3/77", "1/100", "7/999", "2/1235"):
        asked = two_founders(allele)
        chance = actions.solve(asked).answers[0].probability
        for said in (percent(chance.exact), one_in(chance.exact)):
            assert actions.mark(asked, said).verdict in ("right", "rounded"), (allele, said)


def test_so_many_in_a_hundred_are_a_percentage():
    # 2/3, which is 66.7 in 100 and 667 in 1000; 3 in 100 leaves too much open to be 1/30.
    asked = case("healthy-sister")
    for answer in ("67 in 100", "667 in 1000", "about 67 in 100"):
        assert actions.mark(asked, answer).verdict == "rounded", answer
    assert actions.mark(asked, "66 in 100").verdict == "wrong"
    assert actions.mark(asked, "50 in 100").slips == actions.mark(asked, "1/2").slips


def test_one_in_a_number_is_a_slip_where_a_slip_leads_to_just_that():
    # 1/10 before a test that finds 1 carrier in 91; after it 1/9 x 90/91 to 1, which is 10/101,
    # 1 in 10.1.  Who writes 1 in 10 has forgotten the test; 0.1 is the answer rounded.
    asked = read_case(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_recessive",
                    "frequency": {"carrier": "1/10"},
                    "tests": [{"name": "poor", "sensitivity": "1/91", "specificity": "1"}],
                },
                "people": [
                    {
                        "id": "I-1",
                        "sex": "female",
                        "affected": False,
                        "tests": [{"test": "poor", "result": "negative"}],
                    }
                ],
                "questions": [{"ask": "carrier", "person": "I-1"}],
            }
        )
    )
    assert actions.mark(asked, "10/101").verdict == "right"
    assert actions.mark(asked, "1 in 10").slips[0] == "ignored_tests"
    assert actions.mark(asked, "0.1").verdict == "rounded"
    assert actions.mark(asked, "1 in 10.10").verdict == "right"


def mother_of_boys(affected, healthy):
    """A woman without a family history, her sons, and whether she carries an X-linked allele.

    New mutation and selection are in balance and affected males leave no children.
    """
    sons = [True] * affected + [False] * healthy
    return read_case(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "x_linked_recessive",
                    "frequency": {"mutation_selection_balance": {"fitness": 0}},
                    "mutation": {"maternal": "rare", "paternal": "rare"},
                },
                "people": [
                    {"id": "I-1", "sex": "male", "affected": False},
                    {"id": "I-2", "sex": "female", "affected": False},
                    *(
                        {
                            "id": f"II-{number}",
                            "sex": "male",
                            "father": "I-1",
                            "mother": "I-2",
                            "affected": ill,
                        }
                        for number, ill in enumerate(sons, start=1)
                    ),
                ],
                "questions": [{"ask": "carrier", "person": "I-2"}],
            }
        )
    )


def test_only_the_healthy_children_left_out():
    # Haldane's rule: the mother of one isolated case carries with chance 2/3.  By Bayes, two
    # healthy sons leave 2/3 x 1/4 against 1/3, which is 1/3; 2/3 forgets them.
    mark = actions.mark(mother_of_boys(1, 2), "2/3")
    assert mark.true == (F(1, 3),)
    assert mark.slips == ("complement", "ignored_healthy_children")
    # The likelier reason is explained first, and shown where it comes into the working.
    assert mark.feedback.startswith("This is the answer without II-2 and II-3, who are healthy.")
    assert "Or: This is the chance of the opposite" in mark.feedback
    assert mark.parting is not None
    assert "II-2" in mark.parting.text or "sons" in mark.parting.text
    # Without an affected child it is all the children that are forgotten: 1/2 for 1/9.
    assert "ignored_healthy_children" not in actions.mark(case("healthy-sons"), "1/2", 0).slips


def lethal_when_homozygous():
    """Two affected parents of a dominant condition that nobody with two copies survives."""
    return read_case(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_dominant",
                    "frequency": {"allele": "rare"},
                    "viability": {"0": 1, "1": 1, "2": 0},
                },
                "people": [
                    {"id": "I-1", "sex": "male", "affected": True},
                    {"id": "I-2", "sex": "female", "affected": True},
                ],
                "questions": [{"ask": "child_affected", "parents": ["I-1", "I-2"]}],
            }
        )
    )


def test_a_lethal_genotype_forgotten():
    # Textbook (yellow mice, achondroplasia): 1/4 : 1/2 : 1/4 at conception without the last is
    # 2/3 affected among the live-born, and 3/4 forgets what is lost.
    mark = actions.mark(lethal_when_homozygous(), "3/4")
    assert (mark.true, mark.slips) == ((F(2, 3),), ("ignored_viability",))
    assert "born alive" in mark.feedback
    # Whoever goes wrong in another way is not led away from live birth.
    wrong = actions.mark(lethal_when_homozygous(), "3/5")
    assert wrong.verdict == "wrong"
    assert "about children born alive, which counts too" in wrong.feedback


def test_every_slip_that_fits_is_named_in_words():
    # Two are explained, the likelier first; those beyond them are named shortly.
    for name in ("healthy-sister", "healthy-sons", "negative-test", "late-onset", "twins"):
        asked = case(name)
        for number in range(len(asked.questions)):
            for slip in actions.slips(asked, number):
                mark = actions.mark(asked, str(slip.result[0]), number)
                likely = sorted(mark.slips, key=lambda each: each == "complement")
                assert all(SHORT[each] in mark.feedback for each in likely[2:])


@pytest.mark.parametrize(
    ("name", "question", "answer", "row"),
    [
        ("healthy-sister", 0, "1/2", "Tova is unaffected"),
        ("healthy-sons", 0, "1/2", "three unaffected sons"),
        ("negative-test", 0, "2/3", "Kaia"),
    ],
)
def test_the_paths_part_at_the_row_that_was_left_out(name, question, answer, row):
    mark = actions.mark(case(name), answer, question)
    assert mark.parting is not None
    assert mark.parting.text.startswith(row)
    assert mark.parting.values.count(1) >= 1
    assert len(mark.parting.labels) == len(mark.parting.values)


def test_text_never_gives_the_answer_away_unless_asked():
    for name in ("healthy-sister", "negative-test", "healthy-sons", "reduced-penetrance"):
        asked = case(name)
        for number, question in enumerate(asked.questions):
            true = actions.solve(asked).answers[number].probability.exact
            for slip in actions.slips(asked, number):
                mark = actions.mark(asked, str(slip.result[0]), number)
                step = mark.parting.step if mark.parting else ""
                text = f"{mark.feedback} {step} {parting_in_words(mark.parting)}".replace(
                    str(slip.result[0]), ""
                )
                words = text.replace(";", " ").replace(".", " ").split()
                assert str(true) not in words, (name, question, slip)
                shown = blocks_to_text(mark_blocks(mark, asked, reveal=True))
                assert f"The answer is {true}" in shown


def test_json_is_as_documented():
    told = mark_json(actions.mark(case("healthy-sister"), "1/2"))
    assert told["verdict"] == "slip"
    assert told["slips"] == ["ignored_unaffected", "joint_not_divided"]
    assert told["exact"] == "2/3"
    assert isinstance(told["feedback"], str)
    assert told["feedback"]
    json.dumps(told)


def test_genotype_questions():
    plain = {
        "version": 1,
        "condition": {
            "inheritance": "autosomal_recessive",
            "frequency": {"carrier": "1/25"},
        },
        "people": [
            {"id": "I-1", "sex": "male", "genotype": 1},
            {"id": "I-2", "sex": "female", "genotype": 1},
            {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2"},
        ],
        "questions": [{"ask": "genotype", "person": "II-1"}],
    }
    asked = read_case(json.dumps(plain))
    assert actions.mark(asked, "3/4").verdict == "right"  # at least one
    for three in ("1/4; 1/2; 1/4", "1/4, 1/2, 1/4", "1/4,1/2,1/4", "0.25,0.5,0.25"):
        assert actions.mark(asked, three).verdict == "right"
    assert actions.mark(asked, "0: 25%, 1: 50%, 2: 25%").verdict in ("right", "rounded")
    assert actions.mark(asked, "1/4; 1/4; 1/2").verdict == "wrong"
    # One number has the slips of a question that one number answers.
    assert actions.mark(asked, "1/4").slips == ("complement",)
    assert actions.mark(asked, "0.75%").slips == ("percent_sign",)
    # One number for three is told how it was read, whether right, a slip or wrong.
    for one in ("3/4", "1/2", "1/7"):
        told = mark_json(actions.mark(asked, one))["feedback"]
        assert "One number is read as the chance of at least one disease allele" in told
    assert "One number" not in actions.mark(asked, "1/4; 1/4; 1/2").feedback
    assert "add up to 1" in actions.mark(asked, "1/4; 1/4; 1/4").feedback
    with pytest.raises(InputError, match="for no copy, one and two"):
        actions.mark(asked, "AA 1/4, Aa 1/2, aa 1/4")
    # Known to be unaffected: 1/3, 2/3, 0.
    plain["people"][2]["affected"] = False
    asked = read_case(json.dumps(plain))
    for three in ("0; 2/3; 1/3", "0%; 67%; 33%"):
        got = actions.mark(asked, three)
        assert got.verdict == "wrong"
        assert got.feedback.startswith("Not in this order")


def test_what_cannot_be_marked_is_said():
    with pytest.raises(InputError) as caught:
        actions.mark(case("healthy-sister"), "no idea")
    assert caught.value.problems[0].path == "answer"
    with pytest.raises(InputError) as caught:
        actions.mark(case("healthy-sister"), "1/2", 7)
    assert "asks 2: the first has the number 0, the last 1" in str(caught.value)


def test_an_irrational_answer_is_marked_at_its_digits():
    plain = {
        "version": 1,
        "condition": {"inheritance": "autosomal_recessive", "frequency": {"incidence": "1/2000"}},
        "people": [{"id": "I-1", "sex": "male", "affected": False}],
        "questions": [{"ask": "carrier", "person": "I-1"}],
    }
    asked = read_case(json.dumps(plain))
    # Hardy-Weinberg: q = sqrt(1/2000), carriers 2q/(1+q) of the unaffected.
    q = 2000**-0.5
    mark = actions.mark(asked, f"{2 * q / (1 + q):.4f}")
    assert mark.verdict == "rounded"
    assert mark_json(mark)["exact"] is None
    assert actions.mark(asked, f"{q:.4f}").slips == ("allele_for_carrier",)


# --- a class ------------------------------------------------------------------------------

MESS = [
    ("healthy-sister", "0", "2/3"),
    ("healthy-sister", "0", "66,7 %"),
    ("healthy-sister.json", "", "two thirds"),
    ("Healthy_Sister", "0", "1/2"),
    ("healthy-sister", "Q1", "1:149"),
    ("healthy-sister", "1.0", "1/6"),
    ("negative-test", "0", "2 / 3"),
    ("negative-test", "2", "0"),
    ("unknown-family", "0", "1/2"),
    ("healthy-sister", "9", "1/2"),
    ("healthy-sister", "zero", "1/2"),
    ("healthy-sister", "0", "no idea"),
    ("healthy-sister", "0", ""),
    ("healthy-sister", "0", "=2/3"),
    ("healthy-sons", "0", "one half"),
]
WANTED = [
    *("right", "rounded", "right", "slip", "right", "slip", "slip", "slip", "not marked"),
    *("not marked", "not marked", "not marked", "not marked", "right", "slip"),
]


def table(separator, students=30, quote=True):
    text = io.StringIO()
    writer = csv.writer(text, delimiter=separator, lineterminator="\r\n")
    writer.writerow(["Student ", "CASE", "Question", "remark", "Answer"])
    for i in range(students):
        name, number, answer = MESS[i % len(MESS)]
        writer.writerow([f"s{i + 1}", name, number, "été", answer])
        if i % 7 == 0:
            text.write(separator * 4 + "\r\n" if i % 2 else "\r\n")
    return text.getvalue()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_class_of_thirty_with_mess_in_it(separator, encoding):
    cases = {name: case(name) for name in ("healthy-sister", "negative-test", "healthy-sons")}
    marked, summary = actions.mark_class(table(separator).encode(encoding), cases)
    assert [each.verdict for each in marked] == WANTED * 2
    assert summary.students == summary.answers == 30
    assert dict(summary.verdicts) == {"right": 8, "rounded": 2, "slip": 10, "not marked": 10}
    assert dict(summary.slips)["ignored_unaffected"] == 2
    assert dict(summary.slips)["ignored_tests"] == 2
    assert dict(summary.slips)["perfect_tests"] == 2
    by_line = {each.row.student: each for each in marked}
    assert 'no case "unknown-family"' in by_line["s9"].problem
    assert "no question 9" in by_line["s10"].problem
    assert '"zero" is not the number' in by_line["s11"].problem
    assert "not understood" in by_line["s12"].problem
    assert "no answer" in by_line["s13"].problem
    rows = list(csv.DictReader(io.StringIO(marks_table(marked))))
    assert [row["verdict"] for row in rows] == WANTED * 2
    assert rows[13]["answer"] == "'=2/3"  # no formula for a spreadsheet
    text = blocks_to_text(class_blocks(summary, marked))
    assert "took the partner for a carrier for sure" in text
    assert "Educational, not medical advice" in text
    svg = to_svg(slips_scene(summary))
    assert "did not divide by the sum" in svg
    assert summary_json(summary)["verdicts"]["slip"] == 10


def test_an_answer_with_a_decimal_comma_outside_quotes():
    content = b"student,case,question,answer\nann,healthy-sister,0,66,7%\nbob,,0,2/3\n"
    rows = read_answers(content)
    assert [row.answer for row in rows] == ["66,7%", "2/3"]
    assert [row.line for row in rows] == [2, 3]
    marked, _ = actions.mark_class(content, {"healthy-sister": case("healthy-sister")})
    assert [each.verdict for each in marked] == ["rounded", "right"]


@pytest.mark.parametrize("content", [b"", b"\n\n", b"a,b\n1,2\n", b"student;case\nx;y\n"])
def test_a_table_without_the_columns_is_refused(content):
    with pytest.raises(InputError):
        read_answers(content)


def test_half_units():
    # A truth of 1/150 is 0.0067; a certain partner gives 1/6.
    assert actions.mark(case("healthy-sister"), "1%", 1).verdict == "rounded"
    assert actions.mark(case("healthy-sister"), "0.7%", 1).verdict == "rounded"
    assert actions.mark(case("healthy-sister"), "17%", 1).slips == ("partner_certain",)
    assert F(1, 150) == actions.solve(case("healthy-sister")).answers[1].probability.exact


@pytest.mark.parametrize("answer", ["0", "0.0", "0%", "0.00", "0,00"])
def test_zero_is_no_rounding_of_a_small_chance(answer):
    # The truth is 1/250, the allele frequency (a slip) half of that.
    plain = {
        "version": 1,
        "condition": {"inheritance": "autosomal_recessive", "frequency": {"carrier": "1/250"}},
        "people": [{"id": "I-1", "sex": "male", "affected": False}],
        "questions": [{"ask": "carrier", "person": "I-1"}],
    }
    mark = actions.mark(read_case(json.dumps(plain)), answer)
    assert (mark.verdict, mark.slips) == ("wrong", ())
    assert "rounds everything away" in mark.feedback


@pytest.mark.parametrize("answer", ["0", "0%", "0.0", "impossible"])
def test_zero_where_the_chance_is_not_small_is_no_rounding(answer):
    for name, number in (("healthy-sons", 0), ("four-children", 2)):
        feedback = actions.mark(case(name), answer, number).feedback
        assert "rounds everything away" not in feedback
        assert feedback.startswith("0 says that it cannot be")
    assert actions.mark(case("healthy-sons"), "1").feedback.startswith("1 says that it")


def test_zero_names_the_way_that_is_easily_forgotten():
    plain = json.loads(CASES["germline-mosaic"], parse_float=str)
    plain["condition"]["germline_mosaicism"] = {"prior": "1/2", "gametes": "1/2"}
    feedback = actions.mark(read_case(json.dumps(plain)), "0").feedback
    assert "A parent without the allele elsewhere may have it in some eggs or sperm" in feedback


def test_a_fraction_that_is_very_near_is_said_to_be_that():
    # 199999/10^10: a rate of 1/100,000 for each parent, who are not both to have a new one.
    asked = case("new-mutation")
    for answer in ("1/50000", "1 in 50,001"):
        near = actions.mark(asked, answer)
        assert (near.verdict, near.slips) == ("wrong", ())
        assert near.feedback.startswith("Not quite: this is very near, but a fraction has to be")
    for answer in ("1/40000", "1/2"):
        assert "very near" not in actions.mark(asked, answer).feedback
    assert actions.mark(asked, "199999/10000000000").verdict == "right"


def test_feedback_explains_two_slips_at_most():
    asked = case("healthy-sister")
    for number in range(len(asked.questions)):
        for slip in actions.slips(asked, number):
            if slip.name == "percent_sign":  # which a fraction cannot show
                continue
            mark = actions.mark(asked, str(slip.result[0]), number)
            assert mark.feedback.count("Or: ") == min(len(mark.slips), 2) - 1


def test_the_page_numbers_questions_as_answers_do():
    asked = case("healthy-sister")
    page = blocks_to_text(mark_blocks(actions.mark(asked, "1/2", 1), asked))
    said = " ".join(page.split())
    assert "Question 2 of 2 (number 1, counted from 0): What is the chance that the next" in said
    assert "1. " not in blocks_to_text(
        mark_blocks(actions.mark(mother_of_boys(1, 2), "1/3"), mother_of_boys(1, 2))
    )


def test_a_question_asked_twice_keeps_the_number_that_was_given():
    asked = case("healthy-sister")
    asked = replace(asked, questions=asked.questions[:1] * 2)
    page = " ".join(blocks_to_text(mark_blocks(actions.mark(asked, "1/2", 1), asked)).split())
    assert "Question 2 of 2 (number 1, counted from 0)" in page


def test_the_page_says_right_once():
    asked = case("healthy-sister")
    page = blocks_to_text(mark_blocks(actions.mark(asked, "2/3"), asked))
    assert page.count("Right") == 1
    assert actions.mark(asked, "2/3").feedback == "Right."


def class_of(rows, count_from=0, cases=None):
    """Mark rows of (student, case, question, answer)."""
    content = "student;case;question;answer\n" + "".join(f"{';'.join(row)}\n" for row in rows)
    cases = cases or {"healthy-sister": case("healthy-sister")}
    return actions.mark_class(content.encode(), cases, count_from)


#: What two students hand in who count the questions (2/3 and 1/150) from 1, as a list shows them.
FROM_ONE = [(who, "healthy-sister", q, a) for who in ("ann", "bo") for q, a in
            (("1", "2/3"), ("2", "1/150"))]  # fmt: skip


def test_questions_counted_from_one_are_noticed_and_can_be_marked():
    marked, summary = class_of(FROM_ONE)
    assert "right" not in {each.verdict for each in marked}
    assert "count_from=1" in summary.notes[0]
    assert "count_from=1" in blocks_to_text(class_blocks(summary, marked)).replace("\n", " ")
    assert summary_json(summary)["notes"] == list(summary.notes)
    marked, summary = class_of(FROM_ONE, 1)
    assert {each.verdict for each in marked} == {"right"}
    assert summary.notes == ()
    assert [each["question"] for each in summary_json(summary)["questions"]] == [0, 1]
    marked, _ = class_of([("ann", "healthy-sister", "0", "2/3")], 1)
    assert "no question 0; questions here are numbered 1 to 2" in marked[0].problem


def test_questions_counted_from_zero_are_left_in_peace():
    rows = [("ann", "", "0", "2/3"), ("ann", "", "1", "1/150"), ("bo", "", "2", "1/150")]
    assert class_of(rows)[1].notes == ()
    # The 0 of a case with one question is a 0, too.
    rows = [("ann", "", "0", "1/11"), ("bo", "", "1", "1/3")]
    assert class_of(rows, cases={"only": case("germline-mosaic")})[1].notes == ()
    # No number at all is no sign of numbers from 1.
    assert class_of([("ann", "", "", "2/3")])[1].notes == ()


def test_one_stray_number_does_not_give_a_class_to_the_wrong_questions():
    """Of two questions, 0 and 2 cannot both be meant; each row that says either is named."""
    stray = [*FROM_ONE, ("cy", "", "0", "2/3")]
    with pytest.raises(InputError) as refused:
        class_of(stray, None)
    (problem,) = refused.value.problems
    assert problem.message.startswith(
        "line 6 names question 0, and lines 3, 5 name question 2 of a case that has 2: "
        "questions cannot be counted both from 0 and from 1; mend the row"
    )
    assert "count_from=1" in problem.message
    # Said to be counted from 1, all are marked but the one.
    marked, summary = class_of(stray, 1)
    assert [each.verdict for each in marked] == ["right"] * 4 + ["not marked"]
    assert summary.notes == ()
    # Where 0 is said to be the first, the table is marked so, and the note says what seems wrong.
    (note,) = class_of(stray, 0)[1].notes
    assert "Line 6 names question 0" in note and "counting from 1 (count_from=1)" in note
    # Which stray row it is does not matter, and what fits either way is marked as before.
    with pytest.raises(InputError):
        class_of([("ann", "", "0", "2/3"), ("bo", "", "1", "1/150"), ("cy", "", "2", "1")], None)
    assert class_of(FROM_ONE, None)[1].verdicts == (("right", 4),)
    rows = [("ann", "", "0", "2/3"), ("bo", "", "1", "1/150"), ("cy", "", "7", "1/150")]
    assert class_of(rows, None)[1].verdicts == (("right", 2), ("not marked", 1))
    rows = [("ann", "nobody's", "2", "2/3"), ("bo", "", "0", "2/3"), ("cy", "", "b", "1/150")]
    assert class_of(rows, None)[1].verdicts == (("right", 2), ("not marked", 1))


@pytest.mark.parametrize("letter", ["b", "(b)", "B.", "b)", "Question b"])
def test_questions_by_the_letters_of_a_worksheet(letter):
    for count_from in (0, 1):
        marked, _ = class_of([("ann", "", letter, "1/150")], count_from)
        assert marked[0].verdict == "right"
    marked, _ = class_of([("ann", "", "(d)", "1/150")])
    assert "no question (d); questions here are lettered (a) to (b)" in marked[0].problem


def test_a_case_by_several_names_is_one_case():
    sister = case("healthy-sister")
    rows = [("ann", "healthy-sister.json", "0", "2/3"), ("bo", sister.title, "0", "1/2")]
    _, summary = class_of(rows, cases={"healthy-sister": sister, sister.title: sister})
    assert [(name, each.answers) for name, _, each in summary.questions] == [("healthy-sister", 2)]


def test_two_answers_of_a_student_to_one_question_are_said():
    rows = [("ann", "", "0", "2/3"), ("bo", "", "0", "1/2"), ("ann", "", "(a)", "1/2")]
    _, summary = class_of(rows)
    assert summary.notes == (
        "ann has 2 answers to question 0 of healthy-sister: lines 2, 4. Each is counted.",
    )


@pytest.mark.parametrize(("more", "said"), [(1, "So has one other."), (3, "So have 3 others.")])
def test_of_many_students_who_answered_twice_the_rest_are_counted(more, said):
    rows = [(f"s{n}", "", "0", answer) for n in range(10 + more) for answer in ("2/3", "1/2")]
    notes = class_of(rows)[1].notes
    assert len(notes) == 11
    assert notes[-1] == said


def test_a_wrong_answer_without_a_known_slip_names_the_facts_that_count_for_nothing():
    # By hand: Runa is unaffected, has an affected son and so is a carrier for certain; what is
    # known of her own parents and of Ylva's father then says nothing about Ylva.
    wrong = actions.mark(case("healthy-sons"), "1/7", 0)
    assert wrong.verdict == "wrong"
    assert "Makes no difference here: " in wrong.feedback
    assert "I-1, I-2, II-3, Ylva and III-3 are unaffected" in wrong.feedback
    assert "1/9" not in wrong.feedback
    # A slip with a name is explained by itself.
    assert "Makes no difference" not in actions.mark(case("healthy-sons"), "1/2", 0).feedback


def test_the_hint_fits_a_working_that_has_nothing_to_divide():
    """Both parents are known to be carriers, so that there is one product and no table."""
    divided = actions.mark(case("healthy-sons"), "1/7", 0)
    assert "Write the table of Ylva first, one row for each fact, and divide" in divided.feedback
    plain = actions.mark(case("four-children"), "1/7", 0)
    assert "No table is needed here" in plain.feedback
    assert "divide" not in plain.feedback


def test_slips_that_are_as_common_are_all_named_and_questions_have_number_and_letter():
    cases = {"s": actions.example("healthy-sister")}
    answers = b"student,case,question,answer\na,s,0,1/2\nb,s,0,1/4\nc,s,1,1/2\n"
    once = " ".join(
        blocks_to_text(class_blocks(*actions.mark_class(answers, cases)[::-1]), 400).split()
    )
    shorts = once.partition(" slips once each: ")[2]
    assert all(SHORT[name] in shorts for name in ("ignored_unaffected", "joint_not_divided"))
    assert "; or " not in once
    answers += b"d,s,0,1/2\ne,s,0,1/4\n"
    marked, summary = actions.mark_class(answers, cases)
    (_, number, first), *_ = summary.questions
    assert number == "0"
    most = [slip for slip, count in first.slips if count == first.slips[0][1]]
    text = " ".join(blocks_to_text(class_blocks(summary, marked), 400).split())
    assert "0 (a)" in text and "1 (b)" in text
    listed = "; ".join(SHORT[slip] for slip in most)
    assert f"{len(most)} slips 2 times each: {listed}" in text
