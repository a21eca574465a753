"""Ticking off on a tablet, in a real Chromium with touch: what a finger writes, and where."""

from __future__ import annotations

import io
from base64 import b64decode
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from browser import LANDSCAPE, PORTRAIT, Tablet, tablet
from inspection_records import jpeg
from made_girder import made_schedule
from matplotlib.image import imread
from playwright.sync_api import Browser

from girderply.jobfile.job import UnitSystem
from girderply.papers.tablet.page_file import render_html

SCHEDULE = made_schedule(plies=3)
DUE = len(SCHEDULE.fasteners)


@pytest.fixture(scope="module")
def file(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("page") / "tablet.html"
    path.write_text(render_html(SCHEDULE), "utf-8")
    return path


@pytest.fixture
def t(browser: Browser, file: Path) -> Iterator[Tablet]:
    with tablet(browser, file) as found:
        yield found
        assert found.said == []  # no error, no refusal of the content policy
        assert [url for url in found.asked if not url.startswith(("file:", "blob:"))] == []


def test_a_tap_ticks_the_nearest_within_a_finger(t):
    t.member("TC1")
    t.tap_mark("TC1-N3", dx=4, dy=-3)
    assert t.marks() == {"TC1-N3": "good"}
    assert t.page.locator("#panel-body h2").inner_text() == "TC1-N3"


def test_a_tap_out_of_reach_writes_nothing(t):
    reach = t.js("view.REACH")
    assert reach >= 9 * 160 / 25.4 - 0.01  # 9 mm where a px is 1/160 in
    x, y = t.spot("TC1-N1")
    t.page.touchscreen.tap(x, y - reach - 60)  # above the slope of the first nail
    assert t.marks() == {}
    assert "reach" in t.page.locator("#message").inner_text()


def test_a_second_tap_changes_nothing(t):
    t.member("W3")
    t.tap_mark("W3-N2")
    t.press("#state-missing")
    t.tap_mark("W3-N2")
    assert t.marks() == {"W3-N2": "missing"}


def test_only_the_member_in_focus_is_picked(t):
    t.member("W3")
    foreign = t.js("drawing.shown.some((i) => DATA.members[girder.group(i).member].id !== 'W3')")
    assert foreign is False


def test_every_state_of_a_nail_looks_different_without_colour(t):
    """In grey: no two states, nor a mark that was not looked at, give the same picture."""
    t.member("W2")
    x, y = t.spot("W2-N1")
    clip = {"x": x - 16, "y": y - 16, "width": 32, "height": 32}
    hide = "document.querySelectorAll('.pick, .labels').forEach((n) => n.remove())"
    t.tap_mark("W2-N1")
    t.js(hide)
    pictures = {}
    for state in ("clear", "good", "missing", "misplaced", "overdriven", "split", "wrong-size"):
        t.press(f"#state-{state}")
        assert t.marks() == ({} if state == "clear" else {"W2-N1": state})
        png = io.BytesIO(t.page.screenshot(clip=clip))
        pictures[state] = imread(png, format="png")[..., :3].mean(axis=2)
    assert t.page.locator("#state-loose").count() == 0
    for a, b in combinations(pictures, 2):
        changed = np.abs(pictures[a] - pictures[b]) > 0.375  # of black to white
        assert changed.sum() >= 12, f"{a} and {b}"


def test_a_bolt_can_be_loose_but_not_overdriven(t):
    t.page.locator("#stages button").nth(2).tap()
    t.member("BC1")
    t.tap_mark("BC1-B2")
    t.press("#state-loose")
    assert t.marks() == {"BC1-B2": "loose"}
    assert t.page.locator("#state-overdriven").count() == 0


def test_misplaced_says_how_far_and_a_note(t):
    t.member("W2")
    t.tap_mark("W2-N2")
    t.press("#state-misplaced")
    t.type_in("#mark-by", "12.5")
    t.type_in("#mark-note", "leans")
    (mark,) = t.record()["marks"]
    assert mark == {"id": "W2-N2", "state": "misplaced", "by_mm": 12.5, "note": "leans"}
    t.press("#state-split")  # the distance goes with the state, the note stays
    (mark,) = t.record()["marks"]
    assert mark == {"id": "W2-N2", "state": "split", "by_mm": None, "note": "leans"}


def test_what_is_no_length_is_refused(t):
    t.member("W2")
    t.tap_mark("W2-N2")
    t.press("#state-misplaced")
    for typed in ("-3", "abc", "1e9", "3/4", "99999", "4 5"):
        t.type_in("#mark-by", typed)
        assert t.record()["marks"][0]["by_mm"] is None
        assert typed in t.page.locator("#message").inner_text()
        assert t.page.locator("#mark-by").input_value() == ""


def test_large_buttons_step_the_distance(t):
    t.member("W2")
    t.tap_mark("W2-N2")
    t.press("#state-misplaced")
    for _ in range(3):
        t.page.get_by_role("button", name="Misplaced by (mm): More").tap()
    t.page.get_by_role("button", name="Misplaced by (mm): Less").tap()
    assert t.record()["marks"][0]["by_mm"] == 10


def test_undo_and_redo(t):
    t.member("W3")
    t.tap_mark("W3-N1")
    t.tap_mark("W3-N2")
    t.press("#state-missing")
    t.press("#undo")
    assert t.marks() == {"W3-N1": "good", "W3-N2": "good"}
    t.press("#undo")
    assert t.marks() == {"W3-N1": "good"}
    t.press("#redo")
    t.press("#redo")
    assert t.marks() == {"W3-N1": "good", "W3-N2": "missing"}
    t.press("#undo")
    t.tap_mark("W3-N3")
    assert t.page.locator("#redo").is_disabled()
    t.press("#undo")
    t.press("#undo")
    t.press("#undo")
    assert t.marks() == {}
    assert t.page.locator("#undo").is_disabled()


def test_the_rest_of_a_row_in_one_step(t):
    f = SCHEDULE.fasteners
    row = f.id[(f.member == "TC1") & (f.stage == 1) & (f.row == 1)].tolist()
    t.member("TC1")
    t.tap_mark(row[0])
    t.press("#state-split")
    t.press("#row-rest")
    assert t.marks() == {row[0]: "split"} | dict.fromkeys(row[1:], "good")
    t.press("#undo")
    assert t.marks() == {row[0]: "split"}


def test_missing_as_what_a_tap_writes(t):
    t.page.locator(".segments button", has_text="Missing").tap()
    t.member("W3")
    t.tap_mark("W3-N2")
    assert t.marks() == {"W3-N2": "missing"}
    t.page.locator(".segments button", has_text="Nothing").tap()
    t.tap_mark("W3-N1")
    assert t.marks() == {"W3-N2": "missing"}


def test_two_marks_under_one_finger_are_never_guessed(t):
    """Zoomed out until neighbours stand nearer than 2 mm: choose, tap again, or zoom in."""
    t.js("() => { view.v.least = 0.001; view.zoom(0.15, 400, 300); drawing.soon(); }")
    t.frames()
    x, y = t.spot("TC1-N9")
    t.page.touchscreen.tap(x, y)
    assert t.marks() == {}
    first = t.page.locator("#panel-body h2").inner_text()
    t.page.touchscreen.tap(x, y)
    second = t.page.locator("#panel-body h2").inner_text()
    assert t.marks() == {}
    assert first != second
    t.page.locator(".chooser .grid button", has_text=second).tap()
    assert t.marks() == {second: "good"}


def test_zoom_in_here(t):
    t.js("() => { view.v.least = 0.001; view.zoom(0.15, 400, 300); drawing.soon(); }")
    t.frames()
    x, y = t.spot("TC1-N9")
    t.page.touchscreen.tap(x, y)
    picked = t.page.locator("#panel-body h2").inner_text()
    t.press(".chooser .main")
    t.tap_mark(picked)
    assert t.marks() == {picked: "good"}


def test_the_back_face_is_mirrored_and_ticks_the_same(t):
    at = "(id) => view.toScreen(...['x', 'y'].map((k) => girder.M[k][girder.index.get(id)]))[0]"
    assert t.js(at, "BC1-N1") < t.js(at, "BC1-N20")
    t.press("#turn")
    assert t.js(at, "BC1-N1") > t.js(at, "BC1-N20")
    t.member("BC1")
    t.tap_mark("BC1-N20")
    assert t.marks() == {"BC1-N20": "good"}


def test_a_stage_from_the_back_opens_on_the_back(t):
    t.page.locator("#stages button").nth(1).tap()
    assert "Back face" in t.page.locator("#view-words").inner_text()


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_a_member_in_focus_lies_level_and_fits(browser, file, size):
    with tablet(browser, file, size) as t:
        for name in ("TC1", "TC2", "W2", "W3", "BC1"):
            t.member(name)
            ends = t.js("['hook', 'far'].map((k) => view.toScreen(...view.member()[k]))")
            width, height = t.js("[view.v.width, view.v.height]")
            assert ends[0][1] == pytest.approx(ends[1][1], abs=0.5)
            assert all(0 < x < width and 0 < y < height for x, y in ends)


def test_steps_walk_from_the_hook_end_to_the_far_end(t):
    t.member("BC1")
    seen: set[str] = set()
    inside = """() => drawing.shown.filter((i) => {
        const [x, y] = view.toScreen(girder.M.x[i], girder.M.y[i]);
        return x > 0 && x < view.v.width && y > 0 && y < view.v.height;
    }).map((i) => girder.M.id[i])"""
    t.press("#walk-on")
    assert "BC1-N1" in t.js(inside)
    for _ in range(30):
        now = set(t.js(inside))
        if now <= seen:
            break
        seen |= now
        t.press("#walk-on")
    f = SCHEDULE.fasteners
    assert seen == set(f.id[(f.member == "BC1") & (f.stage == 1)].tolist())


def test_a_finger_drags_and_does_not_tick(t):
    box = t.page.locator("#picture").bounding_box()
    x, y = box["x"] + 300, box["y"] + 250
    before = t.js("view.toScreen(0, 0)")
    cdp = t.context.new_cdp_session(t.page)
    send_touch(cdp, "touchStart", [(x, y)])
    for k in range(1, 11):
        send_touch(cdp, "touchMove", [(x + 9 * k, y - 4 * k)])
    send_touch(cdp, "touchEnd", [])
    t.frames()
    after = t.js("view.toScreen(0, 0)")
    assert after[0] - before[0] == pytest.approx(90, abs=13)  # less the slip that a tap may have
    assert after[1] - before[1] == pytest.approx(-40, abs=13)
    assert t.marks() == {}


def test_two_fingers_zoom_about_their_middle(t):
    box = t.page.locator("#picture").bounding_box()
    x, y = box["x"] + 400, box["y"] + 260
    scale = t.js("view.v.scale")
    cdp = t.context.new_cdp_session(t.page)
    send_touch(cdp, "touchStart", [(x - 50, y), (x + 50, y)])
    for k in range(1, 11):
        send_touch(cdp, "touchMove", [(x - 50 - 10 * k, y), (x + 50 + 10 * k, y)])
    send_touch(cdp, "touchEnd", [])
    t.frames()
    assert t.js("view.v.scale") == pytest.approx(3 * scale, rel=0.02)
    assert t.marks() == {}


def send_touch(cdp, kind: str, points: list[tuple[float, float]]) -> None:
    touches = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
    cdp.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches})


