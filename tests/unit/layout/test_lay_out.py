"""Whole layouts against places worked out by hand."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jobs_in_text import Ask, job_text

from girderply.bases.registry import spec_of
from girderply.jobfile.job import FasteningSpec, GirderSpec, Job, JobInfo, Role
from girderply.jobfile.reader import parse_job
from girderply.layout import lay_out as lay_out_module
from girderply.layout.bolt_rows import BoltGroup
from girderply.layout.lay_out import Workshop, Zones, lay_out
from girderply.layout.spread import Density
from girderply.model.build_girder import build_girder
from girderply.model.girder import Girder, Joint, Member, Plate
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.look_up import make_brief
from girderply.wording import english

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


def bar_brief(plies=2, length=3000.0, depth=195.0, plates=((0.0, 200.0), (3000.0, 200.0)), **job):
    """One straight chord with plates of 200 x 170 at its joints."""
    middle = depth / 2
    outline = np.array([[0, 0], [length, 0], [length, depth], [0, depth]], float)
    joints = tuple(Joint(f"J{i}", x, middle, ("BC1",)) for i, (x, _) in enumerate(plates, 1))
    chord = Member(
        "BC1",
        Role.BOTTOM_CHORD,
        depth,
        (0.0, middle),
        (length, middle),
        outline,
        tuple(j.id for j in joints),
    )
    corners = [[-1, -1], [1, -1], [1, 1], [-1, 1]]
    steel = tuple(
        Plate(f"J{i}", np.array([[x + w / 2 * a, middle + 85.0 * b] for a, b in corners]), False)
        for i, (x, w) in enumerate(plates, 1)
    )
    girder = Girder("G1", 1, plies, 38.0, "C24", (chord,), joints, steel, (), ())
    info = JobInfo("1", "t", "A", "2026-01-01")
    spec = GirderSpec("G1", 1, plies, 38.0, "C24")
    return make_brief(Job(info, spec, spec_of(), FasteningSpec(**job)), girder)


def nails(layout, stage=1):
    f = layout.fasteners
    pick = (f.kind == "nail") & (f.stage == stage)
    return list(zip(f.station[pick].tolist(), f.offset[pick].tolist(), strict=True))


def test_zigzag_of_a_chord_by_hand():
    """195 deep: gauge 195 / 3 = 65. Plates reach 100 in, 10 clear: free from 110 to 2890.

    2780 / 150 = 18.5, so 19 are due. First marks are multiples of 25: from 125, 150 or 175 nineteen
    marks fit (125 + 18 x 150 = 2825), from 200 eighteen; the lower row first, then the smallest.
    Common practice, no source.
    """
    layout = lay_out(bar_brief())
    got = nails(layout)
    assert got == [(125.0 + 150 * k, -32.5 if k % 2 == 0 else 32.5) for k in range(19)]
    run = layout.runs[0]
    assert (run.first, run.step, run.marks, run.rows, run.parity) == (125, 150, 19, "alternate", 0)
    assert run.heights == (65.0, 130.0)  # 195 / 2 -+ 32.5 above the lower edge
    note = layout.patterns[0]
    assert (note.required, note.placed) == (19, 19)
    assert note.slant == pytest.approx(math.hypot(150, 65))


def test_joint_bolt_stands_beside_its_plate():
    """Plate to 100, 10 clear, half a 40 mm washer: 130 from the joint; mirrored at 2870."""
    f = lay_out(bar_brief()).fasteners
    bolts = f.select(f.kind == "bolt")
    assert bolts.station.tolist() == [130.0, 2870.0]
    assert bolts.joint.tolist() == ["J1", "J2"]
    assert bolts.offset.tolist() == [0.0, 0.0]
    # 2 x 38 grip, two 4 mm washers, 10.8 nut, two threads of 1.75: 98.3, next on the list is 100.
    assert set(bolts.spec.tolist()) == {"M12 x 100"}


def test_end_bolt_keeps_its_end_distance_without_a_plate():
    """No plate: 7 d = 84 mm from the end for an unloaded end at any angle; a tape shows 85."""
    f = lay_out(bar_brief(plates=((0.0, 2.0), (3000.0, 2.0)))).fasteners
    assert f.station[f.kind == "bolt"].tolist() == [85.0, 2915.0]


def test_stages_of_three_plies_do_not_meet():
    """A second stage drives through all three plies' middle one: never nearer than 10 d = 40."""
    layout = lay_out(bar_brief(plies=3))
    first, second = np.array(nails(layout, 1)), np.array(nails(layout, 2))
    along = np.abs(first[:, None, 0] - second[None, :, 0])
    across = np.abs(first[:, None, 1] - second[None, :, 1])
    assert not np.any((along < 40.0) & (across < 20.0))
    assert len(second) == 19


