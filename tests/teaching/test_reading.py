"""Reading of messy answers: what is taken for what, and what is refused with a reason."""

from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from risk.model.answers import Chance
from risk.number import read_number
from risk.problems import InputError
from risk.teaching.numerals import CARDINALS
from risk.teaching.reading import read_answer
from risk.wording.chances import chance_in_words, decimal, fraction_and_percent

READ = {
    "2/3": ["2/3", "2 / 3", "2/3.", " 2/3 ", "≈ 2/3", "~2/3", "= 2/3", "p = 2/3",
            "P(carrier) = 2/3",
            "2⁄3", "⅔", "２／３", "²⁄₃", "2\\3", "$\\frac{2}{3}$", "(2/3)", "2 ÷ 3", "'2/3",
            "“2/3”",
            "two thirds", "two-thirds", "Two Thirds!", "2 thirds", "2 in 3", "2 out of 3", "2 of 3",
            "two in three", "two chances in three", "a 2 in 3 chance", "2-in-3", "2 : 1", "2 to 1",
            "66⅔%", "66 2/3 %", "2/3 (two thirds)", "2/3 = 66.7%", "66.7% = 2/3", "2/3 or 67%",
            "2/3 (because her brother is affected)", "1 - 1/3 = 2/3", "2/3 ≈ 0.66", "2/3, 0.667",
            "1) 2/3", "(1) 2/3", "b) 2/3", "1. 2/3", "Q1: 2/3", "Question 2. 2/3", "#1 2/3",
            "carrier: 2/3", "II-2: 2/3", "answer : 2/3",
            "It is about two thirds.", "2\u200b/3", "2\n/\n3", "٢/٣", "0.5/0.75", "1 to 2 against"],
    "1/2": ["1/2", "½", "a half", "half", "one half", "50 percent", "50 per cent", "50%", "0,5",
            ".5",
            "0.5", "٠٫٥", "50/50", "fifty-fifty", "50:50", "1:1", "fifty percent", "５０％",
            "1 half",
            "+0.5", "5e-1", "evens", "even odds", "even money", "an even chance", "50-50",
            "50%-50%"],
    "1/8": ["12·5%", "12.5%"],
    "1/150": ["2/3 x 10^-2", "2/3·10⁻²", "(2/3)(1/25)(1/4)"],
    "1/4": ["1:3", "1 to 3", "3 to 1 against", "3:1 against", "1 in 4", "one in four", "a quarter",
            "one fourth", "1 chance in 4", "1/4th", "25 %", "0,25", "1/2 x 1/2", "½ × ½", "0.5*0.5",
            "1/2 * 1/2 = 1/4", "1:3 (1/4)", "twenty-five percent", "1/4 i.e. 25%",
            "(1/2)(1/2)", "(1/2)x(1/2)", "1/2 x (1/2)", "(1/2) * 1/2 = 1/4", "0·25", "1 over 4",
            "1. 0.25", "2. .25", "a) 0,25",
            "1/2·0·5", "0·5·0·5", "1/2*0·5", "**1/4**", "1/4*", "Answer: 1/4"],
    "1/3": ["1:3 = 1/3", "one third"],
    "1/1446": ["1/1446", "1 in 1,446", "1/1 446", "1/1'446"],
    "1/25": ["one twenty-fifth", "1/25th", "4%", "4 %"],
    "3/29": ["three twenty-ninths", "3 in twenty nine"],
    "1/29": ["one twenty-ninth"],
    "7/1000": ["7‰", "7 per mille", "0.7%", "7e-3", "7·10⁻³", "7 x 10^-3", "7*10**-3"],
    "3/20": ["one hundred and fifty in a thousand", "15 in 100", "0.15"],
    "1/1500000": ["1 in 1.5 million", "1 in 1,5 million", "one in 1.5M", "1/1.5 million"],
    "1/2501": ["2.5 thousand to one against", "2.5k to 1 against"],
    "1/2000000": ["1 in 2 million", "1 in 2000 thousand", "one in two million"],
    "1/1000000": ["1 in a million", "one in 1,000,000", "1 in 1.000.000", "1e-6", "10^-6"],
    "0": ["0", "0%", "zero", "impossible"],
    "1": ["1", "1.0", "100 %", "certain", "one"],
}  # fmt: skip


