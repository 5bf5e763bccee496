"""Varying a value against solving each edited file by itself."""

import csv
import io
import json
from fractions import Fraction as F

import pytest

from risk import actions
from risk.bundled import fixtures_folder
from risk.case.parameter import Parameter, parameters
from risk.case.read import read_case
from risk.case.write import write_case_line
from risk.document.variation import variation_blocks, variation_csv, variation_scene
from risk.problems import InputError, Problem
from risk.render.teaching_json import variation_json
from risk.render.text_blocks import blocks_to_text
from risk.scene.shapes import Text


def load(name):
    return (fixtures_folder() / f"{name}.json").read_text(encoding="utf-8")


def put(case, path, value):
    """Set one value of plain JSON by a list of keys."""
    *way, last = path
    for step in way:
        case = case[step]
    case[last] = value


@pytest.mark.parametrize(
    ("name", "parameter", "path", "values"),
    [
        ("negative-test", "condition.frequency.carrier", ["condition", "frequency", "carrier"],
         ["1/100", "2%", "0.04", "1 in 10", "0.3"]),
        ("negative-test", "condition.tests[0].sensitivity",
         ["condition", "tests", 0, "sensitivity"],
         ["0", "50%", "0.99", "1"]),
        ("reduced-penetrance", "condition.penetrance.1", ["condition", "penetrance", "1"],
         ["0", "30%", "1"]),
        ("late-onset", "people[4].age", ["people", 4, "age"], ["0", "25", "62.5", "80"]),
        ("late-onset", "III-1.age", ["people", 4, "age"], ["0", "25", "70"]),
        ("healthy-sister", "II-2.affected", ["people", 3, "affected"], ["true", "false"]),
        ("healthy-sister", "people[3].genotype", ["people", 3, "genotype"], ["0", "1"]),
        ("negative-test", "II-3.tests[0]", ["people", 4, "tests", 0, "result"],
         ["negative", "positive"]),
        ("new-mutation", "condition.mutation.paternal", ["condition", "mutation", "paternal"],
         ["0", "1e-6", "1/1000"]),
        ("twins", "condition.frequency.carrier", ["condition", "frequency"], ["1/7"]),
        ("four-children", "questions[0].of", ["questions", 0, "of"], ["1", "3", "10"]),
    ],
)  # fmt: skip
def test_each_point_is_the_edited_file(name, parameter, path, values):
    case = read_case(load(name))
    variation = actions.vary(case, parameter, values)
    assert [point.value for point in variation.points] == values
    for point in variation.points:
        plain = json.loads(load(name))
        value = point.value
        if path[-1] == "frequency":
            value = {"carrier": value}
        elif path[-1] == "affected":
            value = value == "true"
        elif path[-1] in ("age", "genotype", "of"):
            value = json.loads(value)
        put(plain, path, value)
        alone = read_case(json.dumps(plain))
        assert point.answers == actions.solve(alone).answers
        assert not point.problems


def test_a_fact_without_values_takes_all_it_can():
    case = read_case(load("negative-test"))
    variation = actions.vary(case, "II-2.tests[0]")
    assert [point.value for point in variation.points] == ["negative", "positive", "unknown"] or [
        point.value for point in variation.points
    ] == ["positive", "negative", "unknown"]
    by_value = {point.value: point.answers[0].probability.exact for point in variation.points}
    # Common practice: 2/3 before the test, 2/30 : 1/3 after a negative one; it is never wrong
    # when positive.
    assert by_value == {"unknown": F(2, 3), "negative": F(1, 6), "positive": 1}
    assert [point.value for point in variation.points if point.own] == ["negative"]


def test_a_bad_point_does_not_stop_the_others():
    case = read_case(load("negative-test"))
    points = actions.vary(case, "condition.frequency.carrier", ["1/50", "3/2", "rare", "0"]).points
    # Where nobody carries, nobody is affected.
    assert [point.status for point in points] == [0, 2, 2, 3]
    (problem,) = points[1].problems
    assert problem == Problem("condition.frequency.carrier", '"3/2" is outside 0 to 1')
    assert points[1].reason == str(problem)
    points = actions.vary(read_case(load("healthy-sister")), "II-2.genotype", ["1", "2"]).points
    assert [point.status for point in points] == [0, 3]


