"""From nothing to issued papers in a real Chromium: by mouse alone, by keyboard alone, counted."""

from __future__ import annotations

import json
from pathlib import Path

from desk_hands import axe, hands
from desk_server import Served
from drawn_girders import drawn
from made_schedules import sample
from playwright.sync_api import Browser


def issued(folder: Path) -> dict[str, object]:
    """The one line of the register, and that its pack is there."""
    register = next(folder.glob("issued/*/register.jsonl"))
    entry = json.loads(register.read_text().splitlines()[0])
    packs = [p for p in register.parent.iterdir() if (p / "yard.pdf").is_file()]
    assert len(packs) == 1
    assert (packs[0] / "tick-off.html").is_file()
    return entry


def test_mouse_only_from_nothing_to_issued_papers(browser: Browser, empty_desk: Served):
    """Nothing is typed: shape and span are picked, plates and assumptions looked at, issued."""
    with hands(browser, empty_desk) as h:
        h.click(".shape:has-text('fink')")
        for _ in range(4):
            h.click("[aria-label='A little shorter']")
        h.page.locator(".preview svg").wait_for()
        h.click("text=Put it on the desk")
        h.page.wait_for_selector("#steps")
        h.settled()
        h.click("#step-plates")
        h.click("#step-loads")
        h.click("#step-papers")
        while h.page.locator("#ledger button").count():
            before = h.turn()
            h.click("#ledger button")
            h.next_turn(before)
        h.click("#issue")
        assert axe(h.page) == []
        h.click("dialog button.main")
        h.page.wait_for_selector("#word:has-text('Issued into')", timeout=120_000)
        assert h.said == []
        assert {u.split("/")[2] for u in h.asked} == {empty_desk.known.host}
        assert h.keys == 0
        assert (
            h.clicks <= 16
        )  # three of them take over what girderply new has assumed, table by table
        print(f"mouse only: {h.clicks} clicks")
    assert issued(empty_desk.folder)["for_assembly"] is True


def test_keyboard_only_from_nothing_to_issued_papers(browser: Browser, empty_desk: Served):
    """No click: the shape by an arrow key, the span typed, a load hung in words, issued."""
    with hands(browser, empty_desk) as h:
        h.tab_to("input[name=kind]")
        h.press("ArrowRight")
        h.tab_to("#span")
        h.press("Control+a")
        h.type("8.4 m")
        h.press("Enter")
        h.page.wait_for_selector("#steps")
        h.settled()
        h.press("Alt+3")
        h.tab_to("#hang")
        h.type("at 4200, back, 2 kN + 1 kN")
        h.page.wait_for_selector("#hang-keep:not([disabled])")
        before = h.turn()
        h.press("Control+Enter")
        h.next_turn(before)
        h.press("Escape")
        h.js("document.activeElement.blur()")
        h.press("Alt+5")
        while h.page.locator("#ledger button").count():
            before = h.turn()
            h.tab_to("#ledger button")
            h.press("Enter")
            h.next_turn(before)
        h.tab_to("#issue")
        h.press("Enter")
        h.page.wait_for_selector("dialog[open]")
        h.press("Enter")
        h.page.wait_for_selector("#word:has-text('Issued into')", timeout=120_000)
        assert h.said == []
        assert h.clicks == 0
        assert h.keys <= 90
        print(f"keyboard only: {h.keys} keys")
    assert issued(empty_desk.folder)["for_assembly"] is True
    text = next(empty_desk.folder.glob("*.toml")).read_text()
    assert 'span = "8.4 m"' in text
    assert 'face = "back"' in text


def test_from_a_drawing_to_a_girder_on_the_desk(browser: Browser, empty_desk: Served, tmp_path):
    """The truss designer's DXF: chosen, looked at with what was guessed, put on the desk."""
    path = drawn(tmp_path / "truss.dxf", sample("two-ply-howe").girder)
    with hands(browser, empty_desk) as h:
        h.page.set_input_files("#drawing", str(path))
        h.page.locator(".preview svg").wait_for()
        h.page.locator(".preview td").first.wait_for()
        assert h.page.locator("#span").is_hidden()
        assert h.js("() => document.documentElement.scrollWidth > innerWidth") is False
        h.click("text=Put it on the desk")
        h.page.wait_for_selector("#steps")
        h.settled()
        assert h.page.locator("#verdict").inner_text() != ""
        h.click('[data-thing="member:W1"]')
        h.page.locator('[id^="f:girder/members/"][id$="/depth"]').wait_for()
        assert h.said == []
    assert [p.name for p in empty_desk.folder.glob("*.toml")] == ["truss.toml"]