def test_a_prescribed_pattern_goes_first():
    """Three rows at 100 in line, 195 / 4 = 48.75 apart, from 110 to 2890.

    28 marks from 125 to 2825. Washers at 130 and 2870 (40 wide, 10 clear) leave the middle row 160
    to 2840: its mark at 125 is left out. (2 x 2780 + 2680) / 100 = 82.4, so 83 are due, and stand.
    """
    text = (
        '[[fastening.prescribed]]\nmembers = ["BC1"]\nrows = 3\npitch = "100 mm"\nstagger = false\n'
    )
    job = parse_job(job_text(Ask(extra=text)))
    brief = bar_brief(prescribed=job.fastening.prescribed)
    layout = lay_out(brief)
    got = nails(layout)
    assert len(got) == 83
    assert [s for s, v in got if v == 48.75] == [125.0 + 100 * k for k in range(28)]
    assert [(x.mark, x.what, x.row) for x in layout.runs[0].left_out] == [(0, "washer", 2)]
    assert layout.patterns[0].required == 83
    assert sorted({v for _, v in got}) == [-48.75, 0.0, 48.75]
    assert lay_out(brief).patterns[0].source == "truss designer"


def test_a_prescribed_pattern_that_breaks_a_limit_is_laid_out_and_reported():
    """Pitch 30 is below 10 d = 40 (Table 8.2, along the grain, d < 5, not predrilled)."""
    job = parse_job(
        job_text(
            Ask(
                extra='[[fastening.prescribed]]\nrole = "bottom chord"\nrows = 1\npitch = "30 mm"\n'
            )
        )
    )
    layout = lay_out(bar_brief(prescribed=job.fastening.prescribed))
    found = [f for f in layout.findings if f.code == "prescribed-breaks-limit"]
    assert len(found) == 1
    assert "spacing 30 mm, at least 40 mm" in english(found[0].message).replace("\u00a0", " ")


def test_a_member_too_shallow_is_refused_by_name():
    """5.5 mm nails keep 7 d = 38.5 from a chord's edge: a 70 deep chord has 35."""
    layout = lay_out(bar_brief(depth=70.0, nail="5.5 x 140"))
    codes = {f.code: f for f in layout.findings}
    assert codes["member-too-shallow"].where == "BC1"
    assert "nail-too-long" in codes  # 140 - 76 = 64 comes out, clenching takes 5 to 40
    assert not np.any(layout.fasteners.kind == "nail")


def test_too_short_a_nail_is_refused():
    """65 - 38 = 27 mm in the last ply; 8 d = 24.8 of a 3.1 nail would do, 60 - 38 = 22 does not."""
    assert not [f for f in lay_out(bar_brief(nail="3.1 x 65")).findings if f.severity == "error"]
    found = lay_out(bar_brief(nail="3.1 x 60")).findings
    assert [f.code for f in found if f.severity == "error"] == ["nail-too-short"]


def test_no_room_for_a_bolt_names_the_joint():
    """A plate as long as the chord leaves no seat for a washer."""
    layout = lay_out(bar_brief(plates=((1500.0, 2990.0),)))
    found = [f for f in layout.findings if f.code == "no-room-for-joint-bolt"]
    assert [f.where for f in found] == ["J1"]
    assert not np.any(layout.fasteners.kind == "bolt")


