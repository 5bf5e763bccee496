"""A person at the browser: acts as people do and counts the acts (clicks and fields filled)."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

SLOW = 15_000

#: Counts how often the app's script has begun to run, so that an act can wait for its own run.
COUNT_RUNS = """
window.runs = 0;
new MutationObserver((changes) => {
  for (const change of changes) {
    if (change.attributeName === 'data-test-script-state'
        && change.target.getAttribute('data-test-script-state') === 'running') window.runs += 1;
  }
}).observe(document, {subtree: true, attributes: true,
                      attributeFilter: ['data-test-script-state']});
"""

#: Whether nothing is under way that moves things from under a press, which would be lost: the
#: script's run, parts whose code is being fetched (boxes of another height hold their places),
#: folds that slide open.
AT_REST = """
() => document.querySelector('[data-testid="stApp"]')?.dataset.testScriptState === 'notRunning'
  && !document.querySelector('[data-testid="stSkeleton"]')
  && !document.getAnimations().some((a) => a.constructor === Animation
                                           && a.playState === 'running')
"""

#: What has the focus: its words, whether it has an outline or a shadow, and which person it is.
FOCUSED = """
() => {
  let at = document.activeElement;
  while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
  // The page itself and what only scrolls hold all names and do nothing.
  if (at === document.body || at.dataset?.testid === 'stMain') return ['', false, false, ''];
  const near = at.closest('label') ?? at;
  const looks = [at, near, at.parentElement, near.firstElementChild].filter(Boolean)
    .map((e) => getComputedStyle(e));
  return [
    (near.innerText || at.getAttribute('aria-label') || '').trim(),
    looks.some((l) => l.outlineStyle !== 'none' && parseFloat(l.outlineWidth) > 0),
    looks.some((l) => l.boxShadow !== 'none'),
    at.dataset?.person ?? '',
  ];
}
"""


class Visitor:
    """One browser page with the app.  `acts` counts clicks, key presses that choose, and fields."""

    def __init__(self, page: Any, address: str) -> None:
        self.page = page
        self.address = address
        self.acts = 0
        self.errors: list[str] = []
        self.outside: list[str] = []
        page.set_default_timeout(SLOW)
        page.add_init_script(COUNT_RUNS)
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("request", self._requested)

    def _requested(self, request: Any) -> None:
        if not request.url.startswith((self.address, "data:", "blob:", "ws://127.0.0.1")):
            self.outside.append(request.url)

    def open(self, path: str = "/") -> None:
        self.page.goto(self.address + path)
        self.page.locator(".tt-caution").first.wait_for()
        self.rest()

    def rest(self, runs: int | None = None, wait: int = 700) -> None:
        """Wait until the script has run (again, after `runs` runs) and nothing is being drawn.

        What needs no run (opening a fold) is waited for `wait` milliseconds.
        """
        if runs is not None:
            for _ in range(wait // 20):
                if self.runs() > runs:
                    break
                self.page.wait_for_timeout(20)
        self.page.wait_for_function(AT_REST)

    def runs(self) -> int:
        """How often the script has begun to run since the page was opened."""
        return int(self.page.evaluate("window.runs"))

    # --- acts ---------------------------------------------------------------------------------

    def press(self, name: str, inside: str = "body") -> None:
        """Click a button by its name."""
        self._click(self.page.locator(inside).get_by_role("button", name=_exactly(name)).first)

    def choose(self, option: str, within: str) -> None:
        """Click one option of a row of choices named `within`."""
        group = self.page.get_by_role("radiogroup", name=_exactly(within)).first
        self._click(group.get_by_text(option, exact=True))

    def radio(self, name: str) -> None:
        """Click one of a set of radio buttons."""
        self._click(self.page.get_by_role("radio", name=_exactly(name)))

    def press_text(self, text: str) -> None:
        """Click a choice or a switch by its words."""
        self._click(self.page.get_by_text(text, exact=True))

    def person(self, id: str) -> None:
        """Click a person in the tree."""
        self._click(self.page.locator(f'[data-person="{id}"] [data-part="symbol"]').first)
        self.sees(id)

    def pick(self, option: str, label: str) -> None:
        """Open a list and click an option: two acts."""
        box = self.page.get_by_role("combobox", name=re.compile(re.escape(label))).first
        found = self.page.get_by_role("option", name=_exactly(option))
        self._click(box, 60)
        for _ in range(4):  # on a busy machine a late redraw may have closed the list again
            self.page.wait_for_timeout(600)
            if found.count():
                break
            box.click()
        self._click(found)

    def write(self, text: str, label: str) -> None:
        """Fill a field and leave it."""
        box = self.page.get_by_label(label, exact=True).first
        box.fill(text)
        runs = self.runs()
        box.press("Control+Enter" if "\n" in text else "Enter")
        self.acts += 1
        self.rest(runs)

    def unfold(self, name: str) -> None:
        """Click the head of a fold."""
        self._click(self.page.locator("summary", has_text=name).first)

    def go(self, title: str) -> None:
        """Change the page by its link."""
        self._click(self.page.locator('a[data-testid="stTopNavLink"]', has_text=_exactly(title)))
        self.page.get_by_role("heading", level=1).filter(has_text=re.compile(title)).wait_for()
        self.rest()

    def tab_to(self, name: str, *, tree: bool = False, most: int = 90) -> None:
        """Press Tab until something of this name has the focus, visibly."""
        for _ in range(most):
            self.page.keyboard.press("Tab")
            found, outline, shadow, person = self.page.evaluate(FOCUSED)
            if person if tree else name in found.split("\n"):
                assert outline or shadow, f"the focus on {name} cannot be seen"
                self.acts += 1
                return
        raise AssertionError(f"Tab never reached {name}")

    def focused_person(self) -> str:
        """The id of the person in the tree who has the focus."""
        return str(self.page.evaluate(FOCUSED)[3])

    def open_file(self, file: Any) -> None:
        """Give the app a file: a path, or a name with bytes as Playwright takes them."""
        runs = self.runs()
        self.page.locator('input[type="file"]').first.set_input_files(file)
        self.acts += 1
        self.rest(runs, 3000)

    def key(self, keys: str, times: int = 1) -> None:
        for _ in range(times):
            runs = self.runs()
            self.page.keyboard.press(keys)
            self.acts += 1
            self.rest(runs)

    def _click(self, what: Any, wait: int = 700) -> None:
        # The run that shows it may have begun late: what is pressed while it is drawn can be lost.
        what.wait_for(state="attached")
        self.rest()
        runs = self.runs()
        what.click()
        self.acts += 1
        self.rest(runs, wait)

    # --- looking ------------------------------------------------------------------------------

    def sees(self, text: str) -> None:
        """Wait until a text stands on the page (perhaps with joiners that keep it from linking)."""
        words = re.sub(r"(\\?[:@.])", "\\1\u2060?", re.escape(text))
        self.page.get_by_text(re.compile(words)).first.wait_for()

    def answers(self) -> list[str]:
        """The large figures of the answers on the page."""
        return [text.strip() for text in self.page.locator(".tt-answer .figure").all_inner_texts()]

    def expects(self, *answers: str) -> None:
        """Wait until these are the answers on the page; else fail with those that are."""
        for _ in range(400):
            if self.answers() == list(answers):
                return
            self.page.wait_for_timeout(50)
        assert self.answers() == list(answers)

    def people(self) -> list[str]:
        """The ids in the tree."""
        return [
            str(g.get_attribute("data-person")) for g in self.page.locator("[data-person]").all()
        ]

    def download(self, name: str, folder: Path) -> Path:
        """Click a download button and return the file."""
        with self.page.expect_download() as waiting:
            self.page.get_by_role("button", name=_exactly(name)).first.click()
        self.acts += 1
        target = folder / str(waiting.value.suggested_filename)
        waiting.value.save_as(target)
        return target


def _exactly(name: str) -> re.Pattern[str]:
    """The accessible name, perhaps with an icon's word before or a shortcut after it."""
    return re.compile(rf"^(?:[a-z_]+ ?)?{re.escape(name)}(?: Shortcut .*)?$")
