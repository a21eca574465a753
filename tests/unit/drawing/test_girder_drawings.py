"""Drawings of a made girder: every fastener is drawn, where it is, and as people see it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from job_mutations import as_text
from lettering_faults import outside_texts, overlapping_texts, small_texts
from made_girder import made_schedule
from made_schedules import sample
from random_jobs import random_girder

from girderply.drawing.elevation import overall_elevation, stage_elevation, thumbnail
from girderply.drawing.legend import Shown, legend
from girderply.drawing.primitives import Circle, Cross, Dot, Line, Text
from girderply.drawing.run_tiers import bolt_words
from girderply.drawing.runs_shown import runs_of
from girderply.drawing.section import stack_section
from girderply.drawing.seen import points_to_clench
from girderply.drawing.strip_plan import StripPlan
from girderply.drawing.strips import shelves, strip_blocks
from girderply.drawing.symbols import as_points, edge_y, hatch
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.units.show import Printed
from girderply.wording import ENGLISH

PLIES = (2, 3, 6)


@pytest.fixture(params=PLIES, ids=lambda n: f"{n} plies")
def schedule(request):
    return made_schedule(request.param)


def fastener_tags(drawing):
    return Counter(s.tag for s in drawing.shapes if isinstance(s, Dot | Cross) and ":" in s.tag)


def due(f):
    return Counter(f"{k}:{i}" for k, i in zip(f.kind.tolist(), f.id.tolist(), strict=True))


def clean(drawing):
    return overlapping_texts(drawing), outside_texts(drawing), small_texts(drawing)


def test_elevation_draws_every_fastener_once(schedule):
    drawing = overall_elevation(ENGLISH, schedule, 377.0, 200.0)
    assert fastener_tags(drawing) == due(schedule.fasteners)
    assert clean(drawing) == ([], [], [])


def test_no_joint_is_said_to_be_where_the_job_does_not_have_it():
    """Nodes A and G of the sample lie 40 mm beyond the timber: 0 and 10 800 are its ends."""
    texts = {
        t.text.replace("\u00a0", " ")
        for t in overall_elevation(ENGLISH, sample("truncated-nodes"), 377.0, 200.0).texts()
    }
    assert {"0", "B  1 600", "F  9 200"} <= texts
    assert not [t for t in texts if t.startswith(("A  ", "G  "))]


def test_elevation_puts_them_where_they_are(schedule):
    """Two fasteners' distance on paper is their distance in the girder over the scale."""
    drawing = overall_elevation(ENGLISH, schedule, 377.0, 200.0)
    at = {s.tag.partition(":")[2]: s.centre for s in drawing.shapes if ":" in s.tag}
    f = schedule.fasteners
    dx = (f.x - f.x[0]) / drawing.scale
    dy = -(f.y - f.y[0]) / drawing.scale
    first = at[str(f.id[0])]
    drawn = np.array([at[str(i)] for i in f.id]) - first
    assert drawn == pytest.approx(np.column_stack([dx, dy]), abs=1e-6)


def test_every_member_and_load_is_named(schedule):
    drawing = overall_elevation(ENGLISH, schedule, 377.0, 200.0)
    texts = [t.text for t in drawing.texts()]
    assert Counter(m.id for m in schedule.girder.members) <= Counter(texts)
    assert Counter(h.id for h in schedule.girder.loads) <= Counter(texts)
    assert {"9\u00a0663", "2\u00a0077"} <= set(texts)


def test_a_joint_before_the_end_of_the_tape_is_not_told_as_at_it(schedule):
    """A joint 40 mm outside the hook end stands at -40, where no tape reaches, and not at 0."""
    girder = schedule.girder
    chord = next(m for m in girder.members if m.id == "BC1")
    first = chord.joints[0]
    moved = tuple(replace(j, x=chord.hook[0] - 40.0) if j.id == first else j for j in girder.joints)
    drawing = overall_elevation(
        ENGLISH, replace(schedule, girder=replace(girder, joints=moved)), 377.0, 200.0
    )
    texts = [t.text for t in drawing.texts()]
    assert f"{first}  -40" in texts
    assert f"{first}  0" not in texts


