"""The desk's pages in a real Chromium: every size, other eyes and hands, and what goes wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from desk_hands import axe, hands
from desk_server import Served, served
from playwright.sync_api import Browser

G1 = "/girder/g1.toml"
STEPS = ("girder", "plates", "loads", "fastening", "papers", "inspection", "text")

# A length, a slope, a list, a whole number, a table by name, a date, a length of a list of tables.
# Every field of the form is tried in tests/unit/desk/test_desk_wrong_input.py.
FIELDS = (
    "girder/shape/span", "girder/shape/pitch", "girder/shape/panel_lengths", "girder/quantity",
    "girder/timbers", "job/date", "girder/bearings/0/width",
)  # fmt: skip

# What is cut off or too small for a finger: elements that people press or type into.
SMALL = """() => [...document.querySelectorAll('button, select, input, textarea, a, summary')]
  .filter((n) => n.checkVisibility() && !n.classList.contains('unseen'))
  .map((n) => [n, n.getBoundingClientRect()])
  .filter(([, b]) => b.width > 0 && (b.height < 40 || b.width < 40))
  .map(([n, b]) => `${n.tagName} ${n.id || n.textContent.slice(0, 20)} ${b.width} x ${b.height}`)"""
SCALE = (
    "Number(/matrix.([^ ]+)/.exec(document.querySelector('.world').getAttribute('transform'))[1])"
)
# Labels whose field does not show.
UNSEEN = """() => [...document.querySelectorAll('label[for]')]
  .filter((n) => n.checkVisibility() && !document.getElementById(n.htmlFor)?.checkVisibility())
  .map((n) => n.htmlFor)"""
WIDE = "() => document.documentElement.scrollWidth > innerWidth"


@pytest.mark.parametrize(
    ("size", "light", "language"),
    [("small", "light", "fr-FR"), ("large", "dark", "en-GB"), ("tablet", "dark", "fr-FR")],
)
def test_every_page_fits_and_axe_finds_nothing_serious(browser, desk, size, light, language):
    with hands(browser, desk, size, language, light) as h:
        h.page.locator(".card .sketch").wait_for()
        h.page.locator(".shape svg").first.wait_for()
        assert h.js("document.documentElement.lang") == language[:2]
        assert axe(h.page) == []
        assert h.js(SMALL) == []
        h.page.goto(f"{desk.known.origin}{G1}")
        h.shown()
        for step in STEPS:
            h.click(f"#step-{step}")
            assert h.js(WIDE) is False, step
            assert (h.js(SMALL), h.js(UNSEEN)) == ([], []), step
            assert axe(h.page) == [], step
        assert h.said == []
        desk.post("/firm/change", {"key": "name", "value": "Demo firm"})
        h.page.goto(f"{desk.known.origin}/firm")
        h.page.locator("#bolts-M16").wait_for()
        assert (axe(h.page), h.js(SMALL), h.js(WIDE)) == ([], [], False), "the firm's page"
        assert h.js(UNSEEN) == []
        h.page.goto(f"{desk.known.origin}/girder/none.toml")
        assert (axe(h.page), h.js(SMALL)) == ([], []), "a page that says that there is nothing"


def test_wrong_input_is_said_at_its_field_and_can_be_taken_back(browser: Browser, desk: Served):
    """A field of every kind gets nonsense, one after the other; all come back by as many undos."""
    before = (desk.folder / "g1.toml").read_text()
    with hands(browser, desk, at=G1) as h:
        h.shown()
        for name in FIELDS:
            turn = h.turn()
            h.page.locator(f'[id="f:{name}"]').fill("\u2603 <b>")
            h.press("Enter")
            h.next_turn(turn)
            assert h.js("(i) => !!document.getElementById(i).ariaInvalid", f"f:{name}"), name
            assert h.page.locator(f'[id="eh:{name}"]').inner_text() != "", name
            assert h.js("document.activeElement.id") == f"f:{name}", "the cursor stays"
        assert h.page.locator("#verdict.unread").count() == 1
        assert h.page.locator("#stale").is_visible(), "the last girder stays, and is said to be old"
        while h.js("!document.getElementById('back').disabled"):
            turn = h.turn()
            h.click("#back")
            h.next_turn(turn)
        h.page.locator("#verdict.good").wait_for()
        assert h.said == []
    assert (desk.folder / "g1.toml").read_text() == before


def test_a_finding_puts_the_cursor_into_its_field(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.page.locator('[id="f:girder/shape/span"]').fill("9.6 furlongs")
        turn = h.turn()
        h.press("Enter")
        h.next_turn(turn)
        h.click("#step-loads")
        h.click("#finding-1")
        assert h.js("document.activeElement.id") == "f:girder/shape/span"
        assert h.page.locator("#step-girder[aria-current]").count() == 1


def test_things_move_by_mouse_and_by_arrow_keys(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h:
        h.shown()
        plate = h.page.locator('[data-thing="joint:J9"]')
        plate.click()
        box = plate.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 3
        turn = h.turn()
        h.page.mouse.move(x, y)
        h.page.mouse.down()
        h.page.mouse.move(x + 30, y, steps=5)
        h.page.mouse.up()
        h.next_turn(turn)
        first = desk.get(f"{G1}/state").data["plates"]
        moved = next(p for p in first if p["joint"] == "J9")
        assert moved["assumed"] is False
        assert float(moved["dx"].split()[0]) > 100
        assert float(moved["dx"].split()[0]) % 5 == 0
        h.page.locator('[data-thing="load:0"]').first.click()
        h.page.locator("#picture").focus()
        turn = h.turn()
        h.press("ArrowRight")
        h.next_turn(turn)
        load = desk.get(f"{G1}/state").data["data"]["loads"][0]
        assert (load["at"], load["to"]) == ("605 mm", "9005 mm")


def test_two_pages_of_one_girder_show_the_same(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h, hands(browser, desk, at=G1) as other:
        h.shown()
        other.shown()
        h.page.locator('[id="f:girder/quantity"]').fill("5")
        h.press("Enter")
        field = other.page.locator('[id="f:girder/quantity"]')
        other.page.wait_for_function(
            "() => document.getElementById('f:girder/quantity').value === '5'"
        )
        assert field.input_value() == "5"
        (desk.folder / "g1.toml").write_text(
            (desk.folder / "g1.toml").read_text().replace('mark = "G1"', 'mark = "G1-X"')
        )
        other.page.locator("h1:has-text('G1-X')").wait_for()
        h.page.locator("h1:has-text('G1-X')").wait_for()


def test_what_was_typed_survives_a_reload_in_the_middle(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.page.locator('[id="f:job/client"]').press_sequentially("X")
        h.page.reload()
        h.shown()
        h.page.wait_for_timeout(300)
        if h.page.locator("dialog").count():
            h.click("dialog button.main")
        h.page.wait_for_function(
            "() => document.getElementById('f:job/client').value.includes('X')"
        )
    assert 'client = "XRivermouth' in (desk.folder / "g1.toml").read_text()


def test_what_was_typed_survives_a_killed_server(browser: Browser, howe_jobs: Path):
    folder = howe_jobs
    context = browser.new_context()
    page = context.new_page()
    with served(folder) as desk:
        port = desk.known.port
        page.goto(desk.known.address)
        page.goto(f"{desk.known.origin}{G1}")
        page.wait_for_function("() => document.documentElement.dataset.painted")
    page.locator('[id="f:girder/quantity"]').fill("7")
    page.keyboard.press("Enter")
    page.locator(".offline").wait_for()
    assert "quantity = 2" in (folder / "g1.toml").read_text()
    with served(folder, port) as desk:
        page.goto(desk.known.address)
        page.goto(f"{desk.known.origin}{G1}")
        page.locator("dialog button.main").click()
        page.wait_for_function("() => document.getElementById('f:girder/quantity').value === '7'")
    assert "quantity = 7" in (folder / "g1.toml").read_text()
    context.close()


def test_other_fasteners_are_ranked_drawn_and_taken_by_one_click(browser: Browser, desk: Served):
    (desk.folder / "firm.toml").write_text('name = "Demo"\nnails = ["3.1 x 90"]\nbolts = ["M16"]\n')
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.click("#step-fastening")
        h.click("#others-begin")
        h.page.locator("#others-begin").wait_for()  # again, once all of them are laid out
        assert "2 of 2" in h.page.locator("#slip").inner_text()
        assert axe(h.page) == []
        h.click("[id='draw-nail:3.1 x 90']")
        h.page.wait_for_function("() => document.querySelector('.differs .more').getAttribute('d')")
        assert "3.1 x 90" in h.page.locator("#stale").inner_text()
        turn = h.turn()
        h.click("[id='adopt-nail:3.1 x 90']")
        h.next_turn(turn)
        assert h.said == []
    assert 'nail = "3.1 x 90"' in (desk.folder / "g1.toml").read_text()


def test_a_zoomed_drawing_shows_a_hands_width(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.page.locator("#picture").focus()
        h.press("+", 14)
        h.page.wait_for_function(  # 200 mm across the drawing at most
            f"() => document.getElementById('picture').clientWidth / ({SCALE}) <= 200"
        )
        scale = h.js(SCALE)
        h.click("#face-back")
        h.page.wait_for_function(f"() => ({SCALE}) < 0")
        assert h.js(SCALE) == pytest.approx(-scale)
