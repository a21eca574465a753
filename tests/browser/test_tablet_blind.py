"""Counting blind on the tablet: what is due is nowhere on the screen before a number was given."""

from __future__ import annotations

import base64
import io
import json
import re

import numpy as np
import pytest
from browser import open_counting, tablet
from inspection_records import jpeg, sample
from PIL import Image

from girderply.inspection.judge import inspect
from girderply.inspection.record import parse_record
from girderply.papers.tablet.page_file import render_html

HOWE = sample("two-ply-howe")
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    path = tmp_path_factory.mktemp("blind") / "page.html"
    path.write_text(render_html(HOWE), "utf-8")
    return path


@pytest.fixture
def t(browser, file):
    with tablet(browser, file) as page:
        yield page


def due(member, stage=1, kind="nail", row=None):
    f = HOWE.fasteners
    mask = (f.member == member) & (f.stage == stage) & (f.kind == kind)
    return int((mask if row is None else mask & (f.row == row)).sum())


def line(t, member, row, kind="nail", stage=1):
    """Number of the line that asks for a row."""
    code = (
        "([m, s, k, r]) => blind.lines.findIndex((l) => DATA.members[l.member].id === m"
        " && l.stage === s && l.kind === k && l.row === r)"
    )
    return t.js(code, [member, stage, kind, row])


def count(t, member, row, found, kind="nail", stage=1):
    n = line(t, member, row, kind, stage)
    t.page.locator(f"#found-{n}").fill(str(found))
    t.press(f"#take-{n}")
    return n


def test_nothing_on_the_screen_says_what_is_due(t):
    seen = t.page.locator("#app").inner_text()
    numbers = set(re.findall(r"\d+", seen))
    f = HOWE.fasteners
    totals = {str(len(f)), *(str(int((f.stage == s.number).sum())) for s in HOWE.stages)}
    assert not totals & numbers
    assert t.js("drawing.shown.length") == 0
    assert (
        f"0 of {t.js('blind.lines.length')} rows counted" in t.page.locator("#status").inner_text()
    )


def test_a_number_shows_what_is_due_and_draws_the_row(t):
    t.member("TC1")
    n = count(t, "TC1", 1, due("TC1", row=1))
    said = t.page.locator("#panel-body").inner_text()
    assert f"{due('TC1', row=1)} found, as required" in said
    assert t.js("drawing.shown.length") == due("TC1", row=1)
    (counted,) = t.record()["counts"]
    assert counted == {
        "member": "TC1", "stage": 1, "row": 1, "kind": "nail",
        "due": due("TC1", row=1), "found": due("TC1", row=1),
    }  # fmt: skip
    t.press(f"#again-{n}")
    assert t.record()["counts"] == []
    assert t.js("drawing.shown.length") == 0


def test_short_asks_for_marks_and_more_asks_to_count_again(t):
    t.member("TC1")
    count(t, "TC1", 1, due("TC1", row=1) - 1)
    assert "1 short. Mark in the drawing" in t.page.locator("#panel-body").inner_text()
    name = t.js("girder.M.id[drawing.shown[2]]")
    t.press("#walk-on")
    t.tap_mark(name)
    assert t.marks() == {name: "missing"}
    t.press("#tab-counts")
    assert "1 short, and marked" in t.page.locator("#panel-body").inner_text()
    t.member("TC2")
    count(t, "TC2", 1, due("TC2", row=1) + 30)
    assert "too many. Count again" in t.page.locator("#panel-body").inner_text()


def test_figures_and_enter_go_through_a_stage_also_from_one_member_in_view(t):
    """What is typed after the last row of a member goes into the next one, and is not lost."""
    t.member("TC1")
    lines = t.js("blind.of(1).map((l) => [blind.lines.indexOf(l), l.due])")
    t.press(f"#found-{lines[0][0]}")
    for n, many in lines:
        assert t.js("document.activeElement.id") == f"found-{n}"
        t.page.keyboard.type(str(many))
        t.page.keyboard.press("Enter")
        t.frames()
    assert len(t.record()["counts"]) == len(lines)


