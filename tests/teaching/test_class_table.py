"""Tables of a class's answers with one student a row, as forms export them."""

import pytest

from risk import actions
from risk.document.marks import class_blocks
from risk.problems import InputError
from risk.render.text_blocks import blocks_to_text
from risk.teaching.case_names import Listed, names_of
from risk.teaching.class_table import read_answers, template
from risk.teaching.scores import scores


def class_of(*names):
    return names_of([Listed(f"{name}.json", None, actions.example(name)) for name in names])


def marks(table, cases, count_from=None):
    marked, _ = actions.mark_class(table.encode(), cases, count_from)
    return [(each.row.student, each.case, each.number, each.verdict) for each in marked]


def test_one_student_a_row_with_a_column_for_each_question():
    # 2/3 and 1/150 of the sister, 1/9 and 1/18 of the three sons (fixtures/README.md).
    table = (
        "Timestamp,Username,1 (a),1b,Problem 2 (b) How likely is a son?,2 (a),2nd try\n"
        "today,Ada,2/3,1/150,1/18,1/9,1/2\n"
        "today,Bo,0.67,,1/7,,\n"
    )
    assert marks(table, class_of("healthy-sister", "healthy-sons")) == [
        ("Ada", "healthy-sister", 0, "right"),
        ("Ada", "healthy-sister", 1, "right"),
        ("Ada", "healthy-sons", 1, "right"),
        ("Ada", "healthy-sons", 0, "right"),
        ("Bo", "healthy-sister", 0, "rounded"),
        ("Bo", "healthy-sons", 1, "wrong"),
    ]


def test_the_questions_of_a_form_are_those_of_the_only_case():
    table = "Timestamp;Username;Question 1;Q2: her child\ntoday;Ada;2/3;1/150\n"
    assert marks(table, class_of("healthy-sister")) == [
        ("Ada", "healthy-sister", 0, "right"),
        ("Ada", "healthy-sister", 1, "right"),
    ]


def test_a_number_alone_is_that_of_a_case_where_each_asks_one_question():
    cases = actions.practice(1, 1, 3)
    assert [len(each.questions) for each in cases] == [1, 1, 1]
    named = names_of([Listed("", None, each) for each in cases])
    truths = [str(actions.solve(each).answers[0].probability.exact) for each in cases]
    table = f"student,Question 1,Question 2,3,Question 4\nAda,{','.join(truths)},1/2\n"
    found = marks(table, named)
    assert [each[1:] for each in found[:3]] == [(each.title, 0, "right") for each in cases]
    assert found[3][3] == "not marked"
    # In one table of problems with more questions a number alone says too little.
    both = marks("student,Question 1\nAda,2/3\n", class_of("healthy-sister", "healthy-sons"))
    assert both == [("Ada", "", None, "not marked")]


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        ("Question 1", "no problem"),
        ("Problem 2: a son", "none of the 2 questions of that problem"),
    ],
)
def test_a_heading_that_names_too_little_is_told_how_columns_are_called(heading, said):
    # Of problem 2 its answers may be those to (a) or to (b).
    table = f"student,1 (a),{heading}\nAda,2/3,1/18\nBo,2/3,\n"
    marked, _ = actions.mark_class(table.encode(), class_of("healthy-sister", "healthy-sons"))
    assert [each.verdict for each in marked] == ["right", "not marked", "right"]
    assert marked[1].problem == (
        f'the heading "{heading}" names {said}; call columns like 1 (a), 1 (b), 2 (a)'
    )


def test_what_is_wrong_with_a_column_is_said_once():
    rows = "".join(f"S{number},1/9\n" for number in range(1, 6))
    marked, summary = actions.mark_class(
        f"student,Problem 2\n{rows}S6,x\n,1/9\n".encode(),
        class_of("healthy-sister", "healthy-sons"),
    )
    text = " ".join(blocks_to_text(class_blocks(summary, marked)).split())
    assert "- line 2, S1; line 3, S2; line 4, S3; and 4 more: the heading" in text
    assert text.count("the heading") == 1


def test_what_is_not_marked_is_no_missing_answer_too():
    table = "student,1 (a),1 (b),2 (a),Problem 2\nAda,2/3,1/150,1/9,1/18\nBo,2/3,,,1/18\n"
    cases = class_of("healthy-sister", "healthy-sons")
    marked, _ = actions.mark_class(table.encode(), cases)
    found = scores(marked, [actions.example("healthy-sister"), actions.example("healthy-sons")])
    assert [(each.right, dict(each.verdicts)["not marked"], each.unanswered) for each in found] == [
        (3, 1, 0),
        (1, 1, 2),
    ]


def test_a_table_with_neither_kind_of_columns_is_told_both():
    with pytest.raises(InputError) as refused:
        read_answers(b"Timestamp,Username,How likely is it?\n1,Ada,1/2\n")
    (problem,) = refused.value.problems
    assert "student, case, question, answer" in problem.message
    assert "1 (a), 1 (b), 2 (a)" in problem.message


def test_a_template_that_is_filled_in_is_read_back():
    cases = [actions.example("healthy-sister"), actions.example("healthy-sons")]
    empty = template(cases)
    assert empty.splitlines()[0] == "student,1 (a),1 (b),2 (a),2 (b)"
    assert read_answers(empty.encode()) == ()
    filled = empty.replace("S1,,,,", "S1,2/3,1/150,1/9,1/18")
    found = marks(filled, class_of("healthy-sister", "healthy-sons"))
    assert [each[3] for each in found] == ["right"] * 4


def test_a_decimal_comma_without_quotes_is_not_marked_as_the_next_answer():
    table = b"student,1 (a),1 (b),2 (a)\nAda,0,67,1/150,1/9\nBo,2/3,1/150,1/9,\nCy,0,67,1/150,1\n"
    with pytest.raises(InputError) as refused:
        read_answers(table)
    assert [each.path for each in refused.value.problems] == ["line 2", "line 4"]
    assert all("quotes" in each.message for each in refused.value.problems)
