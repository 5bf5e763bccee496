"""How fast the app feels: python -m tests.screens.measure.

First paint of a fresh browser on a server that has run before, and the time from a click that
changes a fact to the redrawn answer, by the page's own clock, for a family of thirty.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from contextlib import ExitStack
from typing import Any

from risk.case import edit
from risk.case.model import Case, Condition, Frequency, Question
from risk.case.write import write_case
from risk.number import quantity
from tests.browser import CHROMIUM, FLAGS
from tests.screens import conftest
from tests.screens.visitor import Visitor

PEOPLE = 30
TIMES = 20

#: Takes the time from the next click until the text of an answer is another one.
WATCH = """
() => new Promise((done) => {
  const read = () => [...document.querySelectorAll('.tt-answer .figure')]
    .map((e) => e.innerText).join();
  const before = read();
  document.addEventListener('pointerdown', () => {
    const from = performance.now();
    const look = () => {
      const now = read();
      if (now && now !== before) done(performance.now() - from);
      else if (performance.now() - from > 8000) done(NaN);
      else requestAnimationFrame(look);
    };
    look();
  }, { once: true, capture: true });
})
"""


def family(people: int) -> Case:
    """A family of three generations in which the answer hangs on II-3."""
    condition = Condition("autosomal_recessive", Frequency(carrier=quantity("1/25")))
    case = edit.two_parents(condition)
    case, children = edit.add_children(case, "I-1", sex="female", number=6)
    while len(case.people) < people - 2:
        for child in children:
            if len(case.people) < people - 2:
                case, _ = edit.add_children(case, child, sex="male", number=2)
    case, _ = edit.add_children(case, children[0], sex="female", number=people - len(case.people))
    return edit.add_question(case, Question("carrier", person=children[1]))


def first_paint(chromium: Any, address: str) -> float:
    """Seconds from asking for the page to its first choice, in a fresh browser."""
    page = chromium.new_context(viewport={"width": 1280, "height": 1000}).new_page()
    start = time.perf_counter()
    page.goto(address)
    page.get_by_role("button", name="Two unaffected parents").wait_for()
    taken = time.perf_counter() - start
    page.context.close()
    return taken


def edits(chromium: Any, address: str) -> list[float]:
    """Milliseconds of so many edits, each to a case that was not solved before."""
    page = chromium.new_context(viewport={"width": 1280, "height": 1400}).new_page()
    visitor = Visitor(page, address)
    visitor.open()
    case = family(PEOPLE)
    text = write_case(case).encode()
    visitor.open_file({"name": "thirty.json", "mimeType": "application/json", "buffer": text})
    page.locator("[data-person]").first.wait_for()
    assert len(visitor.people()) == PEOPLE
    taken = []
    ids = [person.id for person in case.people if person.id not in ("I-1", "I-2", "II-2")]
    for id in ids[:TIMES]:
        visitor.person(id)
        page.evaluate(f"() => {{ window.watched = ({WATCH})(); }}")
        visitor.choose("Unaffected", "Phenotype")
        taken.append(float(page.evaluate("window.watched")))
    page.context.close()
    return taken


def main() -> int:
    from playwright.sync_api import sync_playwright

    with ExitStack() as stack:
        address = os.environ.get("APP_ADDRESS") or stack.enter_context(conftest.running_app())
        chromium = stack.enter_context(sync_playwright()).chromium.launch(
            executable_path=CHROMIUM, args=list(FLAGS)
        )
        paints = [first_paint(chromium, address) for _ in range(6)]
        taken = edits(chromium, address)
        chromium.close()
    out = sys.stdout
    warm = statistics.median(paints[1:])
    out.write(f"first paint: {paints[0]:.2f} s cold server, {warm:.2f} s after (median of 5)\n")
    good = [each for each in taken if each == each]
    out.write(
        f"edit to answer, {PEOPLE} people: median {statistics.median(good):.0f} ms, "
        f"most {max(good):.0f} ms, {len(good)} edits whose answer changed\n"
    )
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