def test_stage_shows_its_own_strong_and_the_earlier_light(schedule):
    f = schedule.fasteners
    for stage in schedule.stages:
        drawing = stage_elevation(ENGLISH, schedule, stage, 236.0, 120.0)
        assert fastener_tags(drawing) == due(f.select(f.stage <= stage.number))
        light = {s.tag.partition(":")[2] for s in drawing.shapes
                 if isinstance(s, Dot | Cross) and s.pen.name.endswith("light")}  # fmt: skip
        now = (f.stage == stage.number) | points_to_clench(schedule, stage)
        assert light == set(f.id[(f.stage < stage.number) & ~now].tolist())
        assert clean(drawing) == ([], [], [])


def test_back_face_up_is_mirrored_and_heads_are_filled_where_seen():
    schedule = made_schedule(3)
    front, back = schedule.stages[0], schedule.stages[1]
    assert (front.face_up, back.face_up) == ("front", "back")
    a, b = (stage_elevation(ENGLISH, schedule, s, 236.0, 120.0) for s in (front, back))
    ids = [str(i) for i in schedule.fasteners.id[schedule.fasteners.stage == 1]]
    x = {
        d.name: {s.tag.partition(":")[2]: s for s in d.shapes if isinstance(s, Dot)} for d in (a, b)
    }
    sums = {round(x["stage-1"][i].centre[0] + x["stage-2"][i].centre[0], 6) for i in ids}
    assert len(sums) == 1, "each one lies at its mirror image about one line"
    assert all(x["stage-1"][i].filled and not x["stage-2"][i].filled for i in ids)
    texts = [t for t in b.texts() if t.tag == "end"]
    assert [t.text for t in sorted(texts, key=lambda t: t.at[0])][::2] == ["right end", "left end"]


def runs(schedule, member, stages=None):
    found = [r for s in schedule.stages for r in runs_of(ENGLISH, schedule, s.number)]
    return [r for r in found if r.member == member and (stages is None or r.stage in stages)]


def blocks_of(schedule, name, plan, words=""):
    member = schedule.girder.member(name)
    return strip_blocks(ENGLISH, schedule, member, plan, (name, words), runs(schedule, name))


def test_strips_draw_every_fastener_of_their_member_and_its_runs(schedule):
    f = schedule.fasteners
    for member in schedule.girder.members:
        blocks = blocks_of(schedule, member.id, StripPlan(10, "front", 377.0))
        drawings = shelves(blocks, "s", 377.0)
        tags = sum((fastener_tags(d) for d in drawings), Counter())
        assert tags == due(f.select(f.member == member.id))
        assert all(clean(d) == ([], [], []) for d in drawings)
        assert max(d.height for d in drawings) < 195.0


def test_a_bolts_name_stands_beside_its_own_mark_where_others_of_its_comb_are_left_out():
    """Bolts beside loads at 900: a comb with a mark under a plate. Its names do not move up."""
    schedule = build_schedule(parse_job(as_text(random_girder(2))))
    bolts = schedule.fasteners.select(schedule.fasteners.kind == "bolt")
    combs = [r for r in schedule.runs if r.kind == "bolt" and r.marks > 1]
    assert any(r.left_out for r in combs), "the case that was wrong"
    show, in_combs = Printed("metric", ENGLISH), {r.id for r in combs}
    for member in {str(m) for m in bolts.member}:
        mine, named = bolts.select(bolts.member == member), 0
        columns = (mine.id.tolist(), mine.station.tolist(), mine.run.tolist())
        said = {  # a mark of a comb is told below the strip, and only named above it
            i.rpartition("-")[2] if run in in_combs else bolt_words(ENGLISH, i, at, None, show): at
            for i, at, run in zip(*columns, strict=True)
        }
        for block in blocks_of(schedule, member, StripPlan(10, "front", 377.0)):
            texts = [s for s in block.shapes if isinstance(s, Text) and s.text in said]
            left = [t.at[0] - said[t.text] / 10 for t in texts]
            right = [t.at[0] + said[t.text] / 10 for t in texts]
            assert min(np.ptp(left), np.ptp(right)) < 8.0, "each over its mark, at 1:10"
            named += len(texts)
        assert named == len(mine)


