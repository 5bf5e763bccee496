"""The app in a real browser: what only a browser can show."""

from __future__ import annotations

import json
import re
import time
from dataclasses import replace
from pathlib import Path

import pytest

from risk.case import edit
from risk.case.model import Case, Condition, Frequency, Mutation, Question
from risk.case.write import write_case
from risk.number import quantity
from tests.screens.conftest import ROOT, app_process, free_port
from tests.screens.test_screens import healthy_brother, negative_brother
from tests.screens.visitor import Visitor

pytestmark = pytest.mark.browser

PAGES = ("Family", "Condition", "Answer", "Evidence", "What if", "Practice", "Crosses", "Report")


def file_of(case: object, name: str = "case.json") -> dict[str, object]:
    text = case if isinstance(case, str) else write_case(case)  # type: ignore[arg-type]
    return {"name": name, "mimeType": "application/json", "buffer": text.encode()}


def test_evidence_by_arrow_keys_and_the_summary_read_back(visitor: Visitor, tmp_path: Path) -> None:
    """Worked example 4, fact by fact, then its summary as a PDF."""
    from playwright.sync_api import expect
    from pypdf import PdfReader

    visitor.open_file(file_of(healthy_brother()))
    visitor.go("Evidence")
    rows = visitor.page.locator("#ladder tbody tr")
    assert rows.count() == 1
    visitor.key("ArrowRight")
    visitor.sees("What happens to the chance?")
    visitor.write("12", "Rises")
    visitor.page.get_by_role("heading", level=1).click()  # the keys of the page, not the field's
    visitor.key("ArrowRight")
    visitor.page.get_by_text("had it right").wait_for()
    assert rows.count() == 2
    visitor.key("ArrowRight", 8)
    visitor.expects("2/3")
    last = rows.last.inner_text()
    assert "2/3" in last
    bars = [row.locator(".bar").bounding_box()["width"] for row in rows.all()]
    assert len(set(bars)) > 1
    visitor.key("ArrowLeft")
    # The run is over a moment before its parts have drawn what it sent.
    expect(rows.last).not_to_have_text(last, use_inner_text=True)
    visitor.go("Report")
    pdf = visitor.download("Download the PDF", tmp_path)
    text = "".join(page.extract_text() for page in PdfReader(pdf).pages)
    assert "2/3" in text
    assert "1/150" in text
    assert "licensed genetic" in text
    tree = visitor.download("Family tree (SVG)", tmp_path).read_text(encoding="utf-8")
    assert tree.count("data-person=") == 5
    png = visitor.download("Family tree (PNG)", tmp_path).read_bytes()
    assert png.startswith(b"\x89PNG")
    answers = json.loads(visitor.download("Answers (JSON)", tmp_path).read_text(encoding="utf-8"))
    assert [each["exact"] for each in answers["answers"]] == ["2/3", "1/150"]


def test_a_lecture_in_large_type_fits_a_projector(visitor: Visitor) -> None:
    """Of 1280 x 800 the chance, the question and the votes are in sight without scrolling."""
    visitor.page.set_viewport_size({"width": 1280, "height": 800})
    visitor.open_file(file_of(healthy_brother()))
    visitor.go("Evidence")
    visitor.press_text("Large type")
    visitor.page.get_by_role("button", name="More").wait_for()
    visitor.press("Next fact")
    falls = visitor.page.get_by_label("Falls", exact=True)
    falls.wait_for()
    for place in (falls, visitor.page.locator(".tt-now"), visitor.page.locator(".tt-caution")):
        box = place.bounding_box()
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 800
    assert visitor.page.locator(".tt-caution").bounding_box()["height"] < 40
    visitor.go("Family")
    visitor.go("Evidence")
    assert visitor.page.get_by_label("Large type").is_checked()


#: The headings that what follows them covers.
COVERED = """
() => [...document.querySelectorAll(':is(h1, h2, h3):not(.tt-visually-hidden)')].filter((e) => {
  const place = e.closest('[data-testid="stVerticalBlock"] > .stElementContainer');
  const next = place?.nextElementSibling;
  return e.checkVisibility() && next?.offsetHeight
    && next.getBoundingClientRect().top < e.getBoundingClientRect().bottom - 1;
}).map((e) => e.innerText)
"""


def test_every_page_has_the_switch_for_large_type_and_trees_grow_with_it(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 1920, "height": 1080})
    visitor.open_file(file_of(healthy_brother()))
    tree = visitor.page.locator("#tree svg:has([data-person])").first
    for name in PAGES:
        visitor.go(name)
        before = tree.bounding_box() if name in ("Family", "Answer", "Evidence") else None
        visitor.press_text("Large type")
        if before is not None:
            visitor.page.wait_for_timeout(300)
            after = tree.bounding_box()
            for side in ("width", "height"):
                assert after[side] / before[side] == pytest.approx(1.5, abs=0.02)
        for tab in visitor.page.get_by_role("tab").all():
            tab.click()
            visitor.page.wait_for_timeout(300)
            assert visitor.page.evaluate(COVERED) == [], name
        visitor.page.wait_for_timeout(300)
        assert visitor.page.evaluate(COVERED) == [], name
        visitor.press_text("Large type")