def test_the_next_girder_is_shown_whole_and_offers_the_name(t):
    """It is offered, and not taken over: another person may hold the tablet now."""
    t.press("#tab-sign")
    t.type_in("#inspector", "T. Tablet")
    t.member("TC1")
    t.page.locator("#piece").select_option("2")
    t.frames()
    assert t.js("view.v.member") is None
    assert t.record()["inspector"] == ""
    t.press("#same-name")
    assert t.record()["inspector"] == "T. Tablet"


@pytest.mark.parametrize("by", ["finger", "mouse"])
def test_what_is_typed_is_kept_and_the_touch_that_ends_it_does_its_work(t, by):
    """As it is done: type, touch the next thing, type; nobody taps twice, nothing is lost."""

    def touch(where):
        spot = t.page.locator(where).first
        return spot.tap() if by == "finger" else spot.click()

    t.press("#tab-sign")
    for where, text in (("#inspector", "T. Tablet"), ("#plies-gap", "0.5"),
                        ("#plies-alignment", "2"), ("#size-1", "4 x 100"), ("#finish-1", "zinc"),
                        ("#finish-2", "zinc"), ("#clenched-1", "7"),
                        ("#record-note", "sound")):  # fmt: skip
        touch(where)
        t.frames()  # nobody types before the field is painted
        assert t.js("'#' + document.activeElement.id") == where
        t.page.keyboard.type(text)
    touch("button:text-is('as drawn')")
    t.frames()
    made = t.record()
    assert (made["inspector"], made["note"]) == ("T. Tablet", "sound")
    assert made["plies"] == {"gap_mm": 0.5, "alignment_mm": 2}
    one, two = made["stages"]
    assert (one["nails"], one["finish"], one["clenched"]) == (
        [{"d_mm": 4, "length_mm": 100, "read_from": "box"}], "zinc", 7,
    )  # fmt: skip
    assert (two["finish"], two["washers"]) == ("zinc", "as drawn")
    # a button beside a field goes on from what was typed into it just now
    touch("#plies-gap")
    t.page.keyboard.press("Control+A")
    t.page.keyboard.type("3")
    touch("#plies-gap ~ button")
    t.frames()
    assert t.record()["plies"]["gap_mm"] == 4


def test_no_number_is_no_count(t):
    for wrong in ("", "19 of 19", "-3", "1.5"):
        count(t, "TC1", 1, wrong)
    assert t.record()["counts"] == []


def every_line(t):
    return t.js(
        "blind.lines.map((l) => [DATA.members[l.member].id, l.stage, l.kind, l.row, l.due])"
    )