@pytest.mark.parametrize(
    ("text", "value"), [(text, value) for value, texts in READ.items() for text in texts]
)
def test_read(text, value):
    answer = read_answer(text)
    assert answer.value == Fraction(value)
    assert answer.text == text
    assert answer.matches(Fraction(value)) == "right"


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("66,7 %", "667/1000"),
        ("66.7%", "667/1000"),
        ("0.67", "67/100"),
        ("~0.66", "66/100"),
        ("≈0,667", "667/1000"),
        ("66,667 %", "66667/100000"),
        ("0,05", "1/20"),
        ("1.000 %", "1/100"),
        ("6.7e-4", "67/100000"),
        ("6,7·10⁻⁴", "67/100000"),
        ("ca. 67 %", "67/100"),
        ("approx. 0.67", "67/100"),
        ("0.0415 (4.15%)", "415/10000"),
    ],
)
def test_decimals(text, value):
    answer = read_answer(text)
    assert answer.value == Fraction(value)
    assert answer.half_unit is not None


@pytest.mark.parametrize("text", ["1", "1.", "1e0", "1.e0", "0.1e1", "10e-1", "1e2%", "100%"])
def test_no_way_of_writing_1_is_two_thirds_rounded(text):
    assert read_answer(text).value == 1
    assert read_answer(text).matches(Fraction(2, 3)) is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no answer"),
        (" ? ", "no answer"),
        ("idk", "was not understood"),
        ("not 2/3", "was not understood"),
        ("1:2:1", "was not understood"),
        ("1/2/3", "was not understood"),
        ("2/3 because her brother is affected", "was not understood"),
        ("0x10", "was not understood"),
        ("nan", "was not understood"),
        ("(1/2)^3", '"(1/2)^3" is a calculation; work it out'),
        ("0.5²", "is a calculation; work it out"),
        ("4*1/4*(3/4)^3", '"4*1/4*(3/4)^3" is a calculation; work it out'),
        ("1/3 + 2/3*1/4", '"1/3 + 2/3*1/4" is a calculation; work it out'),
        ("(1/4)+1/4", "is a calculation; work it out"),
        ("(1/2)(1/2) + 1/4", "is a calculation; work it out"),
        ("1/(2*3)", "is a calculation; work it out"),
        ("3/4**4", "is a calculation; work it out"),
        ("1/2 (or so) of 1/4 of it", "was not understood"),
        ("1/3 carrier, 2/3 not", "was not understood"),
        ("1,000", "could be a thousand"),
        ("1,446", "could be a thousand"),
        ("0.1.2", "not clear"),
        ("66.7", "if a percentage is meant, write 66.7%"),
        ("1½", "more than 1"),
        ("3/2", "more than 1"),
        ("150%", "more than 1"),
        ("-0.2", "below 0"),
        ("-1/4", "below 0"),
        ("2/0", "divides by zero"),
        ("1 in 0", "divides by zero"),
        ("0:0", "odds"),
        ("<1%", "bound"),
        ("less than 1 in 100", "bound"),
        ("p > 0.5", "bound"),
        ("0.2-0.3", "range"),
        ("0.2 to 0.3", "range"),
        ("between 1/4 and 1/2", "range"),
        ("4-Jan", "spreadsheet"),
        ("1/Apr", "spreadsheet"),
        ("Jan-04", "spreadsheet"),
        ("04. Jan", "spreadsheet"),
        ("2026-01-04", "spreadsheet"),
        ("2026-01-04 00:00:00", "spreadsheet"),
        ("1/4/2026", "spreadsheet"),
        ("04.01.2026", "spreadsheet"),
        ("over 1/2", "bound"),
        ("1/2 or 1/3", "both 1/2 and 1/3"),
        ("0.5 or 0.6", "both 0.5 and 0.6"),
        ("2/3 (1/4)", "give one answer, or for their product 2/3 x 1/4"),
        ("1 in 4: 2/3", "both 1/4 and 2/3"),
        ("1. 25%", "was not understood"),
        ("(2) (1/3)", "both 2 and 1/3"),
        ("1/2 * 1/4 = 1/6", "both 1/8 and 1/6"),
        ("x" * 201, "too many"),
        ("1e-999999999", "digits"),
        ("1e-99999999999%", "digits"),
        ("1e-300*1e-300", "digits"),
        ("9" * 150 + "e150", "more than 1"),
        ("9" * 150 + "e300", "digits"),
    ],
)
def test_refused_with_a_reason(text, said):
    with pytest.raises(InputError) as caught:
        read_answer(text)
    (problem,) = caught.value.problems
    assert problem.path == "answer"
    assert said in problem.message