def test_in_large_type_what_is_shown_to_a_class_is_in_sight_on_a_low_page(visitor: Visitor) -> None:
    """Of 1280 x 720: the guesses with the ladder, a square, a test cross, a curve."""
    visitor.page.set_viewport_size({"width": 1280, "height": 720})
    visitor.open_file(ROOT / "fixtures" / "negative-test.json")
    visitor.press_text("Large type")

    def in_sight(*places: str) -> None:
        for place in places:
            box = visitor.page.locator(f"{place} >> visible=true").last.bounding_box()
            assert box["y"] >= 60, place  # below the bar of pages
            assert box["y"] + box["height"] <= 720, place

    visitor.go("Evidence")
    chance = visitor.page.locator(".tt-now")
    stands = chance.bounding_box()["y"]
    for revealed in range(4):
        visitor.press("Next fact")
        visitor.page.locator("#ladder tbody tr").nth(revealed + 1).wait_for()
        if not revealed:  # later the page is scrolled
            assert chance.bounding_box()["y"] == stands
        in_sight(".tt-now", "#ladder tbody tr", ".st-key-guessed-number", ".st-key-step-on button")
        visitor.press("Reveal")
    in_sight(".tt-now", "#ladder tbody tr", ".st-key-step-on button")
    visitor.press("More")
    visitor.press("Everything")
    visitor.page.locator("#ladder tbody tr").nth(6).wait_for()
    in_sight(".tt-now", "#ladder tbody tr", "#tree")
    bar = visitor.page.locator(".st-key-evidence-bar").bounding_box()
    for place in (".tt-now", "#tree"):  # and not under the buttons
        box = visitor.page.locator(place).bounding_box()
        assert box["y"] >= bar["y"] + bar["height"], place
    visitor.page.keyboard.press("Escape")
    visitor.go("Crosses")
    visitor.press("Fill all")
    in_sight(".tt-square", ".tt-doc table")
    visitor.page.get_by_role("tab", name="Test cross").click()
    visitor.sees("posterior")
    in_sight(".tt-doc tr.result")
    visitor.go("What if")
    chart = visitor.page.get_by_test_id("stVegaLiteChart").first
    said = visitor.page.get_by_text("That is the dotted line.")
    for place in (chart, said):
        place.wait_for()
        box = place.bounding_box()
        assert box["y"] + box["height"] <= 720


def test_counts_that_no_child_can_have_are_refused_beside_their_fields(visitor: Visitor) -> None:
    visitor.go("Crosses")
    visitor.press_text("On the X")
    visitor.page.get_by_role("tab", name="Counts").click()
    visitor.write("7", "Daughters, recessive")
    said = visitor.page.locator('[data-testid="stAlert"]').filter(visible=True).bounding_box()
    field = visitor.page.get_by_label("Daughters, dominant").bounding_box()
    assert said["x"] > field["x"] + field["width"]
    assert said["y"] < field["y"]


def test_the_newest_row_is_in_sight_on_a_low_page(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 1280, "height": 720})
    visitor.open_file(ROOT / "fixtures" / "island-family.json")

    def in_sight(place: str) -> None:
        box = visitor.page.locator(place).last.bounding_box()
        assert box["y"] >= 60  # below the bar of pages
        assert box["y"] + box["height"] <= 720

    visitor.go("Answer")
    visitor.press_text("One step at a time")
    rows = visitor.page.locator(".st-key-working tr")
    counts = []
    for _ in range(12):  # to the second step: a row comes with each press
        counts.append(rows.count())
        in_sight(".st-key-working :is(p, li, tr)")
        in_sight(".st-key-step-on button")
        if counts[-1] > 5:
            break
        visitor.press("One more")
    assert list(dict.fromkeys(counts)) == [2, 3, 4, 5, 10]  # heads of tables included
    bar = visitor.page.locator(":has(> .st-key-step-buttons)").last
    for scheme in ("dark", "light"):
        visitor.page.emulate_media(color_scheme=scheme)
        visitor.page.wait_for_timeout(400)
        ground = "e => getComputedStyle(e).backgroundColor"
        assert bar.evaluate(ground) == visitor.page.get_by_test_id("stApp").evaluate(ground)
    visitor.go("Evidence")
    visitor.page.set_viewport_size({"width": 390, "height": 720})
    for _ in range(2):
        visitor.press("Next fact")
        in_sight(".st-key-step-on button")
        # Of the first fact the fields have to be fetched, and grow.
        visitor.page.get_by_label("Or a number").wait_for()
        visitor.page.wait_for_timeout(300)
        in_sight(".st-key-guessed-number")
        visitor.press("Reveal")
        in_sight(".st-key-step-on button")
        in_sight("#ladder tbody tr")
    visitor.press("From the start")
    visitor.page.set_viewport_size({"width": 1280, "height": 720})
    visitor.press_text("Guess first")
    visitor.press_text("Large type")
    visitor.page.get_by_role("button", name="More").wait_for()
    visitor.key("ArrowRight", 6)
    visitor.page.locator("#ladder tbody tr").nth(6).wait_for()
    in_sight("#ladder tbody tr")


def test_the_keyboard_stays_where_it_is_after_a_twin_and_several_at_once(visitor: Visitor) -> None:
    visitor.press("Two unaffected parents")
    visitor.press("Daughter")
    visitor.person("II-1")
    visitor.unfold("A twin, or several at once")
    spoken = visitor.page.locator("[aria-live], [role=alert], [role=status]")
    for name, arrives, siblings in (
        ("Fraternal sister", "II-2", "1 sibling"),
        ("Add them", "II-3", "4 siblings"),
    ):
        visitor.page.get_by_role("button", name=name).focus()
        visitor.key("Enter")
        visitor.page.locator(f'[data-person="{arrives}"]').wait_for()
        focused = visitor.page.get_by_role("button", name=name)
        assert focused.evaluate("button => document.activeElement === button")
        # Beside the buttons it is seen, and from elsewhere a screen reader says it, once.
        said = f"{arrives} is added. II-1 has 2 parents and {siblings}."
        assert visitor.page.get_by_test_id("stMarkdown").filter(has_text=said).count() == 1
        assert spoken.filter(has_text=said).count() == 1


def test_by_keyboard_a_mode_is_chosen_without_the_ones_on_the_way(visitor: Visitor) -> None:
    """From recessive to X-linked past dominant, which would lose the frequency of carriers."""
    visitor.open("/condition")
    visitor.press_text("Carrier frequency")
    visitor.write("1/25", "Carriers, like 1/25 or 4%")
    modes = visitor.page.get_by_role("radiogroup", name="Inheritance")
    modes.get_by_role("radio", name="Autosomal recessive").focus()
    visitor.page.keyboard.press("ArrowRight")
    visitor.page.keyboard.press("ArrowRight")
    visitor.key("Space")
    visitor.sees("Carriers among women")
    assert (
        visitor.page.get_by_label("Carriers among women, like 1/25 or 4%").input_value() == "1/25"
    )