def test_counts_stand_against_the_number_due(t):
    f = SCHEDULE.fasteners
    due = int(((f.member == "W3") & (f.stage == 1)).sum())
    t.member("W3")
    t.tap_mark("W3-N1")
    t.tap_mark("W3-N2")
    t.press("#state-missing")
    t.press("#tab-counts")
    row = t.page.locator(".counts tr.whole", has_text="W3").locator("td").all_inner_texts()
    assert row == [str(due), "1", "1", str(due - 2)]
    total = t.page.locator(".counts").last.locator("tr.sum td").all_inner_texts()
    assert total == [str(DUE), "1", "1", str(DUE - 2)]
    t.page.locator(".counts tr.whole button", has_text="W3").tap()
    t.page.locator(".counts tr.act button").first.tap()
    assert len(t.marks()) == due


def tick_all(t: Tablet) -> None:
    for k in range(t.js("DATA.groups.length")):
        t.js("(k) => actions.tickRow(k)", k)


def what_went_in(t: Tablet) -> None:
    """Of every stage what is read off its boxes and nails, and the points that were bent."""
    for stage in t.js("DATA.stages.map((s) => [s.number, s.bent])"):
        number, bent = stage
        for field, text in (("size", "4.0 x 100"), ("finish", "zinc"), ("clenched", str(bent))):
            if t.page.locator(f"#{field}-{number}").count():
                t.type_in(f"#{field}-{number}", text)
    for button in t.page.get_by_role("button", name="as drawn").all():
        button.click()
        t.frames()


