"""Sheets of the yard hand: handling, station lists, gauge cards, sticks, bracket strips.

Distances at 1:1 are measured in the SVG itself; the bar is ten fields of 10 mm.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from lettering_faults import outside_texts, overlapping_texts, small_texts, texts_on_signs
from made_girder import made_schedule
from pypdf import PdfReader

from girderply.cli.draw import chosen_sheets
from girderply.drawing.elevation import stage_elevation
from girderply.drawing.gauge_card import Card, gauge_card
from girderply.drawing.lettering import text_box, text_width
from girderply.drawing.page import boxes_overlap
from girderply.drawing.primitives import Line
from girderply.drawing.stick import LAP, cuts, edge_of, marks
from girderply.drawing.svg import write_svg
from girderply.errors import GirderplyError
from girderply.jobfile.reader import read_job
from girderply.papers import render_svg, sheet_names
from girderply.papers.page.furniture import furniture
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import room
from girderply.papers.page.typeset import drawings
from girderply.papers.sheets import SheetError, make_sheets, on_demand, render_pdf
from girderply.papers.yard.bracket_runs import bracket_runs
from girderply.papers.yard.gauge_cards import cards
from girderply.papers.yard.runs_told import run_lines
from girderply.papers.yard.stick_list import stick_list
from girderply.schedule import cautions
from girderply.schedule.build_schedule import build_schedule
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

ROOT = Path(__file__).parents[4]
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.toml"))
METRIC = Printed("metric", ENGLISH)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@cache
def sample(name):
    return build_schedule(read_job(ROOT / "sample_jobs" / f"{name}.toml"))


def words(sheet):
    plain = [b for b in sheet.blocks if b["kind"] != "drawing"]
    said = json.dumps(plain, default=str, ensure_ascii=False)
    return said + " ".join(t.text for d in drawings(sheet) for t in d.texts())


def faults(drawing):
    return overlapping_texts(drawing), outside_texts(drawing), small_texts(drawing)


def paths(svg):
    """d of every path of an SVG."""
    return re.findall(r'\bd="([^"]+)"', svg)


def crosses(svg):
    """Centres of upright crosses, mm: paths of one level and one upright stroke."""
    found = []
    for d in paths(svg):
        m = re.fullmatch(r"M(\S+) (\S+)H(\S+)M(\S+) (\S+)V(\S+)", d)
        if m:
            x0, y0, x1, *_ = (float(v) for v in m.groups())
            found.append(((x0 + x1) / 2, y0))
    return sorted(found)


def yard_names(schedule):
    return ["know", *(f"stage-{s.number}" for s in schedule.stages), "gauge-card"]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_yard_drawings_of_every_sample_are_clean(path):
    schedule = sample(path.stem)
    sticks = [n for n in on_demand(schedule) if n in ("stick-BC1", "stick-W1")]
    assert sticks
    for sheet in make_sheets(schedule, [*yard_names(schedule), *sticks]):
        free = room(sheet.size)
        for drawing in (*drawings(sheet), *sheet.plots):
            assert faults(drawing) == ([], [], []), (sheet.name, drawing.name)
            assert texts_on_signs(drawing) == [], (sheet.name, drawing.name)
        for drawing in drawings(sheet):
            assert drawing.width <= free.width + 0.01, (sheet.name, drawing.name)
            assert drawing.height <= free.height, (sheet.name, drawing.name)


def test_row_one_is_the_lower_one_whichever_end_the_tape_hooks_at():
    """Common practice, no source: rows are counted from the edge that is down."""
    schedule = sample("two-ply-howe")
    f = schedule.fasteners
    for name in ("TC1", "TC2", "BC1"):
        member = schedule.girder.member(name)
        mine = f.select((f.member == name) & (f.kind == "nail"))
        line = member.to_elevation(np.column_stack([mine.station, np.zeros(len(mine))]))
        above = mine.y - line[:, 1]
        assert above[mine.row == 1].max() < 0.0 < above[mine.row == 2].min()


def test_stage_sheets_say_who_lifts_what():
    schedule = sample("two-ply-howe")
    first, last = make_sheets(schedule, ["stage-1", "stage-2"])
    nails = int(schedule.fasteners.driven.sum())  # 4.0 x 100 of steel, 7 850 kg/m3
    mass = schedule.masses.plies + nails * np.pi / 4 * 4.0**2 * 100.0 * 7.85e-6
    assert "Lay plies 1 and 2 one by one: 78.1\u00a0kg, crane or hoist." in words(first)
    assert f"Turn plies 1 and 2 over: {round(mass)}\u00a0kg, crane or hoist." in words(last)


def test_the_first_sheet_of_an_imperial_job_has_no_metric_figure():
    said = words(make_sheets(sample("two-ply-imperial"), ["know"])[0])
    assert not re.search(r'\d\s?(?:mm|kg)\b(?!")', said), "widths of columns end in a quote"
    assert "16'-0" in said, "half of 32 ft: the girder is symmetric"
    assert re.search(r"51\.0\W+lb", said), "one person, NIOSH, 51 lb"


def test_a_long_girder_is_told_to_join_in_place():
    schedule = made_schedule(2)
    assert "Long girder" not in words(make_sheets(schedule, ["know"])[0])
    girder = schedule.girder
    chord = girder.member("BC1")
    longer = chord.outline + np.where(chord.outline[:, :1] > 5000, [3000.0, 0.0], [0.0, 0.0])
    members = tuple(replace(m, outline=longer) if m.id == "BC1" else m for m in girder.members)
    long = replace(schedule, girder=replace(girder, members=members))
    said = words(make_sheets(long, ["know"])[0])
    for phrase in ("Nothing is turned over", "within reach", "drilled in place", "braced"):
        assert phrase in said


def test_one_card_for_each_distinct_pattern():
    found = cards(ENGLISH, sample("two-ply-howe"))
    assert [c.members for c in found] == [
        ("TC1", "TC2", "BC1"),
        tuple(f"W{i}" for i in range(1, 10)),
    ]
    assert found[0].rows == pytest.approx((65.0, 130.0)), "195 deep, gauge 65"
    assert found[1].rows == pytest.approx((47.5,))


def test_holes_of_a_card_are_at_true_size_from_the_edge():
    """Measured in the SVG: zigzag of 150 centres, rows 65 and 130 from the edge."""
    (card, _) = cards(ENGLISH, sample("two-ply-howe"))
    svg = write_svg(gauge_card(ENGLISH, card, METRIC, (167.0, 190.0)))
    (x1, y1), (x2, y2) = crosses(svg)
    edge = max(float(NUMBER.findall(d)[1]) for d in paths(svg) if re.match(r"M0 \S+L167 ", d))
    assert x2 - x1 == pytest.approx(150.0, abs=0.011)
    assert edge - y1 == pytest.approx(65.0, abs=0.011)
    assert edge - y2 == pytest.approx(130.0, abs=0.011)


def test_a_short_repeat_is_on_the_card_whole():
    card = Card("c", ("W1",), 120.0, (40.0, 80.0), ("row 1", "row 2"), 60.0, True, 72.1)
    drawing = gauge_card(ENGLISH, card, METRIC, (167.0, 190.0))
    svg = write_svg(drawing)
    xs = [x for x, _ in crosses(svg)]
    assert np.diff(sorted(xs)) == pytest.approx([60.0, 60.0], abs=0.011)
    said = " ".join(t.text for t in drawing.texts())
    assert "longer than the page" not in said
    assert faults(drawing) == ([], [], [])


def test_rows_that_do_not_fit_are_said_to_be_cut():
    card = Card("c", ("BC1",), 300.0, (90.0, 230.0), ("row 1", "row 2"), 75.0, True, 158.8)
    drawing = gauge_card(ENGLISH, card, METRIC, (167.0, 190.0))
    said = " ".join(t.text for t in drawing.texts()).replace("\u00a0", " ")
    assert "row 2 is 230 mm from this edge, 70 mm from the other" in said
    assert {y for _, y in crosses(write_svg(drawing))} != set()
    assert drawing.height <= 190.0


def stick_svg(schedule, member):
    """The whole stick at 1:1, as it goes to a plotter."""
    (plot,) = stick_list(ENGLISH, schedule, member).plots
    return write_svg(plot)


def test_a_stick_has_every_station_at_its_distance_from_the_hook_end():
    """Ticks measured in the SVG of the plot: upright lines that stand on the edge of the stick."""
    schedule = sample("six-ply")
    member = schedule.girder.member("BC1")
    svg = stick_svg(schedule, member)
    (width,) = re.findall(r'<svg[^>]* width="([\d.]+)mm"', svg)
    assert float(width) == pytest.approx(member.length + 2 * LAP, abs=0.01)
    ticks = set()
    for d in paths(svg):
        numbers = [float(v) for v in NUMBER.findall(d)]
        if (
            len(numbers) == 4
            and numbers[0] == numbers[2]
            and round(numbers[1] - numbers[3], 2) == 7.0
        ):
            ticks.add(numbers[0] - LAP)
    f = schedule.fasteners
    due = sorted(set(f.station[f.member == "BC1"].tolist()))
    for station in due:
        assert min(abs(t - station) for t in ticks) <= 0.25 + 0.006, "half a millimetre together"
    tags = ",".join(i for m in marks(ENGLISH, schedule, member) for i in m.ids).split(",")
    assert sorted(tags) == sorted(f.id[f.member == "BC1"].tolist())
    for sentence in cautions.scope():
        assert english(sentence).split(".")[0][:30] in svg
    assert schedule.content_hash[:12] in svg


def test_the_bar_on_a_plot_is_100_mm():
    svg = stick_svg(made_schedule(2), made_schedule(2).girder.member("W1"))
    fields = []
    for d in paths(svg):
        n = [float(v) for v in NUMBER.findall(d)]
        if d.endswith("Z") and len(n) == 8:
            wide, high = max(n[::2]) - min(n[::2]), max(n[1::2]) - min(n[1::2])
            if abs(wide - 10.0) < 0.011 and abs(high - 2.0) < 0.011:
                fields += [min(n[::2]), max(n[::2])]
    assert len(fields) == 20
    assert max(fields) - min(fields) == pytest.approx(100.0, abs=0.011)


def test_strips_of_a_stick_join_up_and_hold_each_label_once():
    schedule = sample("two-ply-howe")
    member = schedule.girder.member("TC1")
    found = marks(ENGLISH, schedule, member)
    spans = list(cuts(member.length, 150.0, found))
    assert spans[0][0] == 0.0
    assert spans[-1][1] == pytest.approx(member.length)
    assert all(a[1] == b[0] for a, b in pairwise(spans))
    (sheet,) = make_sheets(schedule, ["stick-TC1"])
    labels = Counter(
        t.text for d in drawings(sheet) for t in d.texts() if re.search(r" st\d| B\d", t.text)
    )
    assert labels == Counter(m.text for m in found)
    for drawing, (start, _) in zip(drawings(sheet), spans, strict=True):
        for s in drawing.shapes:
            if isinstance(s, Line) and s.tag.startswith("tick:"):
                first = s.tag[5:].partition(",")[0]
                f = schedule.fasteners
                station = float(f.station[f.id == first][0])
                assert s.a == pytest.approx((station - start + LAP, edge_of(found)), abs=0.26)


def test_a_crowded_stick_is_cut_shorter():
    """Sixty stations 2.5 mm apart; a label takes 2.5 * 1.36 + 0.3 = 3.7 mm of a strip's width."""
    schedule = made_schedule(2)
    one = marks(ENGLISH, schedule, schedule.girder.member("BC1"))[0]
    crowd = [replace(one, station=2.5 * k) for k in range(60)]
    spans = list(cuts(150.0, 150.0, crowd))
    assert len(spans) > 1
    assert sum(b - a for a, b in spans) == pytest.approx(150.0)
    for a, b in spans:
        labels = sum(a <= m.station < b for m in crowd)
        assert labels * 3.7 <= b - a + 2 * LAP
    assert list(cuts(150.0, 150.0, crowd[::4])) == [(0.0, 150.0)], "15 labels have room"