def test_by_keyboard_alone(visitor: Visitor) -> None:
    """Start, grow, walk through the tree and ask, with Tab, arrows, Enter and space."""
    visitor.tab_to("Two unaffected parents")
    visitor.key("Enter")
    visitor.tab_to("Daughter")
    visitor.key("Enter")
    visitor.page.locator('[data-person="II-1"]').wait_for()
    visitor.tab_to("I-2", tree=True)
    visitor.page.keyboard.press("ArrowDown")
    visitor.key("Enter")
    visitor.page.locator('[data-person="II-1"][aria-pressed="true"]').wait_for()
    visitor.tab_to("Unaffected")
    visitor.key("ArrowRight")
    visitor.key("Space")
    visitor.page.locator('[data-person="II-1"][aria-label*=" affected"]').wait_for()
    visitor.tab_to("Brother")
    visitor.key("Enter")
    visitor.page.locator('[data-person="II-2"]').wait_for()
    visitor.tab_to("II-1", tree=True)
    visitor.page.keyboard.press("ArrowUp")
    visitor.page.keyboard.press("ArrowDown")
    assert visitor.focused_person() in ("II-1", "II-2")
    visitor.page.keyboard.press("ArrowLeft")
    assert visitor.focused_person() == "II-1"
    visitor.page.keyboard.press("ArrowRight")
    visitor.page.keyboard.press("ArrowRight")
    assert visitor.focused_person() == "II-2"
    visitor.key("Enter")
    visitor.tab_to("Carrier?")
    visitor.key("Enter")
    visitor.expects("1/2")
    visitor.key("Control+z")
    visitor.expects()