def test_partial_until_everything_is_there_and_never_a_pass(t):
    status = t.page.locator("#status")
    assert "PARTIAL" in status.inner_text()
    tick_all(t)
    assert f"{DUE} of {DUE} looked at" in status.inner_text()
    assert "PARTIAL" in status.inner_text()  # nobody has signed
    t.press("#tab-sign")
    t.type_in("#inspector", "Ida Quay")
    t.type_in("#date", "2026-03-05")
    t.type_in("#plies-gap", "1")
    t.type_in("#plies-alignment", "0")
    for n in t.js("DATA.stages.filter((s) => s.hold_point).map((s) => s.number)"):
        assert "PARTIAL" in status.inner_text()
        t.press(f"#sign-{n}")
    assert "fastener size 1" in status.inner_text()
    what_went_in(t)
    for n in t.js("DATA.stages.filter((s) => s.hold_point).map((s) => s.number)"):
        assert f"photo of hold point {n}" in status.inner_text()
        picture = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": b64decode(jpeg())}
        t.page.locator(f"#photo-{n}").set_input_files(picture)
        t.page.locator(f"#photo-{n} ~ .photo").wait_for()
    assert "COMPLETE" in status.inner_text()
    for forbidden in ("pass", "accept", "approved"):
        assert forbidden not in status.inner_text().lower()
    rec = t.record()
    assert rec["signatures"] == [
        {"stage": 1, "name": "Ida Quay", "date": "2026-03-05"},
        {"stage": 3, "name": "Ida Quay", "date": "2026-03-05"},
    ]
    assert rec["plies"] == {"gap_mm": 1, "alignment_mm": 0}