def test_a_whole_girder_by_one_number_and_one_tap_a_row_is_accepted(t, tmp_path):
    """As it is done: count, say what went in, sign; no mark, since nothing is wrong."""
    taps = 0
    for stage in HOWE.stages:
        t.page.locator("#stages button").nth(stage.number - 1).tap()
        t.press("#tab-counts")
        for member, number, kind, row, many in every_line(t):
            if number == stage.number:
                count(t, member, row, many, kind, stage.number)
                taps += 1
    assert taps == len(every_line(t))
    t.press("#tab-sign")
    t.type_in("#inspector", "T. Tablet")
    t.type_in("#date", "2026-11-30")
    t.type_in("#plies-gap", "0")
    t.type_in("#plies-alignment", "1")
    for stage in HOWE.stages:
        n, f = stage.number, HOWE.fasteners
        mine = f.stage == n
        if (mine & f.driven).any():
            nail = HOWE.nails[str(f.spec[mine & f.driven][0])]
            t.type_in(f"#size-{n}", f"{nail.d:g} x {nail.length:g}")
        t.type_in(f"#finish-{n}", "zinc")
        if (mine & (f.kind == "bolt")).any():
            t.page.get_by_role("button", name="as drawn").first.tap()
        if (mine & f.clench).any():
            t.type_in(f"#clenched-{n}", str(int((mine & f.clench).sum())))
        if stage.hold_point:
            t.type_in(f"#sign-date-{n}", "2026-11-30")
            t.press(f"#sign-{n}")
    holds = [s.number for s in HOWE.stages if s.hold_point]
    for left, n in zip(range(len(holds), 0, -1), holds, strict=True):
        assert f"photo of hold point {n}" in t.page.locator("#status").inner_text()
        assert t.page.get_by_text("A photo is asked for.").count() == left
        t.page.locator(f"#photo-{n}").set_input_files(
            {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": base64.b64decode(jpeg(80, 60))}
        )
        t.page.locator(".thumb").nth(len(holds) - left).wait_for()
    assert "COMPLETE" in t.page.locator("#status").inner_text()
    path = t.export(tmp_path / "r.json")
    found = inspect(HOWE, parse_record(path.read_text("utf-8"), HOWE))
    assert found.verdict == "accepted", found.reasons


def picture(width, height):
    """A noisy photograph, which no coder makes small."""
    dice = np.random.default_rng(3)
    content = io.BytesIO()
    pixels = dice.integers(0, 255, (height, width, 3), dtype=np.uint8)
    Image.fromarray(pixels).save(content, "JPEG", quality=95)
    return content.getvalue()


def test_a_photo_is_made_small_kept_and_read(t):
    t.press("#tab-sign")
    photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture(2400, 1600)}
    t.page.locator("#photo-1").set_input_files(photo)
    t.page.locator(".thumb").first.wait_for()
    (kept,) = t.record()["photos"]
    assert kept["of"] == "stage 1"
    size = Image.open(io.BytesIO(base64.b64decode(kept["jpeg"]))).size
    assert size == (kept["width"], kept["height"])
    assert abs(size[0] / size[1] - 1.5) < 0.02
    assert len(kept["jpeg"]) <= 120_000
    # it outlives a reload, and the other side reads it
    t.page.reload()
    t.frames()
    assert t.record()["photos"] == [kept]
    read = parse_record(json.dumps(t.record()), HOWE)
    assert read.photos[0].jpeg == kept["jpeg"]
    t.press("#tab-sign")
    t.page.locator("#photo-1").set_input_files(
        {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}
    )
    t.page.locator("#message p", has_text="no picture").wait_for()
    assert len(t.record()["photos"]) == 1
    assert t.said == []


def test_a_row_that_is_off_its_marks_is_said_by_how_much_and_which_way(t):
    t.member("TC1")
    n = count(t, "TC1", 1, due("TC1", row=1))
    t.press(f"#shift-{n}")
    t.type_in("#shift-along", "15")
    t.page.get_by_role("button", name="towards the hook end").tap()
    t.type_in("#shift-across", "4")
    t.page.get_by_role("button", name="downwards").tap()
    t.press("#shift-set")
    (said,) = t.record()["shifts"]
    chord = HOWE.girder.member("TC1")
    up = 1.0 if chord.far[0] > chord.hook[0] else -1.0  # offsets count to the left of the tape
    assert said == {"member": "TC1", "stage": 1, "row": 1, "along_mm": -15, "across_mm": -4 * up}
    assert parse_record(json.dumps(t.record()), HOWE).shifts[0].along_mm == -15
    assert "15" in t.page.locator("#panel-body").inner_text()


def test_a_firm_may_show_what_is_due_from_the_start(browser, tmp_path):
    path = tmp_path / "open.html"
    path.write_text(render_html(open_counting(HOWE)), "utf-8")
    with tablet(browser, path) as t:
        assert t.js("drawing.shown.length") == int((HOWE.fasteners.stage == 1).sum())
        assert t.page.locator("#tab-mark").get_attribute("aria-pressed") == "true"


def test_on_a_phone_nothing_is_beside_the_screen(browser, file):
    with tablet(browser, file, size=PHONE) as t:
        wide = t.js("document.documentElement.scrollWidth")
        assert wide <= PHONE["width"]
        n = line(t, "TC1", 1)
        box = t.page.locator(f"#take-{n}").bounding_box()
        assert box is not None
        assert box["x"] + box["width"] <= PHONE["width"]
        assert min(box["width"], box["height"]) >= 44