def test_the_ring_around_a_button_without_an_edge_leaves_its_words_free(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.tab_to("Remove")
    ring = "() => getComputedStyle(document.activeElement).outlineOffset"
    assert int(visitor.page.evaluate(ring).removesuffix("px")) >= 4


def test_files_that_are_no_cases_are_refused_and_nothing_is_lost(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.expects("2/3", "1/150")
    visitor.unfold("File")
    broken = json.loads(write_case(healthy_brother()))
    broken["people"][2]["father"] = "I-9"
    visitor.open_file(file_of(json.dumps(broken), "broken.json"))
    visitor.sees("broken.json was not opened")
    visitor.sees("people[2].father")
    # The menu is folded up, so that what is wrong stands right below the title.
    box = visitor.page.get_by_test_id("stAlert").first.bounding_box()
    assert box is not None
    assert box["y"] < 300
    visitor.unfold("File")
    visitor.open_file(file_of("{", "half.json"))
    visitor.sees("half.json was not opened")
    visitor.unfold("File")
    visitor.open_file(file_of(" " * 1_200_000, "large.json"))
    visitor.sees("must be 1.0MB or smaller")
    why = visitor.page.get_by_text("must be 1.0MB or smaller").first.bounding_box()
    assert why is not None  # to be read, and not only heard or pointed at
    assert why["width"] > 100
    assert why["y"] + why["height"] < 1000
    assert not visitor.page.get_by_text("half.json was not opened").is_visible()
    visitor.expects("2/3", "1/150")


def test_a_family_that_lacks_something_outlives_a_reload_and_can_be_opened_again(
    visitor: Visitor, tmp_path: Path
) -> None:
    """With ages at onset and no age yet there is no answer, but the family is not lost."""
    from playwright.sync_api import expect

    tree = visitor.page.locator("[data-person]")
    visitor.press("Two unaffected parents")
    visitor.go("Condition")
    visitor.unfold("Age at onset")
    visitor.write("40: 50%\n70: 1", "Age: share")
    visitor.sees("No answers yet")
    visitor.go("Family")
    visitor.page.reload()
    visitor.sees("from your last visit is back")
    expect(tree).to_have_count(2)
    assert visitor.people() == ["I-1", "I-2"]
    visitor.unfold("File")
    saved = visitor.download("Save as a file", tmp_path)
    visitor.press("Start anew")
    visitor.page.get_by_role("button", name="Two unaffected parents").wait_for()
    visitor.open_file(saved)
    visitor.sees("No answers yet")
    expect(tree).to_have_count(2)
    assert visitor.people() == ["I-1", "I-2"]


def test_a_reload_opens_the_same_tab(visitor: Visitor) -> None:
    visitor.go("Practice")
    visitor.page.get_by_role("tab", name="A worksheet").click()
    visitor.sees("Add practice cases")
    for address in (visitor.page.url, visitor.page.url.replace("worksheet", "colour")):
        visitor.page.goto(address)
        visitor.sees("Add practice cases" if "worksheet" in address else "Your answer")
        assert visitor.page.get_by_test_id("stException").count() == 0
    visitor.go("Crosses")
    for name in ("Counts", "Test cross"):
        visitor.page.get_by_role("tab", name=name).click()
        visitor.page.wait_for_url(f"**crosses?*={name.replace(' ', '+')}")
        visitor.page.reload()
        visitor.page.locator('[role="tab"][aria-selected="true"]', has_text=name).wait_for()


def test_hostile_texts_stay_text(visitor: Visitor) -> None:
    case = json.loads(write_case(healthy_brother()))
    evil = '<img src="http://example.org/a.png" onerror="window.hit=1"> [a](http://example.org)'
    case["title"] = case["vignette"] = case["condition"]["name"] = evil
    case["people"][3]["name"] = evil[:60]
    case["people"][3]["note"] = "<script>window.hit = 1</script> ![x](http://example.org/b.png)"
    visitor.open_file(file_of(json.dumps(case)))
    for name in PAGES:
        visitor.go(name)
        visitor.page.wait_for_timeout(150)
        assert visitor.page.evaluate("window.hit") is None
        assert visitor.page.locator('a[href*="example.org"], img[src*="example.org"]').count() == 0


def test_texts_of_users_are_shown_sign_by_sign(visitor: Visitor) -> None:
    """No link, picture, icon, smiley, formula, arrow or dash is made of them."""
    signs = "[a](http://a.org) ![a](http://a.org/a.png) www.a.org a@a.org mailto:a@a.org :red[a] "
    signs += ":smile: a:+1:b :material/home: $x^2$ **b** ~~c~~ `d` a -- b a -> b a <= b &amp; \\ #"
    case = json.loads(write_case(healthy_brother()))
    case["vignette"] = signs
    visitor.open_file(file_of(json.dumps(case)))
    shown = visitor.page.locator("[data-testid=stMarkdown]", has_text="a.org").first
    assert signs in shown.inner_text().replace("\u2060", "")
    assert shown.locator("a, img, em, code, del, .katex, [data-testid=stIconMaterial]").count() == 0


def test_a_message_can_be_copied_as_it_is(visitor: Visitor) -> None:
    broken = json.loads(write_case(healthy_brother()))
    broken["people"][2]["father"] = "I-9"
    visitor.open_file(file_of(json.dumps(broken), "broken.json"))
    visitor.sees("broken.json was not opened")
    said = visitor.page.get_by_test_id("stAlert").first.inner_text()
    assert "people[2].father: " in said
    assert "\u2060" not in said


def test_on_a_narrow_page_the_panel_follows_the_tree(visitor: Visitor) -> None:
    visitor.open_file(file_of(negative_brother()))
    visitor.person("II-2")

    def box(place: str) -> dict[str, float]:
        return visitor.page.locator(place).first.bounding_box()  # type: ignore[no-any-return]

    for width, beside in ((1280, True), (390, False)):
        visitor.page.set_viewport_size({"width": width, "height": 1000})
        visitor.page.wait_for_timeout(300)
        tree, panel, asked = (box(f".st-key-{key}") for key in ("family-tree", "panel", "asked"))
        if beside:
            assert panel["x"] >= tree["x"] + tree["width"]
            assert abs(panel["y"] - tree["y"]) < 20
            assert asked["x"] == tree["x"]
        else:
            assert tree["y"] + tree["height"] <= panel["y"]
            assert panel["y"] + panel["height"] <= asked["y"]


def test_on_a_phone_the_whole_key_is_in_sight_and_can_be_read(visitor: Visitor) -> None:
    case = healthy_brother()
    for id, roles, status in (("I-1", ("proband",), "deceased"), ("II-3", ("consultand",), None)):
        case = edit.change_person(case, id, roles=roles, status=status or "alive")
    case = edit.change_person(case, "II-2", adopted="out", affected=None)
    visitor.page.set_viewport_size({"width": 390, "height": 1000})
    visitor.open_file(file_of(case))
    entries = visitor.page.locator("#signs li")
    entries.first.wait_for()
    words = entries.all_inner_texts()
    assert "brackets: adopted out of the family" in " ".join(words)
    assert len(words) == 9
    frame = visitor.page.locator("#frame").bounding_box()
    for entry in entries.all():
        box = entry.bounding_box()
        assert frame["x"] <= box["x"]
        assert box["x"] + box["width"] <= frame["x"] + frame["width"]
        assert entry.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") >= 10
    letters = visitor.page.locator("#tree text").evaluate_all(
        "all => all.map(t => t.getBoundingClientRect().height)"
    )
    assert min(letters) >= 9


def long_fractions() -> Case:
    """On the X, with new mutations: fractions of thirty digits."""
    condition = Condition(
        "x_linked_recessive",
        Frequency(allele=quantity("1/10000")),
        mutation=Mutation(quantity("1/100000"), quantity("1/50000")),
    )
    case, _ = edit.add_children(edit.two_parents(condition, False), "I-1", sex="male")
    case = edit.change_person(case, "II-1", affected=True)
    case, _ = edit.add_siblings(case, "II-1", sex="female")
    case = edit.add_question(case, Question("genotype", person="II-2"))
    return edit.add_question(case, Question("carrier", person="I-2"))


def test_long_fractions_stay_on_a_phones_page(visitor: Visitor) -> None:
    visitor.open_file(file_of(long_fractions()))
    for name in ("Family", "Answer", "Evidence"):
        visitor.page.set_viewport_size({"width": 1280, "height": 1000})
        visitor.go(name)
        if name == "Evidence":
            visitor.press("Everything")
        visitor.page.set_viewport_size({"width": 390, "height": 1000})
        visitor.page.wait_for_timeout(300)
        assert max(map(len, visitor.page.locator(".tt-answer .other").all_inner_texts())) > 20
        main = visitor.page.get_by_test_id("stMain")
        assert main.evaluate("e => e.scrollWidth - e.clientWidth") <= 1, name
        for figure in visitor.page.locator(".tt-answer .figure").all():
            lines = figure.evaluate("e => e.getClientRects().length")
            assert lines == 1
    ladder = visitor.page.locator("#ladder")
    assert ladder.evaluate("e => e.scrollWidth - e.clientWidth") <= 1


def test_on_a_phone_a_page_is_chosen_and_seen(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 390, "height": 900})
    visitor.open("/")
    menu = visitor.page.get_by_role("button", name="Pages", exact=True)
    side_bar = visitor.page.get_by_test_id("stSidebar")
    for name in ("Condition", "Practice"):
        menu.click()
        side_bar.get_by_role("link", name=name).click()
        visitor.page.get_by_role("heading", level=1, name=name).wait_for()
        menu.wait_for()
        visitor.page.wait_for_timeout(600)  # it slides
        box = side_bar.bounding_box()
        assert box is None or box["x"] + box["width"] <= 1
        assert visitor.page.title() == f"{name} · Two-Thirds"


def test_on_a_phone_what_is_said_of_an_answer_stands_below_its_row(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 390, "height": 900})
    visitor.open("/practice")
    visitor.page.get_by_role("tab", name="A whole class's answers").click()
    table = b"student,question,answer\nAda,0,2/7\n"
    upload = visitor.page.locator("input[type=file]").last
    upload.set_input_files({"name": "class.csv", "mimeType": "text/csv", "buffer": table})
    row = visitor.page.locator(".st-key-marked tbody tr")
    row.wait_for()
    mark, said = (row.locator("td").nth(place).bounding_box() for place in (-2, -1))
    assert said["y"] >= mark["y"] + mark["height"]
    assert said["width"] > 300
    assert said["x"] + said["width"] <= 390