def test_what_an_ambiguous_text_was_taken_for():
    odds = read_answer("1:3")
    assert (odds.form, odds.other) == ("odds", Fraction(1, 3))
    assert odds.note == "read as odds, 1 for and 3 against: 1/4; for 1 in 3 write 1/3"
    assert read_answer("1 in 1,446").note == "read 1,446 as 1446"
    assert read_answer("50/50").note == "read as even odds, 1/2"
    assert read_answer("2/3 %").note == "read as 2/3 of one percent, 1/150"
    assert read_answer("1/2 x 1/4").note == "the product was worked out: 1/8"
    assert "decimal comma" in read_answer("66,667 %").note
    assert read_answer("2/3").note == ""
    assert read_answer("1/10.000").other == Fraction(1, 10000)
    assert read_answer("1 in 2.67").other is None


@pytest.mark.parametrize(
    ("text", "true", "match"),
    [
        ("0.67", "2/3", "rounded"),
        ("0.7", "2/3", "rounded"),
        ("66.7%", "2/3", "rounded"),
        ("67 %", "2/3", "rounded"),
        ("0.66", "2/3", None),
        ("0.68", "2/3", None),
        ("66%", "2/3", None),
        ("2/3", "667/1000", None),
        ("0.25", "1/4", "right"),
        ("0.2", "1/4", "rounded"),
        ("0.3", "1/4", "rounded"),
        ("0.250", "1/4", "right"),
        ("1", "2/3", None),
        ("0", "1/3", None),
        ("certain", "999/1000", None),
        ("6.9e-4", "1/1446", "rounded"),
        ("7e-4", "1/1446", "rounded"),
        ("0.0007", "1/1446", "rounded"),
        ("0.07%", "1/1446", "rounded"),
        ("0.6666666666666666", "2/3", "rounded"),  # as a machine prints it, cut off
        ("0.666666666666667", "2/3", "rounded"),
        ("0.66666666", "2/3", None),
        ("33 1/3 %", "1/3", "right"),
    ],
)
def test_right_or_rounded(text, true, match):
    assert read_answer(text).matches(Fraction(true)) == match


def test_digits_cut_off_are_told_from_a_wrong_number():
    assert read_answer("0.66").cut_off(Fraction(2, 3))
    assert not read_answer("0.67").cut_off(Fraction(2, 3))
    assert not read_answer("0.65").cut_off(Fraction(2, 3))
    assert not read_answer("2/3").cut_off(Fraction(667, 1000))


