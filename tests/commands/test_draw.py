"""``twothirds draw``: three formats, risks under the symbols, and nothing written on failure."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pytest

from risk import cli
from risk.bundled import bundled_cases
from risk.caution import CAUTION
from risk.console.streams import Streams

SISTER = str(bundled_cases()["healthy-sister"])


def draw(*argv: str) -> tuple[int, str]:
    err = io.StringIO()
    status = cli.main(["draw", *argv], Streams(io.BytesIO(), io.StringIO(), err))
    return status, err.getvalue()


@pytest.mark.parametrize(
    ("suffix", "start"),
    [("svg", b"<svg"), ("pdf", b"%PDF-"), ("png", b"\x89PNG"), ("SVG", b"<svg")],
)
def test_each_format_starts_as_it_should(suffix: str, start: bytes, tmp_path: Path) -> None:
    target = tmp_path / f"tree.{suffix}"
    assert draw(SISTER, "-o", str(target)) == (0, "")
    assert start in target.read_bytes()[:200]
    again = tmp_path / f"again.{suffix}"
    draw(SISTER, "-o", str(again))
    assert again.read_bytes() == target.read_bytes()


def test_risks_stand_under_the_symbols(tmp_path: Path) -> None:
    target = tmp_path / "tree.svg"
    for risk, tova in (("carrier", ">2/3<"), ("disease_allele", ">2/3<"), ("affected", ">0<")):
        assert draw(SISTER, "-o", str(target), "--risk", risk) == (0, "")
        person = target.read_text(encoding="utf-8").split('data-person="II-2"')[1].split("</g>")
        assert tova in "".join(person[:4]), risk
    # The sentence stands on as many lines as the drawing is wide.
    lines = re.findall(r"<text[^>]*>([^<]*)</text>", target.read_text(encoding="utf-8"))
    assert CAUTION in " ".join(lines)


def test_certain_carriers_are_marked_where_chances_are_shown(tmp_path: Path) -> None:
    target = tmp_path / "tree.svg"
    draw(SISTER, "-o", str(target), "--risk", "carrier")
    key = "carrier (one disease"  # Nico's parents, by inference
    assert key in target.read_text(encoding="utf-8")
    draw(SISTER, "-o", str(target))
    assert key not in target.read_text(encoding="utf-8")


def test_who_has_more_than_a_carrier_is_not_given_a_bare_nought(tmp_path: Path) -> None:
    people = [
        {"id": "F", "sex": "male", "affected": False},
        {"id": "M", "sex": "female"},
        {"id": "S", "sex": "male", "father": "F", "mother": "M", "affected": True},
    ]
    path, target = tmp_path / "case.json", tmp_path / "tree.svg"
    for mode, told in (("autosomal_recessive", "two copies"), ("x_linked_recessive", "has the")):
        condition = {"inheritance": mode, "frequency": {"allele": "1/100"}}
        case = {"version": 1, "condition": condition, "people": people}
        path.write_text(json.dumps(case), encoding="utf-8")
        assert draw(str(path), "-o", str(target), "--risk", "carrier") == (0, "")
        person = target.read_text(encoding="utf-8").split('data-person="S"')[1].split("</g>")[0]
        assert told in person
        assert ">0<" not in person


def test_a_male_with_one_x_is_given_the_chance_of_the_allele(tmp_path: Path) -> None:
    """The mother of an affected boy is a carrier; her brother has the allele by their mother.

    I-2 passed it to II-1 or II-1 has it by new mutation, which is left out: so I-2 is a
    carrier, and II-3, of unknown phenotype, has the allele with chance 1/2.
    """
    people = [
        {"id": "I-1", "sex": "male", "affected": False},
        {"id": "I-2", "sex": "female", "affected": False},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "affected": True},
        {"id": "II-2", "sex": "female", "father": "I-1", "mother": "I-2"},
        {"id": "II-3", "sex": "male", "father": "I-1", "mother": "I-2"},
    ]
    path, target = tmp_path / "case.json", tmp_path / "tree.svg"
    condition = {"inheritance": "x_linked_recessive", "frequency": {"allele": "1/100"}}
    case = {"version": 1, "condition": condition, "people": people}
    path.write_text(json.dumps(case), encoding="utf-8")
    assert draw(str(path), "-o", str(target), "--risk", "carrier") == (0, "")
    whole = target.read_text(encoding="utf-8")

    def said(id: str) -> list[str]:
        of = whole.split(f'data-person="{id}"')[1].split("<g ")[1]
        return re.findall(r"<text[^>]*>([^<]*)</text>", of)

    assert "allele 1/2" in said("II-3")
    assert "1/2" in said("II-2")
    assert "0" in said("I-1")
    texts = " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", whole))
    assert "chance of being a carrier, given all facts; allele: a male" in texts
    draw(SISTER, "-o", str(target), "--risk", "carrier")
    assert "allele:" not in target.read_text(encoding="utf-8")


def test_an_unknown_format_or_folder_is_told(tmp_path: Path) -> None:
    status, said = draw(SISTER, "-o", str(tmp_path / "tree.gif"))
    assert (status, said.endswith(".svg, .pdf or .png\n")) == (2, True)
    status, said = draw(SISTER, "-o", str(tmp_path / "none" / "tree.svg"))
    assert status == 2
    assert f"there is no folder {tmp_path / 'none'}; make it first" in said
    status, said = draw(SISTER)
    assert (status, "missing: -o" in said) == (2, True)
    assert list(tmp_path.iterdir()) == []


def test_impossible_evidence_draws_no_risks_but_can_be_drawn(tmp_path: Path) -> None:
    case = json.loads(Path(SISTER).read_text(encoding="utf-8"))
    case["people"][2]["genotype"] = 0
    path = tmp_path / "impossible.json"
    path.write_text(json.dumps(case), encoding="utf-8")
    target = tmp_path / "tree.svg"
    status, said = draw(str(path), "-o", str(target), "--risk", "carrier")
    assert status == 3
    assert said.splitlines()[-2:] == ["II-1.affected", "II-1.genotype"]
    assert not target.exists()
    assert draw(str(path), "-o", str(target)) == (0, "")


def test_dots_an_inch_out_of_range_are_told_briefly(tmp_path: Path) -> None:
    for dpi in ("5000", "x", "35"):
        status, said = draw(SISTER, "-o", str(tmp_path / "tree.png"), "--dpi", dpi)
        assert status == 2
        assert said.startswith(f'--dpi: "{dpi}" is not a whole number 36 to 600')
