"""What a table may call the cases that its answers are about, and what is said of other names."""

import pytest

from risk import actions
from risk.teaching.case_names import Listed, names_of

SISTER, TEST = actions.example("healthy-sister"), actions.example("negative-test")
BOYS, TWINS = actions.example("healthy-sons"), actions.example("twins")
#: A file and a stream: a worksheet of them prints 1, 2, 3 and 4.
MIXED = [
    Listed("one.json", None, SISTER),
    Listed("exam.jsonl", 1, TEST),
    Listed("exam.jsonl", 2, BOYS),
    Listed("exam.jsonl", 3, TWINS),
]


def marked(listed, *called):
    content = "student,case,question,answer\n" + "".join(f"x,{name},a,1/2\n" for name in called)
    return actions.mark_class(content.encode(), names_of(listed))


@pytest.mark.parametrize(
    ("name", "case"),
    [
        ("one", "one"),
        ("One.JSON", "one"),
        (SISTER.title, "one"),
        ("exam:2", "exam:2"),
        ("exam.jsonl:2", "exam:2"),
        ("problem 2", "exam:1"),
        ("Problem 4", "exam:3"),
        # No line 4 is in the stream, so that this is the number on the worksheet.
        ("4", "exam:3"),
    ],
)
def test_a_case_is_called_by_its_file_its_title_or_its_number_on_a_worksheet(name, case):
    assert [each.case for each in marked(MIXED, name)[0]] == [case]


def test_a_number_that_is_two_cases_is_refused_with_the_names_of_both():
    (row,) = marked(MIXED, "2")[0]
    assert (row.verdict, row.case) == ("not marked", "")
    assert row.problem == (
        '"2" can mean exam:1 (problem 2 of a worksheet of these files) or exam:2 (line 2 of its '
        "file): write one of these names"
    )
    # The stream first, and its lines are the numbers of the worksheet; then the file is the last.
    order = [*MIXED[1:], MIXED[0]]
    assert [each.case for each in marked(order, "1", "2", "3", "4")[0]] == [
        *("exam:1", "exam:2", "exam:3"),
        "one",
    ]


def test_a_title_or_a_file_name_of_two_cases_is_refused():
    listed = [Listed("a/x.json", None, SISTER), Listed("b/x.json", None, TEST)]
    (by_name, by_path) = marked(listed, "x", "b/x.json")[0]
    assert '"x" can mean a/x.json (its file) or b/x.json (its file)' in by_name.problem
    assert by_path.case == "b/x.json"
    # The same case twice is one case.
    (row,) = marked([listed[0], listed[0]], "x")[0]
    assert row.case == "x"


def test_a_name_of_no_case_is_told_the_names_that_there_are():
    problems = [each.problem for each in marked(MIXED, "9", "exam 1", "")[0]]
    known = "cases are one, exam:1, exam:2 and exam:3"
    assert problems == [
        f'there is no case "9"; the {known}',
        f'there is no case "exam 1"; did you mean "exam:1"? The {known}',
        f"no case is given; the {known}",
    ]
    many = [Listed("exam.jsonl", n, case) for n, case in enumerate(actions.practice(1, 1, 20))]
    assert marked(many, "99")[0][0].problem.endswith("exam:10, exam:11 and 8 more")


def test_questions_are_listed_in_the_order_of_the_cases():
    _, summary = marked(MIXED, "exam:3", "exam:1", "one")
    assert [name for name, _, _ in summary.questions] == ["one", "exam:1", "exam:3"]


def test_one_case_without_a_name_takes_the_one_that_the_table_gives_it():
    names = {"": SISTER, SISTER.title: SISTER}

    def rows(*called):
        lines = "".join(f"x,{name},{'ab'[n]},2/3\n" for n, name in enumerate(called))
        return actions.mark_class(f"student,case,question,answer\n{lines}".encode(), names)

    taken, summary = rows("co", "")
    assert [each.verdict for each in taken] == ["right", "wrong"]
    assert summary.notes == (
        'The table calls the case "co". It was marked against the case chosen here.',
    )
    assert rows(SISTER.title, "")[1].notes == ()
    # Of several names it is not clear which is meant.
    (one, other), _ = rows("co", SISTER.title)
    assert one.problem == (
        'there is no case "co"; there is one case here: leave the column case out, or empty'
    )
    assert other.verdict == "wrong"
