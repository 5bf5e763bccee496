"""Texts into the number reader, against a second reader written from the definition alone.

The definition: a decimal (digits, at most one point, at least one digit; an exponent may follow),
a percentage (a decimal and %), a fraction (two decimals and /) or odds (two decimals and the word
"in"); a sign may stand before the whole; ASCII digits only; spaces around and between the parts.
"""

from __future__ import annotations

import json
from collections import Counter
from fractions import Fraction

from risk.case.read import read_case
from risk.case.values import probability
from risk.number import MOST_DIGITS, JsonNumber, read_number
from risk.problems import InputError

SPACES = " \t\n\r\f\v"
DIGITS = "0123456789"


class NotANumber(Exception):
    pass


class ZeroDenominator(Exception):
    pass


class TooLong(Exception):
    pass


def reference(text):
    """Return the exact value of `text`, read letter by letter."""
    value = _reference(text)
    if max(abs(value.numerator), value.denominator) > 10**MOST_DIGITS:
        raise TooLong
    return value


def _reference(text):
    text = text.strip()
    if len(text) > 2 * MOST_DIGITS:
        raise TooLong
    sign = 1
    if text[:1] in ("+", "-"):
        sign, text = (-1 if text[0] == "-" else 1), text[1:]
    top, text = _decimal(text)
    bare = text.lstrip(SPACES)
    if not text:
        return sign * _value(top)
    if bare == "%":
        return sign * _value(top) / 100
    if bare.startswith("/"):
        rest = bare[1:].lstrip(SPACES)
    elif bare is not text and bare != text and bare[:2] == "in" and bare[2:3] and bare[2] in SPACES:
        rest = bare[2:].lstrip(SPACES)
    else:
        raise NotANumber
    bottom, text = _decimal(rest)
    if text:
        raise NotANumber
    bottom = _value(bottom)
    if not bottom:
        raise ZeroDenominator
    return sign * _value(top) / bottom


def _decimal(text):
    """Cut a decimal off the start: (digits, digits after the point, exponent), and the rest."""
    whole, text = _digits(text)
    part = ""
    if text.startswith("."):
        part, text = _digits(text[1:])
    if not whole and not part:
        raise NotANumber
    exponent = ""
    if text[:1] in ("e", "E"):
        after = text[1:]
        sign = after[:1] if after[:1] in ("+", "-") else ""
        figures, left = _digits(after[len(sign) :])
        if figures:
            exponent, text = sign + figures, left
    return (whole, part, exponent), text


def _digits(text):
    end = 0
    while end < len(text) and text[end] in DIGITS:
        end += 1
    return text[:end], text[end:]


def _value(decimal):
    whole, part, exponent = decimal
    if exponent and (len(exponent) > 5 or abs(int(exponent)) > MOST_DIGITS):
        raise TooLong
    value = Fraction(int(whole or "0"))
    for place, digit in enumerate(part, start=1):
        value += Fraction(int(digit), 10**place)
    return value * Fraction(10) ** int(exponent or "0")


ODD = ["١", "२", "３", "½", "⁄", "∕", "％", "٫", "−", "–", "＋", "\u00a0", "\u2009", "\u200b", "_",
       ",", "'", "’", "x", "e", "E", "in", "In", "of", "nan", "inf", "Infinity", "0x", "j", "\x00",
       "\ud800", "(", ")", "^", "*", "~", "<", "%", "/", ".", "+", "-", " ", "\t", "\n", "\x1c",
       "rare"]  # fmt: skip


def some_decimal(random):
    length = random.choice((1, 1, 2, 3, 8, 30, 310))
    text = "".join(random.choice(DIGITS) for _ in range(random.randrange(length + 1)))
    if random.random() < 0.4:
        text = random.choice(("", "0", "00"))  # most numbers of a case file are below 1
    if random.random() < 0.6:
        text += "." + "".join(random.choice(DIGITS) for _ in range(random.randrange(length + 1)))
    if random.random() < 0.25:
        size = random.choice((9, 9, 99, 301, 320, 99999, 10**6))
        text += random.choice("eE") + random.choice(("", "+", "-")) + str(random.randrange(size))
    return text


def some_space(random):
    return "".join(random.choice(SPACES) for _ in range(random.choice((0, 0, 1, 2))))