@pytest.mark.parametrize(
    ("name", "nearest"),
    [
        ("condition.frequency.carier", "condition.frequency.carrier"),
        ("II-2.affectd", "II-2.affected"),
        ("Kaia.affected", "II-2.affected"),
        ("ludo.tests[0].result", "II-3.tests[0].result"),
        ("people[44].age", "people[4].age"),
        ("condition.tests[1].sensitivity", "condition.tests[0].sensitivity"),
        # The end of a path will do.
        ("sensitivty", "sensitivity"),
        ("carier", "carrier"),
        # Not alike any, or the part of several.
        ("nope", "condition.frequency.allele"),
        ("mutation", "condition.mutation.maternal"),
    ],
)
def test_an_unknown_path_names_the_nearest(name, nearest):
    with pytest.raises(InputError) as caught:
        actions.vary(read_case(load("negative-test")), name, ["1"])
    (problem,) = caught.value.problems
    assert problem.path == name
    assert f'"{nearest}"' in problem.message
    assert ("did you mean" in problem.message) == (name not in ("nope", "mutation"))


@pytest.mark.parametrize(
    ("end", "path"),
    [
        ("carrier", "condition.frequency.carrier"),
        ("frequency.carrier", "condition.frequency.carrier"),
        ("sensitivity", "condition.tests[0].sensitivity"),
        ("tests[0].specificity", "condition.tests[0].specificity"),
    ],
)
def test_the_end_of_a_path_stands_for_it_where_no_other_ends_so(end, path):
    case = read_case(load("negative-test"))
    short, whole = (actions.vary(case, name, ["1/20", "1/2"]) for name in (end, path))
    assert short == whole  # the whole path is what JSON and tables name


def test_where_one_place_of_several_has_a_value_that_one_is_meant():
    healthy_sons = read_case(load("healthy-sons"))  # everybody could have a count, and IV-1 has
    short, whole = (actions.vary(healthy_sons, name, ["2"]) for name in ("count", "IV-1.count"))
    assert short == whole


def test_an_end_that_several_paths_have_names_some_of_them():
    case = read_case(load("negative-test"))
    for end in ("affected", "age", "tests[0]"):
        with pytest.raises(InputError) as caught:
            actions.vary(case, end, ["true"])
        assert "several places end so" in str(caught.value)
        assert f'.{end}"' in str(caught.value)
    for none in ("", "ier", ".carrier", "requency.carrier"):
        with pytest.raises(InputError):
            Parameter(case, none)


def test_an_unknown_path_of_odd_characters_can_be_shown():
    """Found by ``python -m tests.fuzz command``."""
    case = actions.example("healthy-sister")
    with pytest.raises(InputError) as caught:
        Parameter(case, "one\n\x0btwo")
    (problem,) = caught.value.problems
    assert str(problem).isprintable()


def test_every_parameter_can_be_found_again_and_keeps_the_case():
    for path in sorted(fixtures_folder().glob("*.json")):
        case = read_case(path.read_bytes())
        for name in parameters(case):
            place = Parameter(case, name)
            if place.own is not None and ".variants" not in name:
                same = write_case_line(place.case_with(place.own))
                assert same.replace('"', "") == write_case_line(case).replace('"', ""), name


def test_what_goes_with_a_value_follows():
    case = read_case(load("variant-classes"))
    changed = Parameter(case, "condition.variants[0].share").case_with("1/3")
    assert [each.share.value for each in changed.condition.variants] == [F(1, 3), F(2, 3)]
    twins = read_case(load("twins"))
    first, second = (person.id for person in twins.people if person.twin)
    changed = Parameter(twins, f"{first}.twin.zygosity").case_with("monozygotic")
    assert changed.person(second).twin.zygosity == "monozygotic"
    # Without a table of penetrance the mode's own is completed.
    case = read_case(load("healthy-sister"))
    plain = json.loads(load("healthy-sister"))
    plain["condition"]["penetrance"] = {"0": "0", "1": "0", "2": "1/2"}
    (point,) = actions.vary(case, "condition.penetrance.2", ["1/2"]).points
    assert point.answers == actions.solve(read_case(json.dumps(plain))).answers