@pytest.mark.parametrize(
    ("text", "chance", "about"),
    [
        # 5/2958 is 1 in 591.6.
        ("1 in 592", "5/2958", True),
        ("one in 592", "5/2958", True),
        ("1 in 591", "5/2958", False),
        ("1 in 591.6", "50/29581", True),
        ("1 in 591,6", "50/29581", True),
        ("1 out of 1,446", "2/2891", True),  # 1 in 1445.5
        ("1 in 3.4", "29/100", True),  # 1 in 3.448 is within half a unit
        ("1 in 3.4", "17/58", True),  # 1 in 3.41
        ("1 in 3.5", "29/100", False),
        ("1 in 2", "2/3", False),
        ("1 in 9", "10/91", False),  # one digit says too little
        ("1 in 10", "10/101", True),
        ("1 in 1.2 x 10^6", "1/1200321", True),  # as 1 in 1,200,000
        ("1 in 1.2 million", "1/1200321", True),
        ("2 in 1183", "5/2958", False),
        ("1/592", "5/2958", False),  # a fraction is meant exactly
        ("1 in 592", "0", False),
    ],
)
def test_one_in_a_rounded_number(text, chance, about):
    answer = read_answer(text)
    assert answer.one_in_about(Fraction(chance)) == about
    assert answer.matches(Fraction(chance)) == ("rounded" if about else None)


@pytest.mark.parametrize(
    ("text", "chance", "match"),
    [
        ("34 in 100", "151/450", "rounded"),
        ("34 in 100", "17/50", "right"),
        ("33 in 100", "151/450", None),
        ("667 in 1000", "2/3", "rounded"),
        ("3 in 100", "1/30", None),  # one digit says too little
        ("0.7 in 100", "1/150", None),
        ("0.67 in 100", "1/150", "rounded"),
        ("0,67 per 100", "1/150", "rounded"),
        ("6.7 in 1000", "1/150", "rounded"),
        ("6.8 in 1000", "1/150", None),
        ("10 in 100", "1/10", "right"),
        ("10 in 100", "2/19", None),
        ("10 in 100", "2/21", "rounded"),
        ("34 in 101", "1/3", None),
    ],
)
def test_so_many_in_a_hundred_are_a_percentage(text, chance, match):
    assert read_answer(text).matches(Fraction(chance)) == match


@pytest.mark.parametrize(
    ("text", "chance"),
    [
        ("0.666...", "2/3"),
        ("0,666…", "2/3"),
        (".66...", "2/3"),
        ("0.(6)", "2/3"),
        ("0.(6)...", "2/3"),
        ("0.6\u0305", "2/3"),
        ("0.6\u0307", "2/3"),
        ("0.6 recurring", "2/3"),
        ("about 0.6 repeating", "2/3"),
        ("2/3 = 0.666...", "2/3"),
        ("2/3 (0.666...)", "2/3"),
        ("0.1666...", "1/6"),
        ("0.00...", "0"),
        ("1.(0)", "1"),
        ("0.1(6)", "1/6"),
        ("0.16 recurring", "1/6"),
        ("0.083 recurring", "1/12"),
        ("0.18 recurring", "2/11"),
        ("0.09 recurring", "1/11"),
        ("9.09 recurring %", "1/11"),
        ("0.1818 repeating", "2/11"),
        ("0.142857 recurring", "1/7"),
        ("0.16 (recurring)", "1/6"),
        ("0.16r", "1/6"),
        ("16.6r%", "1/6"),
        ("0.6 (rec.)", "2/3"),
        ("0.6 Recurring", "2/3"),
        ("1.(6)*10^-1", "1/6"),
        ("(0.16 recurring)", "1/6"),
        ("0.1818...", "2/11"),
        ("0.0909...", "1/11"),
        ("0.1\u030742857\u0307", "1/7"),
        ("0.1\u03058\u0305", "2/11"),
        ("0.(142857)", "1/7"),
        ("66.6...%", "2/3"),
        ("66.66... %", "2/3"),
        ("66.(6)%", "2/3"),
        ("0.666...%", "1/150"),
        ("0.(9)", "1"),
    ],
)
def test_digits_that_go_on(text, chance):
    # Common practice: dots, brackets, or a line or dot above what recurs.
    answer = read_answer(text)
    assert answer.value == Fraction(chance)
    assert answer.matches(Fraction(chance)) == "right"


def test_recurring_digits_that_may_be_the_last_or_all_are_asked_for():
    with pytest.raises(InputError, match=r"0\.2\(7\) or 0\.\(27\)"):  # 5/18 or 3/11
        read_answer("0.27 recurring")