def test_sticks_come_on_demand_only():
    schedule = made_schedule(2)
    assert not [n for n in sheet_names(schedule) if n.startswith("stick-")]
    assert chosen_sheets(schedule, []) == list(sheet_names(schedule))
    assert chosen_sheets(schedule, ["stick-BC1", "know"]) == ["know", "stick-BC1"]
    assert list(render_svg(schedule, "stick-BC1")) == ["G1-stick-BC1"]
    with pytest.raises(SheetError, match="no sheet 'stick-BC9'"):
        make_sheets(schedule, ["stick-BC9"])
    with pytest.raises(GirderplyError, match="did you mean 'stick-BC1'"):
        chosen_sheets(schedule, ["stik-BC1"])


def test_a_failed_girder_says_so_on_its_stick():
    schedule = made_schedule(2, failed=True)
    assert english(cautions.not_for_assembly()) in stick_svg(schedule, schedule.girder.member("W3"))


def test_gauge_cards_are_at_true_size_with_bar_and_title_block():
    schedule = sample("two-ply-howe")
    (sheet,) = make_sheets(schedule, ["gauge-card"])
    assert (sheet.size, sheet.scale) == ("A4", "1:1")
    said = " ".join(t.text for t in furniture(ENGLISH, heading_of(schedule), sheet).texts())
    assert "This bar is 100 mm long" in said
    assert all(crosses(write_svg(d)) for d in drawings(sheet))


