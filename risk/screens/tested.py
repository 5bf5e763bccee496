"""Frequency trees of positive or negative test results, from the records of the engine."""

from __future__ import annotations

import streamlit as st

from risk import actions
from risk.case.model import Case, Question
from risk.screens.plain import escape, plain
from risk.teaching.frequency_tree import FrequencyTree
from risk.wording.phrases import plural
from risk.wording.questions import person_in_words


def trees(case: Case, question: Question) -> None:
    """Draw a tree for each positive or negative result of the people a question is about."""
    from risk.case.edit import asked_about

    found = [tree for tree in actions.frequency_trees(case) if tree.person in asked_about(question)]
    if not found:
        return
    st.markdown("## The test, in whole people")
    for tree in found:
        who = person_in_words(tree.person, case)
        st.markdown(plain(f"{tree.test}: {tree.total:,} people like {who} before the test"))
        st.html(_lists(tree))


def _lists(tree: FrequencyTree) -> str:
    """The tree as nested lists, which every reader can walk through."""

    def leaf(number: int, result: str, hit: bool) -> str:
        text = plural(number, f"tests {result}", f"test {result}")
        return f"<li>{'<strong>' + text + '</strong>' if hit else text}</li>"

    positive = tree.result == "positive"
    with_positive, with_negative, without_positive, without_negative = tree.leaves
    share = tree.leaves[0 if positive else 1]
    among = share + tree.leaves[2 if positive else 3]
    about = "about " if tree.about else ""
    return (
        '<div class="tt-doc"><ul>'
        f"<li>{_have(tree.carriers, 'a disease allele')}<ul>"
        f"{leaf(with_positive, 'positive', positive)}"
        f"{leaf(with_negative, 'negative', not positive)}</ul></li>"
        f"<li>{_have(tree.total - tree.carriers, 'none')}<ul>"
        f"{leaf(without_positive, 'positive', positive)}"
        f"{leaf(without_negative, 'negative', not positive)}</ul></li></ul>"
        f'<p class="answer">Of {among:,} with a {escape(tree.result)} result, '
        f"{about}{_have(share, 'a disease allele')}.</p></div>"
    )


def _have(number: int, what: str) -> str:
    return plural(number, f"has {what}", f"have {what}")