def test_a_strip_shows_the_hook_end_where_people_see_it():
    schedule = made_schedule(2)
    sides = {}
    for name in ("BC1", "TC2"):
        for face in ("front", "back"):
            block = blocks_of(schedule, name, StripPlan(50, face, 377.0))[0]
            hook = next(s for s in block.shapes if s.tag == "hook" and isinstance(s, Line))
            timber = next(s for s in block.shapes if s.tag == "timber")
            middle = sum(p[0] for p in timber.points) / len(timber.points)
            sides[name, face] = "left" if hook.a[0] < middle else "right"
    assert sides == {
        ("BC1", "front"): "left", ("BC1", "back"): "right",
        ("TC2", "front"): "right", ("TC2", "back"): "left",
    }  # fmt: skip


@pytest.mark.parametrize("face", ["front", "back"])
@pytest.mark.parametrize("name", ["BC1", "TC2"])
def test_up_on_a_strip_is_up_on_the_girder(name, face):
    """The higher of two rows in the elevation is the higher one on the strip."""
    schedule = made_schedule(2)
    f = schedule.fasteners
    member = schedule.girder.member(name)
    block = blocks_of(schedule, name, StripPlan(50, face, 377.0))[0]
    mine = f.select((f.member == name) & (f.kind == "nail"))
    across = mine.y - np.interp(mine.x, *np.array(sorted([member.hook, member.far])).T)
    high = {str(i) for i in mine.id[across > 0]}
    at = {s.tag.partition(":")[2]: s.centre[1] for s in block.shapes if isinstance(s, Dot)}
    assert high
    assert max(at[i] for i in high) < min(y for i, y in at.items() if i not in high)


def test_long_members_are_cut_between_fasteners():
    schedule = made_schedule(2)
    blocks = blocks_of(schedule, "BC1", StripPlan(10, "front", 377.0), "words")
    assert len(blocks) == 3
    titles = [next(s for s in b.shapes if isinstance(s, Text) and s.bold).text for b in blocks]
    assert titles == ["BC1", "BC1 continued", "BC1 continued"]
    breaks = sum(1 for b in blocks for s in b.shapes if s.tag == "break")
    assert breaks == 4
    assert max(b.width for b in blocks) <= 377.0


def test_section_names_the_plies_from_the_top_and_every_way(schedule):
    for stage in schedule.stages:
        drawing = stack_section(ENGLISH, schedule, stage, 118.0, 58.0)
        names = [t for t in drawing.texts() if t.tag == "ply"]
        order = [int(t.text.split()[1]) for t in sorted(names, key=lambda t: t.at[1])]
        assert order == sorted(stage.plies, reverse=stage.face_up == "back")
        f = schedule.fasteners
        specs = set(f.spec[f.stage == stage.number].tolist())
        said = " ".join(t.text for t in drawing.texts() if t.tag == "way")
        assert all(spec in said for spec in specs)
        assert clean(drawing) == ([], [], [])


def test_points_are_clenched_once_and_only_from_the_face_they_come_out_of():
    schedule = made_schedule(3)
    f = schedule.fasteners
    masks = [points_to_clench(schedule, s) for s in schedule.stages]
    assert sum(masks).max() <= 1
    for stage, mask in zip(schedule.stages, masks, strict=True):
        assert not (f.face[mask] == stage.face_up).any()


