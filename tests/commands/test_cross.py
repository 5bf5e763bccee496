"""``twothirds cross`` from its words to its answers, files and exit status."""

import io
import json

import pytest

from risk.cli import main
from risk.console.streams import Streams


def run(*words):
    streams = Streams(io.BytesIO(), io.StringIO(), io.StringIO())
    status = main(["cross", *words], streams)
    return status, streams.stdout.getvalue(), streams.stderr.getvalue()


def test_text_and_json():
    status, out, err = run("Aa", "aA")
    assert (status, err) == (0, "")
    assert "mother Aa, father Aa" in out
    status, out, err = run("Aa", "Aa", "--json")
    assert (status, err) == (0, "")
    assert json.loads(out)["phenotypes"] == {"dominant": "3/4", "recessive": "1/4"}


def test_same_seed_same_bytes():
    words = ("Aa", "Aa", "--offspring", "200", "--seed", "11")
    assert run(*words) == run(*words)
    assert run(*words)[1] != run(*words[:-1], "12")[1]


def test_test_cross():
    assert json.loads(run("--test", "8:0", "--json")[1])["heterozygous"] == "1/257"
    assert json.loads(run("--test", "8:0", "--prior", "2/3", "--json")[1]) == {
        "heterozygous": "1/129",  # by hand: 2/3 * 1/256 against 1/3 is 1 : 128
        "homozygous_dominant": "128/129",
    }
    assert "eight dominant offspring" in run("--test", "8:0")[1]


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (["Aa"], 2, "missing: FATHER"),
        ([], 2, "missing: MOTHER, FATHER"),
        (["Ab", "c"], 2, "mother:"),
        (["Aa", "Bb"], 2, "father: Bb"),
        (["Aa", "Aa", "--then", "F9"], 2, "then:"),
        (["Aa", "Aa", "--offspring", "0"], 2, "offspring:"),
        (["Aa", "Aa", "--offspring", "ten"], 2, "--offspring"),
        (["Aa", "Aa", "--observed", "9"], 2, "observed:"),
        (["Aa", "Aa", "--observed", "0:0"], 2, "observed:"),
        (["Aa", "Aa", "--prior", "1/2"], 2, "--prior belongs to --test"),
        (["Aa", "Aa", "--test", "8:0"], 2, "leave out mother and father"),
        (["--test", "8:0", "--offspring", "0"], 2, "leave out --offspring"),
        (["--test", "8:0", "--prior", "2"], 2, "prior:"),
        (["--test", "8", "--prior", "x"], 2, "test:"),
        (
            ["Aa", "Aa", "-o", "square.gif"],
            2,
            "square.gif: a figure is written to",
        ),
        (["--test", "8:1", "--prior", "0"], 3, "and the prior leaves nothing else\n"),
        (
            ["AA", "Aa", "--observed", "10:2"],
            3,
            "recessive offspring were counted (2), and this cross has none\n",
        ),
    ],
)
def test_what_is_wrong_is_said(words, status, said):
    found, out, err = run(*words)
    assert (found, out) == (status, "")
    assert said in err
    found, out, _ = run(*words, "--json")
    assert found == status
    assert json.loads(out)["error"]["status"] == status


def test_impossible_counts_as_json_name_the_conflict():
    status, out, _ = run("aa", "aa", "--observed", "1:9", "--json")
    assert status == 3
    assert json.loads(out)["error"]["conflict"] == ["mother", "father", "observed"]


def test_the_figure(tmp_path):
    path = tmp_path / "square.svg"
    status, out, _ = run("Aa", "Aa", "-o", str(path), "--json")
    assert status == 0
    assert json.loads(out)["rows"] == ["A", "a"]
    svg = path.read_text(encoding="utf-8")
    assert "<title" in svg
    assert "recessive" in svg
    assert run("Aa", "A", "-o", str(tmp_path / "none.svg"))[0] == 2
    assert [each.name for each in tmp_path.iterdir()] == ["square.svg"]
    assert run("Aa", "Aa", "-o", str(tmp_path / "square.PNG"))[0] == 0
    assert (tmp_path / "square.PNG").read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert run("Aa", "Aa", "-o", str(tmp_path / "square.pdf"))[0] == 0
    assert (tmp_path / "square.pdf").read_bytes().startswith(b"%PDF-")


def test_a_gene_on_the_x():
    status, out, err = run("XAXa", "X^A Y")
    assert (status, err) == (0, "")
    assert "mother X^A X^a, father X^A Y" in out
    assert "half are carriers. Half of the sons are affected" in out
    value = json.loads(run("XAXA", "XaY", "--then", "F2", "--json")[1])
    assert value["rows"] == ["X^A", "X^A"]
    assert value["columns"] == ["X^a", "Y"]
    assert value["generations"][1]["sons"]["affected"] == "1/2"
    assert value["reciprocal"]["generations"][0]["sons"]["affected"] == "1"
    value = json.loads(run("XAXa", "XAY", "--observed", "9:0:5:5", "--json")[1])
    assert value["goodness_of_fit"]["small_counts"]
    value = json.loads(run("XDXd", "XdY", "--affected", "dominant", "--json")[1])
    assert value["daughters"]["affected"] == "1/2"


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (["XAXa", "Aa"], 2, "father: 'Aa' is not the genotype of a father"),
        (["XAXa", "XAY", "--then", "selfing:3"], 2, "then: nobody with an X and a Y"),
        (["XAXa", "XAY", "--then", "backcross:AA:3"], 2, "then: 'AA'"),
        (["XAXa", "XAY", "--observed", "3:1"], 2, "observed: '3:1' is not four counts"),
        (["Aa", "Aa", "--affected", "dominant"], 2, "--affected belongs to a gene on the X"),
        (["--test", "8:0", "--affected", "dominant"], 2, "leave out --affected"),
        (["XAXa", "XAY", "--observed", "9:1:5:5"], 3, "recessive daughters were counted (1)"),
    ],
)
def test_what_is_wrong_of_a_gene_on_the_x_is_said(words, status, said):
    found, out, err = run(*words)
    assert (found, out) == (status, "")
    assert said in err


def test_several_genes_are_refused_in_words():
    status, out, err = run("AaBb", "aa")
    assert (status, out) == (2, "")
    assert "one gene only" in err


def test_the_test_cross_heads_its_table_with_genotypes():
    page = run("--test", "8:0")[1]
    assert any(line.split() == ["Aa", "AA"] for line in page.splitlines())
