"""What the levels of practice are about, and how much there is of them at once."""

#: In a few words each, the easiest first.
IN_WORDS = {
    1: "one fact and Mendel",
    2: "healthy relatives and the population",
    3: "tests, penetrance, age, cousins",
    4: "several at once",
}

#: Most cases of one set.
MOST_CASES = 500
