"""Crosses as text and as the JSON objects of the contract."""

import json
import re
from fractions import Fraction

import pytest

from risk.caution import CAUTION
from risk.render.cross_json import cross_json, parent_json
from risk.render.cross_text import cross_text, square_text
from risk.teaching.cross import punnett
from risk.teaching.crossing import cross
from risk.teaching.testcross import Observed, infer_parent


def test_the_object_of_a_plain_cross():
    assert cross_json(cross("Aa", "Aa")) == {
        "rows": ["A", "a"],
        "columns": ["A", "a"],
        "cells": [["AA", "Aa"], ["Aa", "aa"]],
        "genotypes": {"AA": "1/4", "Aa": "1/2", "aa": "1/4"},
        "phenotypes": {"dominant": "3/4", "recessive": "1/4"},
    }


def test_what_is_asked_for_is_added():
    value = cross_json(cross("Aa", "Aa", offspring=50, seed=7, observed="305:95"))
    assert sum(value["simulated"]["genotypes"].values()) == 50
    assert sum(value["simulated"]["phenotypes"].values()) == 50
    assert value["goodness_of_fit"]["chi_square"] == pytest.approx(1 / 3)
    assert value["goodness_of_fit"]["degrees_of_freedom"] == 1
    assert value["goodness_of_fit"]["p"] == pytest.approx(0.5637, abs=1e-4)  # erfc(sqrt(1/6))
    json.dumps(value, allow_nan=False)


def test_generations_begin_with_f1():
    value = cross_json(cross("AA", "aa", then="F2"))
    assert [each["name"] for each in value["generations"]] == ["F1", "F2"]
    assert value["generations"][0]["genotypes"] == {"AA": "0", "Aa": "1", "aa": "0"}
    assert value["generations"][1]["genotypes"] == {"AA": "1/4", "Aa": "1/2", "aa": "1/4"}
    value = cross_json(cross("AA", "aa", then="backcross:AA:3"))
    assert [each["name"] for each in value["generations"]] == ["F1", "BC1", "BC2", "BC3"]
    assert value["generations"][3]["genotypes"] == {"AA": "7/8", "Aa": "1/8", "aa": "0"}
    assert value["generations"][3]["recurrent_share"] == "15/16"
    value = cross_json(cross("AA", "aa", then="selfing:2"))
    assert value["generations"][2]["inbreeding"] == value["generations"][2]["homozygous"] == "3/4"


def test_the_object_of_a_test_cross():
    assert parent_json(infer_parent(Observed(8, 0))) == {
        "heterozygous": "1/257",
        "homozygous_dominant": "256/257",
    }


def test_nothing_to_test_is_null():
    fit = cross_json(cross("AA", "aa", observed="9:0"))["goodness_of_fit"]
    assert fit == {"chi_square": None, "degrees_of_freedom": 0, "p": None}


def test_the_square_in_characters():
    assert square_text(punnett("Aa", "aa")) == (
        "                     father's gametes\n"
        "                     a             a\n"
        "              +-------------+-------------+\n"
        "  mother's  A |     Aa      |     Aa      |\n"
        "              |  dominant   |  dominant   |\n"
        "              +-------------+-------------+\n"
        "  gametes   a |:::: aa :::::|:::: aa :::::|\n"
        "              |: recessive :|: recessive :|\n"
        "              +-------------+-------------+\n"
    )


@pytest.mark.parametrize(
    "crossed",
    [
        cross("Aa", "Aa", offspring=1_000, seed=1, observed="600000:200000"),
        cross("Aa", "Aa", then="sibs:50", offspring=7, observed="1:1"),
        cross("AA", "aa", then="selfing:50"),
        cross("AA", "aa", then="backcross:aa:50"),
    ],
)
def test_pages_fit_80_columns_and_end_with_the_caution(crossed):
    text = cross_text(crossed)
    assert max(map(len, text.splitlines())) <= 80
    assert " ".join(text.split()).endswith(CAUTION)
    # No number of the tables is broken over two lines.
    assert not [line for line in text.splitlines() if line.strip().isdigit()]


def test_very_large_and_very_small_shares_stay_readable():
    text = cross_text(cross("AA", "aa", then="selfing:50"))
    last = next(line for line in text.splitlines() if line.startswith("F51"))
    cells = ["F51", "~0.50000", "~8.9 x 10^-16", *["~0.50000"] * 2, *[">0.99999"] * 2]
    assert re.split(r"\s{2,}", last.strip()) == cells
    assert Fraction(1, 2**50) == pytest.approx(8.9e-16, rel=0.01)