def test_split_prone_timber_keeps_ten_diameters_from_the_edge():
    """EN 1995-1-1, 8.3.1.2(7): 4.0 mm nails, 40 mm from the edge of a 110 deep chord.

    Gauge 110 / 3 = 36.7 would leave 36.7 at the edge; it shrinks to 110 - 2 x 40 = 30.
    """
    brief = bar_brief(depth=110.0)
    plain = lay_out(brief)
    assert abs(plain.fasteners.offset[plain.fasteners.kind == "nail"]).max() == pytest.approx(17.5)
    prone = replace(brief, girder=replace(brief.girder, split_prone=True))
    got = lay_out(prone).fasteners
    assert abs(got.offset[got.kind == "nail"]).max() == pytest.approx(15.0)


def test_a_closer_zone_adds_nails_only_there():
    plain = lay_out(bar_brief())
    zones = Zones(nails={("BC1", 0): [Density(1000, 1600, 50.0)]})
    closer = lay_out(bar_brief(), zones)
    # marks of the usual comb around it: 125 + 5 x 150 = 875 and 125 + 10 x 150 = 1625
    inside = [s for s, _ in nails(closer) if 875 <= s <= 1625]
    assert inside == [875.0 + 50 * k for k in range(16)]
    assert [x for x in nails(closer) if not 875 < x[0] < 1625] == [
        x for x in nails(plain) if not 875 < x[0] < 1625
    ]
    assert set(nails(plain)) < set(nails(closer)), "old marks stay marks, in their rows"
    usual, dense, after = (r for r in closer.runs if r.kind == "nail")
    assert (dense.first, dense.step, dense.marks, dense.rows) == (875, 50, 16, "alternate")
    assert (usual.last, after.first) == (725.0, 1775.0)


def test_ids_count_up_along_the_member():
    f = lay_out(bar_brief()).fasteners
    assert f.id.tolist()[:3] == ["BC1-N1", "BC1-N2", "BC1-N3"]
    assert f.id.tolist()[-2:] == ["BC1-B1", "BC1-B2"]
    assert np.all(np.diff(f.station[f.kind == "nail"]) > 0)


@pytest.mark.usefixtures("made_anew")
def test_same_job_same_schedule():
    text = job_text(Ask())
    assert (
        build_schedule(parse_job(text)).content_hash == build_schedule(parse_job(text)).content_hash
    )


@pytest.mark.parametrize(
    ("bolt", "washer", "faults"),
    [
        ("M12", "DIN 436 M12", 0),  # 40 >= 36, 4 >= 3.6
        ("M20", "DIN 436 M20", 1),  # 60 >= 60, but 5 < 6
        ("M16", "ISO 7089 M16", 2),  # 30 < 48 and 3 < 4.8
    ],
)
def test_washers_after_10_4_3(bolt, washer, faults):
    """EN 1995-1-1, 10.4.3(2), value from memory: 3 d wide and 0.3 d thick; washer sizes DIN 436
    from memory, ISO 7089 read."""
    found = lay_out(bar_brief(bolt=bolt, washer=washer)).findings
    assert sum(f.code == "washer-too-small" for f in found) == faults


def test_a_long_bolt_is_cut_from_rod_and_said_so():
    """228 grip, two nuts of 10.8, two washers of 4, four threads of 1.75: 264.6, so 265."""
    layout = lay_out(bar_brief(plies=6))
    assert list(layout.bolts) == ["M12 x 265 threaded rod"]
    assert [english(f.where) for f in layout.findings if f.code == "threaded-rod"] == list(
        layout.bolts
    )


def test_bolts_elsewhere_do_not_nail_a_member_again(monkeypatch):
    """Found by spoilt jobs: a girder of 60 panels was nailed as a whole for each bolt tried."""
    text = (SAMPLES / "four-ply-parallel.toml").read_text("utf-8")
    job = parse_job(text)
    brief = make_brief(job, build_girder(job)[0])
    shop = Workshop(brief)
    shop.lay_out(Zones())
    again = []
    nail = lay_out_module._nail
    monkeypatch.setattr(
        lay_out_module, "_nail", lambda brief, ready, *rest: again.append(ready.member.id)
        or nail(brief, ready, *rest),
    )  # fmt: skip
    shop.lay_out(Zones(bolts=[BoltGroup("BC1", 200.0, 800.0, 500.0, 2, 1)]))
    far = [m.id for m in brief.girder.members if m.outline[:, 0].min() > 1500.0 + 200.0]
    assert "BC1" in again
    assert far
    assert not set(again) & set(far)