def test_on_a_phone_the_slip_of_an_answer_of_the_session_is_in_sight(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 390, "height": 900})
    visitor.open("/practice")
    visitor.press("Next case")
    visitor.page.get_by_label("Your answer").first.fill("1/2")
    visitor.press("Mark it")
    row = visitor.page.locator(".st-key-answered tbody tr")
    row.wait_for()
    mark, slip = (row.locator("td").nth(place).bounding_box() for place in (-2, -1))
    assert slip["y"] >= mark["y"] + mark["height"]
    for box in (mark, slip):
        assert box["x"] + box["width"] <= 390


def test_a_reload_loses_nothing_until_it_is_forgotten(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.expects("2/3", "1/150")
    visitor.page.reload()
    visitor.sees("The family from your last visit is back")
    visitor.expects("2/3", "1/150")
    undo = visitor.page.get_by_role("button", name="Undo")
    assert undo.is_disabled()  # it would take the family away
    visitor.unfold("File")
    visitor.press("Forget this family")
    visitor.press("Yes, forget it")
    visitor.sees("Forgotten")
    visitor.page.reload()
    visitor.page.get_by_role("button", name="Two unaffected parents").wait_for()
    assert visitor.page.evaluate("localStorage.getItem('two-thirds-case')") is None


def test_a_version_kept_outlives_a_reload_until_it_is_forgotten(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.go("What if")
    visitor.press_text("Two versions side by side")
    visitor.press("Keep this version")
    visitor.sees("The two are the same, so far.")
    visitor.page.reload()
    visitor.sees("The family and the version kept in What if from your last visit are back")
    visitor.press_text("Two versions side by side")
    visitor.sees("The two are the same, so far.")
    visitor.go("Family")
    visitor.unfold("File")
    visitor.press("Forget this family")
    visitor.press("Yes, forget it")
    visitor.sees("Forgotten")
    assert visitor.page.evaluate("localStorage.getItem('two-thirds-version')") is None


def test_a_worksheet_outlives_a_reload_until_it_is_forgotten(visitor: Visitor) -> None:
    from playwright.sync_api import expect

    def sheet() -> None:
        visitor.go("Practice")
        visitor.page.get_by_role("tab", name="A worksheet").click()
        visitor.sees("The problems")

    sheet()
    visitor.press("Add practice cases")
    visitor.write("Homework 3", "Title of the worksheet")
    visitor.page.reload()
    visitor.sees("The worksheet from your last visit is back")
    sheet()
    remove = visitor.page.get_by_role("button", name=re.compile("^(close )?Remove$"))
    expect(remove).to_have_count(3)
    expect(visitor.page.get_by_label("Title of the worksheet")).to_have_value("Homework 3")
    visitor.press("Remove all")
    visitor.sees("There are none.")
    visitor.sees("Bring the removed problems back")
    visitor.page.reload()
    sheet()
    visitor.sees("There are none yet.")
    visitor.press("Add practice cases")
    visitor.go("Family")
    visitor.press("Two parents")
    visitor.page.wait_for_function("localStorage.getItem('two-thirds-case')")
    visitor.page.reload()
    visitor.sees("The family and the worksheet from your last visit are back")
    visitor.unfold("File")
    visitor.press("Forget this family")
    visitor.press("Yes, forget it")
    visitor.sees("Another tab that is open with this app has its own")
    assert visitor.page.evaluate("Object.keys(localStorage).filter((k) => /two-t/.test(k))") == []


def test_each_tab_gets_its_own_family_back(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.expects("2/3", "1/150")
    other = Visitor(visitor.page.context.new_page(), visitor.address)
    other.open()
    other.sees("The family from your last visit is back")  # a new tab has none of its own
    other.expects("2/3", "1/150")
    other.unfold("File")
    other.press("Start anew")
    other.press("One man")
    other.page.locator('[data-person="I-1"]').wait_for()
    for tab, people in ((visitor, 5), (other, 1)):
        tab.page.reload()
        tab.sees("The family from your last visit is back")
        tab.page.locator("[data-person]").nth(people - 1).wait_for()
        assert len(tab.people()) == people
    # An emptied tab stays empty, also while another one keeps a family.
    other.unfold("File")
    other.press("Start anew")
    other.page.get_by_role("button", name="Two unaffected parents").wait_for()
    visitor.press("Daughter")
    visitor.page.locator("[data-person]").nth(5).wait_for()
    other.page.reload()
    other.page.get_by_role("button", name="Two unaffected parents").wait_for()
    other.page.wait_for_timeout(800)
    assert other.people() == []


def test_a_page_begun_anew_stays_empty_after_a_reload(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.expects("2/3", "1/150")
    visitor.unfold("File")
    visitor.press("Start anew")
    visitor.page.get_by_role("button", name="Two unaffected parents").wait_for()
    # The mouse was over the fold when it folded itself up.
    visitor.page.locator(".st-key-files summary", has_text="folder_open").wait_for()
    visitor.page.reload()
    visitor.page.get_by_role("button", name="Two unaffected parents").wait_for()
    visitor.page.wait_for_timeout(800)
    assert visitor.people() == []


def test_show_leads_to_the_person_on_the_page_family(visitor: Visitor) -> None:
    """Also on the page Report, where the button is whole."""
    impossible = edit.change_person(healthy_brother(), "I-1", genotype=0)
    visitor.open_file(file_of(impossible))
    for page in ("Answer", "Report"):
        visitor.go(page)
        button = visitor.page.get_by_role("button", name="Show").first
        words = button.locator("p").first
        assert words.evaluate("e => e.scrollWidth <= e.clientWidth")
        button.click()
        visitor.page.get_by_role("heading", level=1).filter(has_text="Family").wait_for()
        visitor.page.locator('[data-person][aria-pressed="true"]').wait_for()


def test_a_server_started_anew_gets_the_family_back(chromium) -> None:  # type: ignore[no-untyped-def]
    """The page stays open while the server goes and comes; the next act finds a new session."""
    port = free_port()
    context = chromium.new_context()
    with app_process(port) as (address, _):
        visitor = Visitor(context.new_page(), address)
        visitor.open()
        visitor.open_file(file_of(healthy_brother()))
        visitor.expects("2/3", "1/150")
    with app_process(port):
        visitor.page.wait_for_timeout(9000)  # it looks for the server after growing pauses
        visitor.page.locator('[data-test-connection-state="CONNECTED"]').wait_for()
        visitor.page.locator('[data-person="I-1"] [data-part="symbol"]').first.click()
        visitor.sees("The family from your last visit is back")
        visitor.expects("2/3", "1/150")
        assert len(visitor.people()) == 5
    context.close()


def test_what_cannot_be_read_back_is_left_alone(visitor: Visitor) -> None:
    visitor.page.evaluate("localStorage.setItem('two-thirds-case', '{')")
    visitor.page.reload()
    visitor.sees("could not be read, so it was left alone")
    visitor.press("One man")
    visitor.page.locator('[data-person="I-1"]').wait_for()


def test_leaving_work_that_is_kept_nowhere_is_asked_about(visitor: Visitor) -> None:
    visitor.unfold("File")
    visitor.press("Forget this family")
    visitor.sees("Forgotten")
    visitor.page.keyboard.press("Escape")
    visitor.press("Two parents")
    visitor.page.locator('[data-person="I-1"]').wait_for()
    asked: list[str] = []
    visitor.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    visitor.page.reload()
    assert asked == ["beforeunload"]


def test_two_browsers_do_not_see_each_other(visitor: Visitor, chromium, address: str) -> None:  # type: ignore[no-untyped-def]
    visitor.open_file(file_of(healthy_brother()))
    visitor.expects("2/3", "1/150")
    context = chromium.new_context()
    other = Visitor(context.new_page(), address)
    other.open()
    other.page.get_by_role("button", name="Two unaffected parents").wait_for()
    other.press("One man")
    other.page.locator('[data-person="I-1"]').wait_for()
    assert other.people() == ["I-1"]
    visitor.press("Undo")
    visitor.press("Redo")
    visitor.expects("2/3", "1/150")
    assert len(visitor.people()) == 5
    context.close()


def test_a_cell_of_the_table_changes_the_tree(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.unfold("The family as a table")
    visitor.press_text("Edit the people as a table")
    grid = visitor.page.get_by_test_id("stDataFrame").first
    grid.scroll_into_view_if_needed()
    grid.locator("canvas").first.wait_for()
    visitor.page.wait_for_timeout(600)
    box = grid.bounding_box()
    visitor.page.mouse.click(box["x"] + 150, box["y"] + 54)  # the alias of the first person
    visitor.page.keyboard.press("Enter")
    visitor.page.wait_for_timeout(200)
    visitor.page.keyboard.type("Ada", delay=60)
    visitor.page.keyboard.press("Enter")
    visitor.page.locator('[data-person="I-1"]', has_text="Ada").wait_for()
    visitor.expects("2/3", "1/150")


def test_on_a_narrow_page_no_choice_is_cut_off(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 390, "height": 1200})
    visitor.open("/condition")
    for mode in (
        visitor.page.get_by_role("radiogroup", name="Inheritance").get_by_role("radio").all()
    ):
        box = mode.bounding_box()
        assert box is not None
        assert box["x"] + box["width"] <= 390


#: The buttons in sight that show less than they hold, or stand outside the page.
CUT = """
() => [...document.querySelectorAll('button, summary, [role="radio"], [role="tab"]')]
  .filter((e) => e.checkVisibility({visibilityProperty: true}))
  .filter((e) => e.getBoundingClientRect().right > window.innerWidth
    || [e, ...e.querySelectorAll('*')].some((part) => part.scrollWidth > part.clientWidth + 1
      && getComputedStyle(part).overflowX !== 'visible'))
  .map((e) => e.innerText)
"""


def test_what_is_written_on_buttons_is_whole(visitor: Visitor) -> None:
    visitor.open_file(ROOT / "fixtures" / "negative-test.json")
    visitor.person("II-2")
    cut = []
    for name in PAGES:
        visitor.page.set_viewport_size({"width": 1280, "height": 1000})
        visitor.go(name)
        if name == "Answer":
            visitor.press_text("One step at a time")
        for tab in visitor.page.get_by_role("tab").all() or [visitor.page.locator("h1")]:
            visitor.page.set_viewport_size({"width": 1280, "height": 1000})
            tab.click()
            if tab.inner_text() == "A worksheet":
                visitor.press("Add practice cases")
                visitor.page.get_by_role("button", name="Remove all").wait_for()
            for width in (1280, 820, 390):
                visitor.page.set_viewport_size({"width": width, "height": 1000})
                visitor.page.wait_for_timeout(400)
                cut += [(name, width, words) for words in visitor.page.evaluate(CUT)]
    assert cut == []


def test_narrow_pages_do_not_scroll_sideways(visitor: Visitor) -> None:
    """640 x 500 is what a page of 1280 x 1000 has at a zoom of 200%."""
    visitor.open_file(file_of(negative_brother()))
    for name in PAGES:
        visitor.page.set_viewport_size({"width": 1280, "height": 1000})
        visitor.go(name)
        for width, height in ((640, 500), (360, 740)):
            visitor.page.set_viewport_size({"width": width, "height": height})
            visitor.page.wait_for_timeout(250)
            main = visitor.page.get_by_test_id("stMain")
            over = main.evaluate("e => e.scrollWidth - e.clientWidth")
            assert over <= 1, (name, width)
            for row in visitor.page.get_by_role("tablist").all():
                assert row.evaluate("e => e.scrollWidth - e.clientWidth") <= 1, (name, width)
            assert visitor.page.locator(".tt-caution").first.is_visible()


def test_a_tree_wider_than_its_place_is_seen_whole_by_one_press(visitor: Visitor) -> None:
    visitor.page.set_viewport_size({"width": 1280, "height": 1000})
    visitor.open_file(file_of((ROOT / "fixtures" / "island-family.json").read_text("utf-8")))
    tree = visitor.page.locator("#tree")
    tree.locator("[data-person]").first.wait_for()
    over = "e => e.scrollWidth - e.clientWidth"
    assert tree.evaluate(over) > 1
    last = tree.locator("[data-person]").evaluate_all(
        "all => Math.max(...all.map(g => g.getBoundingClientRect().right))"
    )
    box = tree.bounding_box()
    assert last > box["x"] + box["width"]
    visitor.page.get_by_role("button", name="The whole width at once").click()
    assert tree.evaluate(over) <= 1
    visitor.page.get_by_role("button", name="Larger, and scroll").click()
    assert tree.evaluate(over) > 1


def test_whoever_is_selected_is_in_sight_in_a_wide_tree(visitor: Visitor) -> None:
    """The one asked about is the last of a row that a phone does not hold."""
    case, added = edit.add_siblings(healthy_brother(), "II-1", sex="male", number=9)
    question = Question("carrier", person=added[-1])
    visitor.page.set_viewport_size({"width": 390, "height": 900})
    visitor.open_file(file_of(replace(case, questions=(question,))))
    symbol = visitor.page.locator(f'[data-person="{added[-1]}"][aria-pressed="true"]')
    symbol.wait_for()
    tree, box = visitor.page.locator("#tree").bounding_box(), symbol.bounding_box()
    assert tree["x"] <= box["x"]
    assert box["x"] + box["width"] <= tree["x"] + tree["width"] + 1


def test_a_tree_in_which_nobody_can_be_chosen_has_no_buttons(visitor: Visitor) -> None:
    """They would be read out, and stop the keyboard, and do nothing."""
    visitor.open_file(file_of(healthy_brother()))
    tree = visitor.page.locator("#tree")
    tree.get_by_role("button", name="II-1").wait_for()
    visitor.go("Evidence")
    tree.get_by_role("img", name="II-1").wait_for()
    assert tree.get_by_role("button").count() == 0
    assert tree.locator("[tabindex], [aria-pressed]").count() == 0
    assert tree.get_attribute("tabindex") is None
    visitor.page.set_viewport_size({"width": 200, "height": 900})  # there it is to be scrolled
    visitor.page.locator('#tree[tabindex="0"]').wait_for()


def test_a_tree_that_fits_is_offered_no_other_size(visitor: Visitor) -> None:
    visitor.open_file(file_of(healthy_brother()))
    visitor.page.locator("#tree [data-person]").first.wait_for()
    assert not visitor.page.locator("#fit").first.is_visible()


def luminance(colour: str) -> float:
    shares = [int(part) / 255 for part in re.findall(r"\d+", colour)[:3]]
    red, green, blue = [s / 12.92 if s <= 0.03928 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


#: What axe does not look at: targets of less than 24 pixels, links in headings among them ...
SMALL = """
() => [...document.querySelectorAll(`[data-testid="stRadioOption"], :is(h1, h2, h3) a,
    [data-testid="stCheckbox"] label, [data-testid="stTooltipIcon"] button`)]
  .filter((e) => e.checkVisibility())
  .filter((e) => Math.min(e.offsetWidth, e.offsetHeight) < 24)
  .map((e) => e.outerHTML.slice(0, 160))
"""
#: ... and the edges of radio buttons, check boxes and switches that are off.
UNCHECKED = """[data-testid="stRadioOption"]:not([data-selected]) > div > div:first-child,
  [data-testid="stCheckbox"] label:not([data-selected]) > div:not([data-testid])"""
EDGES = """(all) => all.map((e) => getComputedStyle(e))
  .map((s) => (s.outlineStyle === 'none' ? s.backgroundColor : s.outlineColor))"""


def test_axe_finds_nothing_serious_in_light_and_dark(visitor: Visitor) -> None:
    from axe_playwright_python.sync_playwright import Axe

    axe = Axe()
    visitor.page.set_viewport_size({"width": 1280, "height": 2600})
    visitor.open_file(file_of(negative_brother()))
    visitor.expects("1/6", "1/600")
    found = []
    for name in PAGES:
        visitor.go(name)
        for scheme in ("light", "dark"):
            visitor.page.emulate_media(color_scheme=scheme)
            visitor.page.wait_for_timeout(400)
            ground = visitor.page.get_by_test_id("stApp").evaluate(
                "e => getComputedStyle(e).backgroundColor"
            )
            assert (luminance(ground) < 0.1) == (scheme == "dark")
            found += [(name, scheme, "small", html) for html in visitor.page.evaluate(SMALL)]
            for edge in set(visitor.page.locator(UNCHECKED).evaluate_all(EDGES)):
                if contrast(edge, ground) < 3:
                    found.append((name, scheme, "pale", edge))
            found += [
                (name, scheme, fault["id"], node["html"][:160])
                for fault in axe.run(visitor.page).response["violations"]
                if fault["impact"] in ("serious", "critical")
                for node in fault["nodes"]
            ]
    assert found == []


def test_curves_beside_one_another_stand_at_one_height(visitor: Visitor) -> None:
    """Also where what is said of one takes two lines and of the other three."""
    visitor.open_file(file_of(healthy_brother()))
    visitor.go("What if")
    curves = visitor.page.locator('[data-testid="stVegaLiteChart"]')
    curves.nth(1).wait_for()
    visitor.rest()
    left, right = [curve.bounding_box() for curve in curves.all()]
    assert left["x"] < right["x"]
    assert left["y"] == right["y"]


def test_the_labels_of_charts_can_be_read_also_when_the_page_turns_dark(visitor: Visitor) -> None:
    visitor.open_file(file_of(negative_brother()))
    visitor.go("Crosses")
    visitor.page.get_by_role("tab", name="Offspring").click()
    labels = visitor.page.locator('[data-testid="stVegaLiteChart"] svg text')
    labels.first.wait_for()
    for scheme in ("light", "dark"):
        visitor.page.emulate_media(color_scheme=scheme)
        visitor.page.wait_for_timeout(500)
        paper = visitor.page.get_by_test_id("stApp").evaluate(
            "e => getComputedStyle(e).backgroundColor"
        )
        for ink in set(labels.evaluate_all("all => all.map(e => getComputedStyle(e).fill)")):
            assert contrast(ink, paper) >= 4.5, (scheme, ink)


def test_the_packaged_settings_are_those_of_the_checkout() -> None:
    inside = ROOT / "risk" / "screens" / "entry" / ".streamlit" / "config.toml"
    outside = ROOT / ".streamlit" / "config.toml"
    assert inside.read_text(encoding="utf-8") == outside.read_text(encoding="utf-8")


def test_a_worksheet_is_put_together_printed_and_marked(visitor: Visitor, tmp_path: Path) -> None:
    """Three practice cases and an example: sheet and key as files, then a class's answers."""
    from pypdf import PdfReader

    from risk import actions

    visitor.open("/practice")
    visitor.page.get_by_role("tab", name="A worksheet").click()
    visitor.press("Add practice cases")
    visitor.page.get_by_text("3. ").first.wait_for()
    visitor.pick("Healthy sister of an affected boy", "Add an example")
    visitor.write("Homework 3", "Title of the worksheet")
    visitor.press("Make the worksheet and the key")
    visitor.sees("Page 1 of")
    for name, holds in (("worksheet", "4. Healthy sister"), ("key", "2/3")):
        pdf = visitor.download(f"Download the {name}", tmp_path)
        text = "".join(page.extract_text() for page in PdfReader(pdf).pages)
        assert "Homework 3" in text
        assert holds in text
    visitor.page.get_by_role("tab", name="A whole class's answers").click()
    visitor.press_text("The problems of the worksheet")
    table = visitor.download("Download a table to fill in", tmp_path).read_text("utf-8-sig")
    assert table.splitlines()[0] == "student,1 (a),2 (a),3 (a),4 (a),4 (b)"
    first = actions.solve(actions.practice(1, 1, 1)[0]).answers[0].probability
    assert first is not None
    filled = table.replace("S1,,,,,", f"S1,{first.exact},,,2/3,1/2").encode()
    upload = visitor.page.locator("input[type=file]").last
    upload.set_input_files({"name": "class.csv", "mimeType": "text/csv", "buffer": filled})
    rows = visitor.page.locator(".st-key-marked tbody tr")
    rows.first.wait_for()
    assert rows.count() == 3
    visitor.sees("Student by student")
    marks = visitor.download("Download the marks", tmp_path).read_text("utf-8-sig")
    assert [line.split(",")[4] for line in marks.splitlines()[1:3]] == ["right", "right"]


def test_what_is_typed_arrives_before_a_page_that_is_tapped(visitor: Visitor) -> None:
    """A tap has no time between press and release, in which the text would be sent."""
    visitor.open_file(ROOT / "fixtures" / "negative-test.json")
    visitor.go("Condition")
    name = visitor.page.get_by_label("Name of the condition", exact=True)
    for text, page in (("Greyfen disease", "Answer"), ("Greyfen palsy", "Report")):
        name.fill(text)
        visitor.go(page)
        visitor.go("Condition")
        assert name.input_value() == text


def test_fields_are_filled_again_when_a_change_of_page_is_cut_off(visitor: Visitor) -> None:
    """A press on another page's name, and at once on a choice of the page that is left."""

    def one_by_one(socket) -> None:  # type: ignore[no-untyped-def]
        """The server has begun with what one press asks for when it hears of the next."""
        server = socket.connect_to_server()
        socket.on_message(lambda message: (server.send(message), time.sleep(0.1)))

    page = visitor.page
    visitor.open_file(ROOT / "fixtures" / "negative-test.json")
    page.route_web_socket("**", one_by_one)
    visitor.open()
    visitor.go("Condition")
    page.get_by_role("radio", name="Incidence at conception").wait_for(state="attached")
    page.evaluate(
        """() => {
          const named = (tag, text) =>
            [...document.querySelectorAll(tag)].find((e) => e.innerText.startsWith(text));
          named('[data-testid="stTopNavLink"]', 'Answer').click();
          named('[data-testid="stRadioOption"]', 'Incidence').click();
        }"""
    )
    page.wait_for_timeout(1000)
    visitor.rest()
    page.get_by_role("heading", level=1, name="Condition").wait_for()
    name = page.get_by_label("Name of the condition", exact=True)
    assert name.input_value() == "Saltglass disease (invented)"
    modes = page.get_by_role("radiogroup", name="Inheritance")
    assert modes.get_by_role("radio", name="Autosomal recessive").is_checked()
    visitor.choose("Autosomal recessive", "Inheritance")
    visitor.expects("1/6", "1/241", "1/5784")