def test_digits_with_dots_that_do_not_repeat_are_as_without():
    assert read_answer("0.67...").matches(Fraction(2, 3)) == "rounded"
    assert read_answer("0.67 ...").value == read_answer("0.67").value
    assert read_answer("0.5 (1/2)").value == Fraction(1, 2)
    assert read_answer("9.09...%").matches(Fraction(1, 11)) == "rounded"
    with pytest.raises(InputError, match=r"0\.2\.\.\.0\.3"):
        read_answer("0.2...0.3")


@pytest.mark.parametrize(
    ("text", "chance"),
    [("0.1428...", "1/7"), ("0.6...", "2/3"), ("P = 0.16…", "1/6"), ("14.2...%", "1/7")],
)
def test_digits_with_dots_are_the_first_ones_and_need_not_be_rounded(text, chance):
    true = Fraction(chance)
    assert read_answer(text).matches(true) == "rounded"
    assert not read_answer(text).cut_off(true)
    without = read_answer(text.replace("...", "").replace("…", ""))
    assert without.cut_off(true)
    assert read_answer("0.0...").matches(Fraction(1, 50)) is None


@pytest.mark.parametrize(
    ("text", "chance"),
    [
        ("1 in 10^6", "1/1000000"),
        ("1/10^6", "1/1000000"),
        ("1 in 10⁶", "1/1000000"),
        ("1 in 1.2 x 10^4", "1/12000"),
        ("3/10^5", "3/100000"),
        ("3 in 10**5", "3/100000"),
    ],
)
def test_a_power_of_ten_below(text, chance):
    answer = read_answer(text)
    assert answer.value == Fraction(chance)
    assert answer.matches(Fraction(chance)) == "right"