def test_several_parameters_change_together():
    case = read_case(load("reduced-penetrance"))
    names = ["condition.penetrance.1", "condition.penetrance.2"]
    variation = actions.vary(case, names, ["50%", "80%"])
    # Common practice: 1/2 x 1/2 against 1/2; the file's own 80% gives 1/6.
    assert [point.answers[0].probability.exact for point in variation.points] == [F(1, 3), F(1, 6)]
    assert [point.own for point in variation.points] == [False, True]


def test_spaced_values_are_exact_and_include_both_ends():
    assert actions.spaced("0", "1", 5) == ("0", "0.25", "0.5", "0.75", "1")
    assert actions.spaced("1/3", "2/3", 3) == ("1/3", "1/2", "2/3")
    assert actions.spaced("10%", "20%", 3) == ("10%", "15%", "20%")
    assert actions.spaced("0", "1", 4)[1] == "1/3"
    assert actions.spaced("1/1000", "1/10", 3, log=True) == ("1/1000", "0.01", "1/10")
    assert actions.spaced("1e-300", "1e300", 5, log=True)[1:4] == ("1e-150", "1", "1e+150")
    with pytest.raises(InputError) as caught:
        actions.spaced("0", "one", 1, log=True)
    assert [problem.path for problem in caught.value.problems] == ["stop", "steps"]
    with pytest.raises(InputError):
        actions.spaced("0", "1", 3, log=True)


def test_table_csv_and_plot():
    case = read_case(load("negative-test"))
    values = actions.spaced("1/100", "1/10", 60)
    variation = actions.vary(case, "condition.frequency.carrier", (*values, "2"))
    text = blocks_to_text(variation_blocks(variation, case))
    assert "Educational, not medical advice" in text
    assert max(map(len, text.splitlines())) <= 80
    rows = list(csv.reader(io.StringIO(variation_csv(variation, case))))
    assert len(rows) == 1 + 61
    assert {len(row) for row in rows} == {2 + 2 * 3 + 1}
    assert rows[1][:1] == ["1/100"]
    assert F(rows[1][3]) == F(1, 6)
    assert float(rows[1][6]) == pytest.approx(1 / 23784)
    assert "outside" in rows[-1][-1]
    scene = variation_scene(
        actions.vary(case, "condition.frequency.carrier", values), case, log=True
    )
    assert "goes from" in scene.desc
    drawn = [item.text for item in scene.items if isinstance(item, Text)]
    assert "carrier frequency" in drawn
    assert "1/25 (case)" in drawn
    assert {"0%", "5%", "10%"} <= set(drawn)  # the chances reach 1/6
    assert {"0.01", "0.1"} <= set(drawn)  # powers of ten within the range
    with pytest.raises(InputError):
        variation_scene(actions.vary(case, "II-2.affected"), case)


def test_an_age_that_varies_is_not_told_as_it_is_in_the_case():
    # The bundled case: Silja, unaffected at 30, asked about the age of 50.
    case = read_case(load("late-onset"))
    texts = {}
    for name in ("III-1.age", "questions[2].by_age"):
        variation = actions.vary(case, name, ["40", "45"])
        page = " ".join(blocks_to_text(variation_blocks(variation, case)).split())
        scene = variation_scene(variation, case)
        key = " ".join(i.text for i in scene.items if isinstance(i, Text) and i.role == "key")
        heads = variation_csv(variation, case).splitlines()[0]
        texts[name] = (page, key, heads)
    for text in texts["III-1.age"]:
        assert "by the age of 50, being unaffected at the varied age" in text
    for text in texts["questions[2].by_age"]:
        assert "by the varied age, being unaffected at 30" in text


def test_a_value_that_contradicts_the_family_lists_the_facts():
    # An affected child of a recessive condition needs a parent's allele: "genotype 0" is none.
    variation = actions.vary(actions.example("healthy-sister"), "II-1.genotype", ("0", "2"))
    reason = variation.points[0].reason
    assert variation.points[0].status == 3
    assert variation.points[0].conflict == ("II-1.affected", "II-1.genotype")
    assert reason.startswith("Nico is affected and is known to have no disease allele, which no")
    assert reason.endswith("and all that is left can be: II-1.affected, II-1.genotype")
    error = variation_json(variation)["points"][0]["error"]
    assert error["conflict"] == ["II-1.affected", "II-1.genotype"]
    assert error["problems"][0].endswith("and all that is left can be")
    assert variation.points[1].problems == ()