def test_bracket_strips_show_each_bracket_once_on_its_own_face():
    """Stations on paper from the hook end; the back face is mirrored."""
    schedule = sample("three-ply-pratt")
    found = [d for d in drawings(make_sheets(schedule, ["know"])[0]) if "brackets" in d.name]
    named = Counter(t.text.partition("  ")[0] for d in found for t in d.texts() if "  " in t.text)
    assert named == Counter(m.load for m in schedule.brackets)
    assert {d.name.split("-")[2] for d in found} == {"front", "back"}


def test_brackets_that_are_alike_are_told_as_one_run():
    """Every bracket is in one run, at its own station; by hand: 600 to 9 000 every 600."""
    schedule = sample("two-ply-howe")
    (run,) = bracket_runs(schedule)
    assert (run.marks[0].station, run.step, len(run.marks)) == (600.0, 600.0, 15)
    for name in ("three-ply-pratt", "four-ply-parallel", "six-ply"):
        runs = bracket_runs(sample(name))
        told = {(m.load, round(r.marks[0].station + k * r.step, 1))
                for r in runs for k, m in enumerate(r.marks)}  # fmt: skip
        assert told == {(m.load, round(m.station, 1)) for m in sample(name).brackets}


def test_seats_lie_at_their_stations_and_heights():
    schedule = sample("two-ply-howe")
    found = [d for d in drawings(make_sheets(schedule, ["know"])[0]) if "brackets" in d.name]
    seats = [s for s in found[0].shapes if s.tag == "seat"]
    middles = sorted((s.a[0] + s.b[0]) / 2 for s in seats)
    gaps = {round(b - a, 3) for a, b in pairwise(middles)}
    assert gaps == {12.0}, "600 mm at 1:50"
    hook = next(s for s in found[0].shapes if s.tag == "hook" and isinstance(s, Line))
    assert middles[0] - hook.a[0] == pytest.approx(600 / 50 + 0.9, abs=0.01), "bar 0.9 outside"


