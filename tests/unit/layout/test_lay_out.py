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
from girderply.model.build import build_girder
from girderply.model.girder import Girder, Joint, Member, Plate
from girderply.schedule.brief import make_brief
from girderply.schedule.build import build_schedule

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

    2780 / 150 = 18.5, so 19 steps of 146.3: 20 nails; 3000 / 150 = 20 are due. Rounded to 5:
    110, 255 (256.3), 405 (402.6), 550 (548.9), 695 (695.3); rows take turns.
    Common practice, no source.
    """
    layout = lay_out(bar_brief())
    got = nails(layout)
    assert len(got) == 20
    assert got[:5] == [(110, -32.5), (255, 32.5), (405, -32.5), (550, 32.5), (695, -32.5)]
    note = layout.patterns[0]
    assert (note.required, note.placed) == (20, 20)
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
    assert len(second) == 20


def test_a_prescribed_pattern_goes_first():
    """Three rows at 100 in line, 195 / 4 = 48.75 apart; 3 x 3000 / 100 = 90 are due.

    (2890 - 110) / 100 = 27.8 gives 29 stations; a washer takes the first and last of the middle
    row, so 85 stand where they belong and five more are put beside the plates.
    """
    text = (
        '[[fastening.prescribed]]\nmembers = ["BC1"]\nrows = 3\npitch = "100 mm"\nstagger = false\n'
    )
    job = parse_job(job_text(Ask(extra=text)))
    brief = bar_brief(prescribed=job.fastening.prescribed)
    got = nails(lay_out(brief))
    assert len(got) == 90
    outer = [s for s, v in got if v == 48.75]
    assert {110.0, 210.0, 2790.0, 2890.0} <= set(outer)
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
    assert "pitch 30 mm, at least 40 mm" in found[0].message.replace("\u00a0", " ")


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
    inside = [s for s, _ in nails(closer) if 1000 <= s <= 1600]
    assert len(inside) == 13  # 600 / 50 + 1
    assert max(np.diff(inside)) <= 50
    outside = [s for s, _ in nails(closer) if s < 1000]
    assert len(outside) == math.ceil((1000 - 110) / 150)
    assert len(nails(closer)) > len(nails(plain))


def test_ids_count_up_along_the_member():
    f = lay_out(bar_brief()).fasteners
    assert f.id.tolist()[:3] == ["BC1-N1", "BC1-N2", "BC1-N3"]
    assert f.id.tolist()[-2:] == ["BC1-B1", "BC1-B2"]
    assert np.all(np.diff(f.station[f.kind == "nail"]) > 0)


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
    assert [f.where for f in layout.findings if f.code == "threaded-rod"] == list(layout.bolts)


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
        lay_out_module, "_nail", lambda brief, member, *rest: again.append(member.id)
        or nail(brief, member, *rest),
    )  # fmt: skip
    shop.lay_out(Zones(bolts=[BoltGroup("BC1", 200.0, 800.0, 500.0, 2, 1)]))
    far = [m.id for m in brief.girder.members if m.outline[:, 0].min() > 1500.0 + 200.0]
    assert "BC1" in again
    assert far
    assert not set(again) & set(far)