@given(st.fractions(0, 1, max_denominator=200), st.integers(0, 3))
def test_a_recurring_decimal_is_its_fraction(chance, more):
    digits, rest, seen = "", chance.numerator % chance.denominator, []
    while rest and rest not in seen:
        seen.append(rest)
        digits += str(10 * rest // chance.denominator)
        rest = 10 * rest % chance.denominator
    assume(rest)
    start = seen.index(rest)
    text = f"0.{digits[:start]}({digits[start:]})"
    assert read_answer(text).value == chance
    repeated = f"0.{digits[:start]}{digits[start:] * (2 + more)}..."
    if len(repeated) < 200:
        assert read_answer(repeated).value == chance


@given(st.fractions(0, 1, max_denominator=5000))
def test_every_way_of_writing_a_fraction(chance):
    top, bottom = chance.numerator, chance.denominator
    ways = [f"{top}/{bottom}", f"{top} / {bottom}", f"{top} in {bottom}", f"{top} out of {bottom}"]
    ways += [f"{top}:{bottom - top}", f"{100 * top}/{bottom} %", f"p = {top}/{bottom}!"]
    ways += [f"{top} in {bottom:,}", f"{bottom - top} to {top} against"]
    for way in ways:
        if way not in ("50/50", "50:50"):
            assert read_answer(way).value == chance, way


@given(
    st.fractions(Fraction(1, 10**9), 1 - Fraction(1, 10**9), max_denominator=10**12)
    | st.fractions(Fraction(1, 200), Fraction(199, 200), max_denominator=200)
)
@example(Fraction(2, 159))
@example(Fraction(199, 200))
def test_every_form_in_which_an_answer_is_printed_is_right_or_right_rounded(chance):
    """A student who copies an answer of the key, in part or whole, is never told that it is wrong.

    Bounds ("less than 0.0001%") are left out: they are no answers.  So is "≈1", as a table writes
    what is nearly certain: 1 is the answer that it is certain.
    """
    printed = Chance(float(chance), chance)
    for about in ("about ", "≈", ""):
        words = chance_in_words(printed, about)
        forms = [words.fraction, words.percent, words.one_in, str(words), decimal(chance)]
        forms += [f"{words.percent}, {words.one_in}", fraction_and_percent(printed)]
        for form in forms:
            if form and "than" not in form and form != "≈1":
                assert read_answer(form).matches(chance), form


@given(st.integers(0, 20), st.integers(1, 20))
def test_numbers_in_words(top, bottom):
    if top <= bottom:
        chance = Fraction(top, bottom)
        assert read_answer(f"{CARDINALS[top]} in {CARDINALS[bottom]}").value == chance


@given(st.fractions(0, 1, max_denominator=10**6), st.integers(1, 11), st.sampled_from(".,"))
def test_a_rounded_decimal_is_rounded_and_one_digit_off_is_not(chance, places, mark):
    scaled = round(chance * 10**places)
    unit = Fraction(1, 10**places)
    text = f"{scaled // 10**places}{mark}{scaled % 10**places:0{places}d}"
    answer = read_answer(text)
    assert answer.half_unit == unit / 2
    assert answer.matches(chance) == (
        # Zero has no digit that matters, so it is right or nothing.
        "right" if scaled * unit == chance else "rounded" if scaled else None
    )
    assert answer.matches(answer.value + unit * Fraction(51, 100)) is None
    powers = read_answer(f"{scaled}e-{places}" if scaled else "0")
    assert powers.value == answer.value


@given(
    st.from_regex(
        r"\A\s?[+]?(\d{0,3}\.?\d{1,6}(e-?\d)?\s?%?|\d{1,4}(\.\d)?\s?(/|\sin\s)\s?\d{1,4})\s?\Z",
        fullmatch=True,
    )
)
def test_what_case_files_take_is_read_alike(text):
    """An answer is read like any number, wherever that gives a chance."""
    try:
        number = read_number(text)
    except ValueError:
        return
    if 0 <= number <= 1 and text.strip("+ \n") not in ("50/50", "50 / 50", "50/ 50", "50 /50"):
        assert read_answer(text).value == number


@given(
    st.text(max_size=60)
    | st.text("0123456789.,:/% -=~()exin½⅔²'\"of", max_size=40)
    | st.lists(
        st.sampled_from(["1/2", "0,5", "twenty", "five", "hundred", "and", "third", "in", "of", "%",
                         "x", "*", "=", "(", ")", "1:3", "to", "or", "10", "^-3", "a", "half"]),
        max_size=10,
    ).map(" ".join)
)  # fmt: skip
def test_whatever_is_typed_is_a_chance_or_one_problem(text):
    try:
        answer = read_answer(text)
    except InputError as error:
        (problem,) = error.problems
        assert problem.path == "answer"
        assert problem.message
    else:
        assert 0 <= answer.value <= 1
        assert answer.matches(answer.value) == "right"


@pytest.mark.parametrize(
    ("answer", "true", "rounded", "too_few"),
    [
        ("1 in 10,900", "3/32623", True, False),  # 1 in 10,874.3
        ("1 in 10,874", "3/32623", True, False),
        ("1 in 10,870", "3/32623", True, False),
        ("1 in 10,860", "3/32623", False, False),
        ("1 in 11,000", "3/32623", False, True),
        ("1 in 1,390", "23/32000", True, False),  # 1 in 1,391.3
        ("1 in 1,400", "23/32000", False, True),
        ("1 in 1,380", "23/32000", False, False),
        ("1 in 350", "2/691", False, True),  # 1 in 345.5
        ("1 in 4", "10/41", False, True),  # 1 in 4.1
        ("1 in 4.1", "10/41", True, False),
        ("1 in 7", "6/41", False, True),  # 1 in 6.8
        ("1 in 2", "2/5", False, False),  # a fifth off
    ],
)
def test_n_of_one_in_n_has_three_digits_or_all_of_them(answer, true, rounded, too_few):
    read = read_answer(answer)
    assert (read.matches(Fraction(true)) is not None) == rounded
    assert read.one_in_too_few_digits(Fraction(true)) == too_few
