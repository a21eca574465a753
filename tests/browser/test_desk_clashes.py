"""Two hands on one girder, and records dropped onto its page, in a real Chromium."""

from __future__ import annotations

import json

import pytest
from desk_hands import Hands, axe, hands
from desk_server import Served
from inspection_records import record_data, sample
from playwright.sync_api import Browser

G1 = "/girder/g1.toml"
LOOK = "**/state*"  # the page's own look for changes, held back so that it comes too late

# Every change has come back from the server, and this is the quantity that it tells: what a field
# shows may be typed and not in the file yet.
TOLD = """async (v) => {
  const { store } = await import('/static/store.js');
  const told = () => !store.waiting.length && store.state.data.girder.quantity === Number(v);
  for (let n = 0; !told(); n += 1) {
    if (n > 600) throw new Error('the server never told it');
    await new Promise((done) => setTimeout(done, 50));
  }
}"""

# A file dropped from outside, as a browser tells it.
DROP = """([name, text]) => {
  const carried = new DataTransfer();
  carried.items.add(new File([text], name));
  for (const kind of ['dragover', 'drop'])
    document.body.dispatchEvent(
      new DragEvent(kind, {dataTransfer: carried, bubbles: true, cancelable: true}));
}"""


def typed_too_late(h: Hands, desk: Served) -> None:
    """The quantity is typed as 7 while another program has just written 5."""
    h.shown()
    h.page.route(LOOK, lambda route: route.fulfill(json={}))
    written(desk, "quantity = 2", "quantity = 5")
    h.page.locator('[id="f:girder/quantity"]').fill("7")
    h.press("Enter")
    h.page.locator("dialog[open]").wait_for()
    h.page.unroute(LOOK)


def written(desk: Served, old: str, new: str) -> None:
    path = desk.folder / "g1.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


@pytest.mark.parametrize(("answer", "kept"), [("main", "7"), (":not(.main)", "5")])
def test_one_field_changed_by_two_is_asked_about(browser: Browser, desk: Served, answer, kept):
    with hands(browser, desk, at=G1) as h:
        typed_too_late(h, desk)
        said = h.page.locator("dialog").inner_text()
        assert all(word in said for word in ("girder.quantity", "5", "7"))
        h.click("dialog button.main" if answer == "main" else f"dialog button{answer}")
        h.js(TOLD, kept)
        assert h.js("document.getElementById('f:girder/quantity').value") == kept
    assert f"quantity = {kept}\n" in (desk.folder / "g1.toml").read_text()


def test_other_places_changed_elsewhere_are_kept_without_a_question(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.page.route(LOOK, lambda route: route.fulfill(json={}))
        written(desk, 'mark = "G1"', 'mark = "G1-X"')
        h.page.locator('[id="f:girder/quantity"]').fill("7")
        turn = h.turn()
        h.press("Enter")
        h.next_turn(turn)
        assert h.page.locator("dialog").count() == 0
        h.page.unroute(LOOK)
    text = (desk.folder / "g1.toml").read_text()
    assert 'mark = "G1-X"' in text
    assert "quantity = 7" in text


def test_the_whole_text_typed_over_a_newer_file_is_asked_about(browser: Browser, desk: Served):
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.click("#step-text")
        h.page.route(LOOK, lambda route: route.fulfill(json={}))
        written(desk, "quantity = 2", "quantity = 5")
        h.page.locator("#whole-text").press("Control+End")
        h.type("# mine\n")
        h.page.locator("dialog[open]").wait_for()
        assert "# mine" not in (desk.folder / "g1.toml").read_text()
        h.page.unroute(LOOK)
        turn = h.turn()
        h.click("dialog button:not(.main)")
        h.next_turn(turn)
    text = (desk.folder / "g1.toml").read_text()
    assert ("quantity = 5" in text, "# mine" in text) == (True, False)


def test_a_record_dropped_anywhere_is_judged_and_what_to_add_is_drawn(
    browser: Browser, desk: Served
):
    schedule = sample("two-ply-howe")
    names = schedule.fasteners.id[schedule.fasteners.member == "BC1"].tolist()
    record = record_data(schedule, dict.fromkeys(names, "missing"))
    with hands(browser, desk, at=G1) as h:
        h.shown()
        h.js(DROP, ["visit.json", json.dumps(record)])
        h.page.locator("fieldset[class*='verdict-']").wait_for()
        assert h.page.locator("#step-inspection[aria-current]").count() == 1
        assert "0 of 2" in h.page.locator("#step-inspection").inner_text()
        assert h.page.locator("fieldset[class*='verdict-'] ol li").count() >= 1
        assert axe(h.page) == []
        assert h.said == []
        h.js(DROP, ["notes.json", "{"])
        h.page.locator("#word:has-text('notes.json')").wait_for()
    assert len([*(desk.folder / "records").rglob("*.json")]) == 1