def test_a_signature_needs_a_name_and_a_date(t):
    t.press("#tab-sign")
    t.press("#sign-1")
    assert t.record()["signatures"] == []
    t.type_in("#sign-name-1", "B. Oak")
    t.type_in("#sign-date-1", "2026-04-01")
    t.press("#sign-1")
    assert t.record()["signatures"] == [{"stage": 1, "name": "B. Oak", "date": "2026-04-01"}]


def test_inches_are_typed_and_shown_in_an_imperial_job(browser, tmp_path):
    """1 1/4 in is 31.75 mm [NIST SP 811: 1 in = 25.4 mm]; kept to a hundredth."""
    page = tmp_path / "inch.html"
    page.write_text(render_html(made_schedule(units=UnitSystem.IMPERIAL)), "utf-8")
    with tablet(browser, page) as t:
        t.member("W2")
        t.tap_mark("W2-N2")
        t.press("#state-misplaced")
        t.type_in("#mark-by", "1 1/4")
        assert t.record()["marks"][0]["by_mm"] == 31.75
        assert t.page.locator("#mark-by").input_value() == "1 1/4"
        t.press("#tab-counts")
        assert 'Misplaced, 1 1/4"' in t.page.locator(".faults-list").inner_text()


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_every_button_is_wide_enough_for_a_glove(browser, file, size):
    """9 mm of a screen of 160 px per inch; common practice, no source."""
    with tablet(browser, file, size) as t:
        t.member("TC1")
        t.tap_mark("TC1-N1")
        for tab in ("mark", "counts", "sign", "record", "help"):
            t.press(f"#tab-{tab}")
            for b in t.page.locator("button:visible").all():
                box = b.bounding_box()
                assert min(box["width"], box["height"]) >= 56, b.inner_text()
            sideways = t.js("document.documentElement.scrollWidth - innerWidth")
            assert sideways <= 0
            assert t.js("byId('panel-body').scrollWidth - byId('panel-body').clientWidth") <= 0


def test_turning_the_tablet_keeps_what_was_said(t):
    t.member("TC1")
    t.tap_mark("TC1-N1")
    t.page.set_viewport_size(PORTRAIT)
    t.frames()
    assert t.marks() == {"TC1-N1": "good"}
    t.tap_mark("TC1-N3")
    assert t.marks() == {"TC1-N1": "good", "TC1-N3": "good"}
