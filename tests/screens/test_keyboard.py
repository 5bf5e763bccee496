"""The place of whoever walks by keyboard: it is kept by what they press, and seen on its way."""

from __future__ import annotations

import pytest

from tests.screens.conftest import ROOT
from tests.screens.test_browser import file_of
from tests.screens.test_screens import healthy_brother
from tests.screens.visitor import Visitor

pytestmark = pytest.mark.browser

#: The name of what has the focus; the page itself holds all names and counts for none.
FOCUSED = """
() => {
  const at = document.activeElement;
  return at === document.body ? '' : at.ariaLabel || at.innerText || '';
}
"""


def focused(visitor: Visitor) -> str:
    """What is written on the element that has the focus."""
    return str(visitor.page.evaluate(FOCUSED))


def test_from_the_menu_of_files_the_next_tab_leads_into_it(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.tab_to("File")
    visitor.key("Enter")
    visitor.page.get_by_role("button", name="Start anew").wait_for()
    visitor.tab_to("Upload", most=1)
    visitor.tab_to("Start anew", most=3)
    visitor.key("Enter")
    visitor.page.get_by_role("button", name="Two unaffected parents").wait_for()
    assert not visitor.page.get_by_role("button", name="Start anew").count()


def test_from_the_first_people_the_next_tab_leads_into_the_tree(visitor: Visitor) -> None:
    visitor.tab_to("Two parents")
    visitor.key("Enter")
    visitor.page.locator("[data-person]").first.wait_for()
    visitor.page.wait_for_function("document.activeElement.matches('.st-key-files summary')")
    visitor.tab_to("I-2", tree=True, most=1)


def test_the_ring_around_a_choice_holds_its_caption(visitor: Visitor) -> None:
    visitor.open("/condition")
    visitor.page.get_by_role("radio", name="Rare").focus()
    visitor.page.keyboard.press("ArrowDown")
    rings = visitor.page.locator(".stRadio :has(input:focus-visible)").evaluate_all(
        """all => all.filter(e => getComputedStyle(e).outlineStyle !== 'none')
          .map(e => e.innerText)"""
    )
    assert [ring.split("\n")[0] for ring in rings] == ["Carrier frequency"]
    assert "carriers, like 1/25" in rings[0]


def test_an_example_that_is_opened_leads_the_keyboard_to_the_menu_of_files(
    visitor: Visitor,
) -> None:
    for _ in range(2):  # from the empty page, then from the menu
        visitor.page.get_by_role("combobox", name="Open an example").focus()
        visitor.page.keyboard.press("ArrowDown")
        visitor.page.get_by_role("option").first.wait_for()
        visitor.key("Enter")
        visitor.page.locator("[data-person]").first.wait_for()
        visitor.page.wait_for_function(
            "document.activeElement.matches('.st-key-files summary')", timeout=15000
        )
        visitor.key("Enter")
        visitor.page.get_by_role("button", name="Start anew").wait_for()


def test_the_page_itself_has_no_frame_while_it_is_stepped_through(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.go("Answer")
    visitor.press_text("One step at a time")
    visitor.page.mouse.click(20, 900)
    visitor.key("ArrowRight")
    main = visitor.page.get_by_test_id("stMain")
    assert main.evaluate("e => e.matches(':focus-visible')")
    assert main.evaluate("e => getComputedStyle(e, '::before').content") == "none"
    assert main.evaluate("e => getComputedStyle(e).outlineStyle") == "none"


def test_a_question_asked_keeps_the_keyboard_where_it_is(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.person("I-2")
    visitor.tab_to("Carrier?")
    said = visitor.page.locator("#news[aria-live=polite] p")
    before = said.all_inner_texts()
    visitor.key("Enter")
    visitor.expects("2/3", "1/150", "1")
    assert "Carrier?" in focused(visitor)
    # Of what a screen reader says on its own the answer is the only new paragraph.
    said.nth(2).wait_for()
    assert said.all_inner_texts() == [*before, "What is the chance that I-2 is a carrier? 1"]
    visitor.key("Enter")
    visitor.expects("2/3", "1/150", "1")


def test_an_arrow_takes_the_next_step_beside_a_switch_and_among_the_questions(
    visitor: Visitor,
) -> None:
    from playwright.sync_api import expect

    visitor.open_file(file_of(healthy_brother()))
    visitor.go("Answer")
    visitor.press_text("One step at a time")
    parts = visitor.page.locator(".st-key-working :is(p, tr)")
    expect(parts).to_have_count(3)  # a reason, the head of the table, the row
    visitor.key("ArrowRight")
    expect(parts).to_have_count(4)
    question = "What is the chance that the next child of II-2 and II-3 is affected?"
    chosen = visitor.page.get_by_role("radio", name=question)
    visitor.press_text(question)
    expect(parts).to_have_count(3)
    visitor.key("ArrowRight")
    expect(parts).to_have_count(4)
    visitor.key("ArrowLeft")
    expect(parts).to_have_count(3)
    assert chosen.is_checked()
    visitor.key("ArrowUp")
    expect(chosen).not_to_be_checked()
    visitor.go("Evidence")
    rungs = visitor.page.locator("#ladder tbody tr")
    visitor.press_text("Guess first")
    visitor.key("ArrowRight")
    expect(rungs).to_have_count(2)
    visitor.press_text(question)
    expect(rungs).to_have_count(1)
    visitor.key("ArrowRight")
    expect(rungs).to_have_count(2)
    assert chosen.is_checked()


def test_the_summary_is_downloaded_without_losing_the_place(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.go("Report")
    button = visitor.page.get_by_role("button", name="Download the PDF")
    with visitor.page.expect_download():
        button.press("Enter")
    visitor.rest()
    assert "Download the PDF" in focused(visitor)


def test_on_a_phone_the_keyboard_goes_through_the_list_of_pages_only_where_it_is_seen(
    visitor: Visitor,
) -> None:
    visitor.page.set_viewport_size({"width": 390, "height": 900})
    visitor.open()
    visitor.page.keyboard.press("Tab")  # to the content
    visitor.page.keyboard.press("Tab")
    # It is called so as soon as the code that names it has been fetched.
    visitor.page.wait_for_function(f"({FOCUSED})() === 'Pages'")
    visitor.page.keyboard.press("Enter")
    visitor.page.wait_for_function(f"({FOCUSED})() === 'Family'")
    visitor.tab_to("Answer", most=2)
    visitor.page.keyboard.press("Enter")
    visitor.page.get_by_role("heading", level=1).filter(has_text="Answer").wait_for()
    visitor.page.wait_for_function(f"({FOCUSED})() === 'Pages'")


def test_the_ring_around_a_tab_is_whole(visitor: Visitor) -> None:
    """It is drawn inside the tab, since the row of tabs cuts off what is outside."""
    visitor.go("Practice")
    visitor.tab_to("One case after another")
    offset = "e => parseFloat(getComputedStyle(e).outlineOffset)"
    assert visitor.page.locator(":focus").evaluate(offset) <= -3


def test_a_table_too_wide_for_a_phone_is_seen_to_go_on_and_scrolled_by_keyboard(
    visitor: Visitor,
) -> None:
    visitor.open_file(ROOT / "fixtures" / "germline-mosaic.json")
    visitor.go("Answer")
    boxes = visitor.page.locator(".tt-doc .wide")
    assert not boxes.and_(visitor.page.locator("[tabindex]")).count()  # all have their room
    visitor.page.set_viewport_size({"width": 320, "height": 900})
    box = visitor.page.get_by_role("group", name="A wide table").last
    # One press goes 40 pixels, which is not to be the end.
    assert box.evaluate("e => e.scrollWidth - e.clientWidth") > 60
    # Whether the shadow can be seen on the left and on the right edge.
    shadows = "e => getComputedStyle(e).boxShadow.match(/rgba?\\([^)]*\\)/g)"
    shadows += ".map(colour => colour !== 'rgba(0, 0, 0, 0)')"
    assert box.evaluate(shadows) == [False, True]
    box.focus()
    visitor.page.keyboard.press("ArrowRight")
    visitor.page.wait_for_function("document.activeElement.matches('.more-left')")
    assert box.evaluate(shadows) == [True, True]
    box.evaluate("e => e.scrollTo(e.scrollWidth, 0)")
    visitor.page.wait_for_function("!document.activeElement.matches('.more-right')")
    assert box.evaluate(shadows) == [True, False]


def test_undo_in_a_field_takes_back_what_was_typed_there(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.person("II-2")
    visitor.unfold("More about II-2")
    visitor.write("Ada", "Alias (never a real name)")
    visitor.page.locator('[data-person="II-2"]', has_text="Ada").wait_for()
    note = visitor.page.get_by_label("Note beside the symbol")
    note.click()
    visitor.page.keyboard.type("hello")
    visitor.key("Control+z")
    assert note.input_value() == "hell"
    assert visitor.page.locator('[data-person="II-2"]', has_text="Ada").count() == 1
    visitor.key("Control+Shift+z")
    assert note.input_value() == "hello"
    # Elsewhere the key is the family's: in a list that was chosen from, too.
    note.press("Control+Enter")
    visitor.page.locator('[data-person="II-2"]', has_text="hello").wait_for()
    visitor.page.get_by_role("combobox", name="Partner from the family").focus()
    for text in ("hello", "Ada"):
        visitor.key("Control+z")
        visitor.page.locator(f'[data-person="II-2"]:not(:has-text("{text}"))').wait_for()