def some_text(random):
    """A number by the grammar, or one with something odd put in, or anything."""
    pick = random.random()
    if pick < 0.1:
        return "".join(chr(random.randrange(0x3000)) for _ in range(random.randrange(12)))
    if pick < 0.2:
        parts = [random.choice((*DIGITS, *ODD)) for _ in range(random.randrange(10))]
        return "".join(parts)
    text = random.choice(("", "", "", "-", "+")) + some_decimal(random)
    kind = random.randrange(4)
    if kind == 1:
        text += some_space(random) + "%"
    elif kind == 2:
        text += some_space(random) + "/" + some_space(random) + some_decimal(random)
    elif kind == 3:
        text += some_space(random) + " in " + some_space(random) + some_decimal(random)
    text = some_space(random) + text + some_space(random)
    if pick < 0.5:
        at = random.randrange(len(text) + 1)
        if random.random() < 0.5:
            return text[:at] + random.choice(ODD) + text[at:]
        return text[:at] + text[at + 1 :]
    return text


def attempt(random):
    """Read one text in each way a case file can hold it; compare with `reference`."""
    text = some_text(random)
    wanted = outcome(reference, text)
    assert outcome(read_number, text) == wanted, f"{text!r}: {outcome(read_number, text)}, {wanted}"
    inside = isinstance(wanted, Fraction) and 0 <= wanted <= 1
    bare = text.strip(" \t\n\r")
    for literal in (text, *([JsonNumber(bare)] if is_json_number(bare) else [])):
        read = outcome(lambda each: probability(each).value, literal)
        if isinstance(literal, str) and any(c < " " or "\x7f" <= c <= "\x9f" for c in text):
            assert isinstance(read, str), f"a control character in {text!r} was read"
        else:
            assert (read == wanted) if inside else isinstance(read, str), f"{literal!r}: {read}"
    kind = "a number" if isinstance(wanted, Fraction) else wanted
    if random.random() < 0.1:
        kind += in_a_file(text, wanted if inside else None, random.random() < 0.5)
    return text.encode("utf-8", "surrogatepass"), Counter({kind: 1})


def in_a_file(text, wanted, quoted):
    """Read the text as the frequency of a case file, in quotes or bare."""
    literal = json.dumps(text) if quoted else text
    if not quoted and not is_json_number(text):
        if any(c in text for c in '"{}[],:'):
            return ""  # it would change what the file says elsewhere
        wanted = None
    content = (
        '{"version":1,"condition":{"inheritance":"autosomal_recessive","frequency":{"carrier":'
        f'{literal}}}}},"people":[{{"id":"I-1","sex":"female"}}]}}'
    )
    case, problems = None, ()
    try:
        case = read_case(content)
    except InputError as error:
        problems = error.problems
    if case is None:
        rightly = wanted is None or any(c < " " or "\x7f" <= c <= "\x9f" for c in text)
        assert rightly, f"{literal} was refused in a file: {problems}"
        (problem,) = problems
        assert problem.path in ("condition.frequency.carrier", ""), f"{literal}: {problem}"
        assert not quoted or problem.path, f"{literal}: {problem}"
        assert str(problem).isprintable()
        return ", refused in a file"
    assert wanted is not None, f"{literal} was accepted in a file"
    assert case.condition.frequency.carrier.value == wanted
    return ", read from a file"


def is_json_number(text):
    """Whether `text` is a number by RFC 8259, section 6 (spaces around it do no harm)."""
    text = text.strip(" \t\n\r").removeprefix("-")
    whole, text = _digits(text)
    if not whole or (whole[0] == "0" and whole != "0"):
        return False
    if text.startswith("."):
        part, text = _digits(text[1:])
        if not part:
            return False
    if text[:1] in ("e", "E"):
        text = text[1:]
        text = text[1:] if text[:1] in ("+", "-") else text
        figures, text = _digits(text)
        if not figures:
            return False
    return not text


def outcome(read, text):
    """The value, or the kind of refusal."""
    try:
        return read(text)
    except NotANumber:
        return "not a number"
    except ZeroDenominator:
        return "a zero denominator"
    except TooLong:
        return "too long"
    except ValueError as error:
        said = str(error)
        assert said.isprintable(), f"a sentence that cannot be shown: {said!r}"
        assert len(said) < 200, f"a sentence of {len(said)} characters"
        for words, kind in (
            ("is not a number", "not a number"),
            ("divides by zero", "a zero denominator"),
            ("too long", "too long"),
            ("more than 300 digits", "too long"),
        ):
            if words in said:
                return kind
        return said