def test_bolts_of_two_sizes_are_told_apart_where_they_are_drilled():
    """Two holes of 17 mm for M16 among those of 13 mm: every sheet says which crosses they are."""
    schedule = sample("four-ply-parallel")
    f, show = schedule.fasteners, Printed("metric", ENGLISH)
    (thick,) = (s for s in schedule.bolts if s.startswith("M16"))
    stage = schedule.stages[-1]
    action = " ".join(map(english, stage.action)).replace("\u00a0", " ")
    assert "13 mm for M12, 17 mm for M16" in action
    assert "a washer and a nut at both ends" in action, "rods have no head"
    lines = list(run_lines(ENGLISH, schedule, stage))
    told = {n.first for n in lines if "M16" in n.what}
    assert told == {show.station(float(s)) for s in f.station[f.spec == thick]}


def test_a_strip_names_the_bolts_of_each_size():
    """Two M16 hold the bracket of load P; which holes are the larger ones is read at the strip."""
    schedule = sample("four-ply-parallel")
    (sheet,) = make_sheets(schedule, ["stage-4"])
    f = schedule.fasteners
    large = [i for i, s, m in zip(f.id, f.spec, f.member, strict=True) if "M16" in s and m == "TC1"]
    names = ", ".join(i.rpartition("-")[2] for i in large)
    assert len(large) == 2
    assert f"M16: {names}; the others M12" in words(sheet)
    assert "17 bolts; M12; hook end" in words(sheet)