def shown(schedule, face="front", **more):
    f = schedule.fasteners
    return Shown(f, f.select(f.stage < 0), face, **more)


@pytest.mark.parametrize("assumed", [False, True])
def test_legend_says_what_the_drawing_uses_and_nothing_else(assumed):
    schedule = made_schedule(3, assumed=assumed)
    words = {t.text for t in legend(ENGLISH, schedule, 377.0, shown(schedule, clench=True)).texts()}
    assert "nail, head on the face shown" in words
    assert "nail driven from the other side" in words
    assert "bolt with square washers" in words
    assert ("nail plate, assumed" in words) == assumed
    assert ("nail plate" in words) != assumed
    assert "thin and small: there already" not in words
    assert clean(legend(ENGLISH, schedule, 377.0, shown(schedule))) == ([], [], [])
    f = schedule.fasteners
    front = Shown(f.select(f.face == "front"), f.select(f.face == "back"), "front")
    words = {t.text for t in legend(ENGLISH, schedule, 377.0, front).texts()}
    assert "nail driven from the other side" not in words
    assert "thin and small: there already" in words


def test_legend_of_a_girder_without_bolts_names_none():
    schedule = made_schedule(2)
    f = schedule.fasteners
    only_nails = replace(schedule, fasteners=f.select(f.kind == "nail"))
    words = " ".join(t.text for t in legend(ENGLISH, only_nails, 377.0, shown(only_nails)).texts())
    assert "bolt" not in words
    assert "nail" in words


def test_a_round_washer_is_drawn_round_and_called_round():
    schedule = made_schedule(2)
    ring = {
        spec: replace(c, washer=replace(c.washer, shape="round"))
        for spec, c in schedule.bolts.items()
    }
    round_ones = replace(schedule, bolts=ring)
    words = {t.text for t in legend(ENGLISH, round_ones, 377.0, shown(round_ones)).texts()}
    assert "bolt with round washers" in words
    drawn = overall_elevation(ENGLISH, round_ones, 377.0, 200.0)
    washers = [s for s in drawn.shapes if s.tag == "washer"]
    assert washers
    assert all(isinstance(s, Circle) for s in washers)


def test_thumbnail_has_no_lettering():
    drawing = thumbnail(ENGLISH, made_schedule(2), 167.0, 50.0)
    assert not list(drawing.texts())
    assert drawing.height <= 50.0


def test_hatching_stays_inside_a_turned_plate():
    corners = as_points([(0, 0), (60, 30), (40, 70), (-20, 40)])
    lines = hatch(corners, 5.0)
    assert len(lines) > 5
    for line in lines:
        assert line.b[0] - line.a[0] == pytest.approx(line.b[1] - line.a[1])
        for x, y in (line.a, line.b):
            assert -20 - 1e-6 <= x <= 60 + 1e-6
            assert -1e-6 <= y <= 70 + 1e-6


def test_lower_edge_of_a_sloping_chord_under_a_load():
    member = made_schedule(2).girder.member("TC1")
    low, high = (edge_y([member], 2000.0, lowest) for lowest in (True, False))
    slope = 1900 / 5100
    assert high - low == pytest.approx(170 * np.hypot(1, slope), abs=1e-6)
    assert (high + low) / 2 == pytest.approx(97.5 + slope * 2000, abs=1e-6)


def test_points_are_drawn_bent_in_the_stage_that_bends_them_and_in_no_other():
    schedule, every = sample("two-ply-howe"), 0
    for stage in schedule.stages:
        shapes = stage_elevation(ENGLISH, schedule, stage, 390.0, 120.0).shapes
        ticks = sum(isinstance(s, Line) and s.tag == "clench" for s in shapes)
        assert ticks == points_to_clench(schedule, stage).sum()
        every += ticks
    assert every == schedule.fasteners.clench.sum()
