"""Case files, broken at random: in their structure, and byte by byte.

A case is held as a tree of `Pairs` (an object, in which a key may stand twice), lists, and leaves;
`Raw` is a leaf that is written as it stands, so that ``1e999``, ``NaN`` and ``01`` can be tried.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted(ROOT.glob("fixtures/*.json")) + sorted(ROOT.glob("tests/handbook/[0-9][0-9].json"))


class Raw(str):
    """A literal of the file, written without quotes."""


class Pairs(list):
    """A JSON object as its keys and values in order."""


def parse(text):
    """Return the tree of a JSON text."""
    return json.loads(text, object_pairs_hook=lambda pairs: Pairs(map(list, pairs)),
                      parse_float=Raw, parse_int=Raw)  # fmt: skip


def written(tree, escape=True):
    """Return the text of a tree."""
    if isinstance(tree, Pairs):
        inside = (f"{written(k, escape)}:{written(v, escape)}" for k, v in tree)
        return "{" + ",".join(inside) + "}"
    if isinstance(tree, list):
        return "[" + ",".join(written(each, escape) for each in tree) + "]"
    return str(tree) if isinstance(tree, Raw) else json.dumps(tree, ensure_ascii=escape)


SOUND = [parse(path.read_text(encoding="utf-8")) for path in FILES]
KEYS = sorted(
    {
        "version", "title", "vignette", "condition", "people", "couples", "questions", "name",
        "inheritance", "frequency", "allele", "carrier", "incidence", "mutation_selection_balance",
        "fitness", "mutation", "maternal", "paternal", "penetrance", "female", "male", "0", "1",
        "2", "onset", "age", "cumulative", "viability", "variants", "share", "tests", "detects",
        "sensitivity", "specificity", "likelihood", "germline_mosaicism", "prior", "gametes", "id",
        "sex", "gender", "father", "mother", "affected", "genotype", "test", "found", "result",
        "inbreeding", "count", "status", "twin", "group", "zygosity", "monozygotic_chance",
        "adopted", "roles", "note", "partners", "consanguineous", "separated", "childless", "ask",
        "person", "by_age", "parents", "of", "at_least", "exactly", "colour", "Sex", "", "a.b[0]",
    }
)  # fmt: skip
NUMBERS = [
    Raw(text)
    for text in (
        "0", "1", "2", "3", "-1", "-0", "0.5", "1.5", "1e-300", "1e-301", "1e300", "1e999",
        "1e-999999999", "NaN", "Infinity", "-Infinity", "01", "1_0", "0x1", "1.", ".5", "+1",
        "150", "151", "1000", "1001", "0.30000000000000004", "9" * 299, "9" * 700, "1E2", "0e0",
    )
]  # fmt: skip
WORDS = [
    "", " ", "rare", "by sex", "1/25", "4%", "1 in 25", "1/0", "0/0", "NaN", "1e999", "I-1", "I-2",
    "II-1", "II-2", "III-1", "I-9", "female", "male", "unknown", "true", "null", "positive",
    "negative", "monozygotic", "dizygotic", "alive", "deceased", "pregnancy", "stillbirth",
    "autosomal_recessive", "autosomal_dominant", "x_linked_recessive", "x_linked_dominant",
    "carrier", "disease_allele", "genotype", "will_be_affected", "child_affected", "child_carrier",
    "both_carriers", "children_affected", "proband", "consultand", "in", "out", "choice", "Зоя",
    "زوي", "佐々木", "👩‍⚕️", "a\u0301", "\u202egnp", "\ud800", "\x00", "\x1b[31m", "\u2028",
    "\ufeff",
    "\uffff", "x" * 40, "x" * 41, "y" * 3000, "a\nb", "a.b[0]", "people[0]", "١/٢", "½", "1 000",
]  # fmt: skip


def leaf(random):
    pool = random.choice((NUMBERS, WORDS, WORDS, [None, True, False], [[], Pairs()]))
    return copy.deepcopy(random.choice(pool))


def deep(random):
    """A list or object that holds itself, so to speak, many times over."""
    tree = leaf(random)
    for _ in range(random.choice((3, 30, 300, 3000))):
        inner = written(tree)
        tree = Raw(f"[{inner}]" if random.random() < 0.5 else f'{{"people":{inner}}}')
        if len(tree) > 60_000:
            break
    return tree


def value(random):
    """Any JSON value: a leaf, a small tree, a huge list, deep nesting."""
    pick = random.random()
    if pick < 0.75:
        return leaf(random)
    if pick < 0.85:
        return [value(random) for _ in range(random.randrange(4))]
    if pick < 0.95:
        return Pairs([random.choice(KEYS), value(random)] for _ in range(random.randrange(4)))
    if pick < 0.98:
        return [leaf(random)] * random.choice((100, 1001, 20_000))
    return deep(random)


def places(tree):
    """Every list that holds something: of a list its items, of an object its pairs."""
    found, stack = [], [tree]
    while stack:
        here = stack.pop()
        if isinstance(here, list):
            if here:
                found.append(here)
            stack += [pair[1] for pair in here] if isinstance(here, Pairs) else here
    return found


def break_tree(tree, random):
    """Change one thing of `tree`, in place; return the name of the change."""
    here = random.choice(places(tree) or [tree])
    if not isinstance(here, list) or not here:
        return "nothing"
    index = random.randrange(len(here))
    pairs = isinstance(here, Pairs)
    how = random.choice(
        ("replace", "number", "swap", "move", "delete", "double", "add", "rename", "many")
    )

    def put(new):
        if pairs:
            here[index][1] = new
        else:
            here[index] = new

    if how == "replace":
        put(value(random))
    elif how == "number":
        put(random.choice(NUMBERS))
    elif how == "swap":
        there = random.choice(places(tree))
        other = random.randrange(len(there))
        mine = here[index][1] if pairs else here[index]
        theirs = there[other][1] if isinstance(there, Pairs) else there[other]
        put(copy.deepcopy(theirs))
        if isinstance(there, Pairs):
            there[other][1] = copy.deepcopy(mine)
        else:
            there[other] = copy.deepcopy(mine)
    elif how == "move":
        there = random.choice(places(tree))
        thing = here.pop(index)
        if pairs and not isinstance(there, Pairs):
            thing = thing[1]
        elif isinstance(there, Pairs) and not pairs:
            thing = [random.choice(KEYS), thing]
        there.insert(random.randrange(len(there) + 1), copy.deepcopy(thing))
    elif how == "delete":
        del here[index]
    elif how == "double":
        here.insert(index, copy.deepcopy(here[index]))
    elif how == "add":
        here.append([random.choice(KEYS), value(random)] if pairs else value(random))
    elif how == "rename" and pairs:
        key = here[index][0]
        here[index][0] = random.choice((random.choice(KEYS), key.upper(), key + "s", key[:-1]))
    elif how == "many" and not pairs:
        here += [copy.deepcopy(here[index]) for _ in range(random.choice((2, 30, 300)))]
    return how


def break_bytes(content, random):
    """Return `content` damaged as files get damaged."""
    content = bytearray(content)
    for _ in range(random.choice((1, 1, 2, 5, 20))):
        if not content:
            break
        at = random.randrange(len(content))
        how = random.randrange(8)
        if how == 0:
            content[at] = random.randrange(256)
        elif how == 1:
            content[at] ^= 1 << random.randrange(8)
        elif how == 2:
            del content[at : at + random.choice((1, 1, 5, 100))]
        elif how == 3:
            end = at + random.choice((1, 10, 200))
            content[at:at] = content[at:end]
        elif how == 4:
            content[at:at] = random.choice(
                (b"\x00", b"\xff", b"{", b"}", b"[", b"]", b'"', b",", b":", b"\\", b"//x\n",
                 b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\xc0\x80", b"\r", b"null", b"-", b"e9", b"'")
            )  # fmt: skip
        elif how == 5:
            del content[at:]
        elif how == 6:
            end = at + random.choice((1, 4, 50))
            part = content[at:end]
            place = random.randrange(len(content))
            content[place:place] = part
        else:
            content[at:at] = bytes(random.randrange(256) for _ in range(random.randrange(9)))
    return bytes(content)


def broken_case(random):
    """Return the bytes of a case file and how it was broken (at times it is still sound)."""
    tree = copy.deepcopy(random.choice(SOUND))
    how = [break_tree(tree, random) for _ in range(random.choice((0, 1, 1, 1, 2, 3, 6)))]
    text = written(tree, escape=random.random() < 0.5)
    content = text.encode("utf-8", "surrogatepass")
    if random.random() < 0.3:
        content = break_bytes(content, random)
        how.append("bytes")
    elif random.random() < 0.05:
        code = random.choice(("utf-16", "utf-16-be", "utf-32", "utf-8-sig", "cp1251", "latin-1"))
        content = text.encode(code, "replace")
        how.append(code)
    return content, how