def test_the_line_from_a_name_to_its_member_crosses_no_other_name():
    """On A4 the webs at the heels have no room beside them."""
    lines = 0
    for name in ("two-ply-howe", "three-ply-pratt", "truncated-nodes"):
        schedule = sample(name)
        for stage in schedule.stages:
            drawing = stage_elevation(ENGLISH, schedule, stage, room("A4").width, 80.0)
            own = [drawing.shapes[k + 1] for k, s in enumerate(drawing.shapes) if s.tag == "leader"]
            for line, text in zip(drawing.tagged("leader"), own, strict=True):
                lines += 1
                for k in range(41):
                    x, y = (a + (z - a) * k / 40 for a, z in zip(line.a, line.b, strict=True))
                    spot = ((x, y), (x + 0.01, y), (x + 0.01, y + 0.01), (x, y + 0.01))
                    over = [t.text for t in drawing.texts() if boxes_overlap(text_box(t), spot)]
                    assert over in ([], [text.text]), (name, stage.number)
    assert lines


def test_a_gauge_card_calls_planks_in_inches_by_their_name():
    (sheet,) = make_sheets(sample("two-ply-imperial"), ["gauge-card"])
    told = words(sheet).replace("\u00a0", " ")
    assert "2x8 (7 1/4" in told
    assert "2x4 (3 1/2" in told


def test_on_a4_the_brackets_of_both_faces_stand_on_the_sheet_after_the_first():
    pages = PdfReader(BytesIO(render_pdf(sample("three-ply-pratt"), ["know"], "A4"))).pages
    assert len(pages) == 2


def test_words_on_a_gauge_card_keep_clear_of_its_dimensions():
    """The line of use ends right of every upright dimension line."""
    for card in cards(ENGLISH, sample("three-ply-pratt")):
        drawing = gauge_card(ENGLISH, card, METRIC, (room("A4").width, room("A4").height))
        (use,) = (t for t in drawing.texts() if t.text.startswith("lay this line"))
        left = use.at[0] - text_width(use.text, use.height)
        uprights = [t.at[0] for t in drawing.texts() if t.tag == "offset"]  # in their lines
        assert uprights
        assert max(uprights) < left


@pytest.mark.parametrize("name", ["two-ply-howe", "three-ply-pratt"])
def test_the_first_sheet_says_what_is_due_by_which_length_and_placed(name):
    """Counted again: the members' due, and nails of every member that cross the first interface."""
    schedule = sample(name)
    f = schedule.fasteners
    due = sum(math.ceil(p.rows * p.due_over / p.pitch - 1e-6) for p in schedule.patterns)
    placed = int((f.driven & f.crosses(1)).sum())
    said = words(make_sheets(schedule, ["know"])[0])
    assert f"{due} on the free length; at least {placed} placed" in said
