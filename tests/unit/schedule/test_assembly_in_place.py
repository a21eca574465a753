"""Plies that stand while they are fastened, and plies that people can reach from one face only."""

from __future__ import annotations

import json
import math
from itertools import pairwise, product

import pytest
from inspection_records import record, sample
from jobs_in_text import Ask, job_text

from girderply.errors import JobError, Severity
from girderply.inspection.judge import inspect
from girderply.inspection.result_words import in_words
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.schedule.estimate import estimate
from girderply.schedule.handling import MECHANICAL, handling
from girderply.verify import verify
from girderply.wording import english

LOAD = """
[[loads]]
id = "T"
chord = "BC1"
face = "{face}"
at = "2400 mm"
design = "2 kN"
"""
SCREW = """
screw = "6.0 x 75 demo"
[[fastening.screws]]
key = "6.0 x 75 demo"
source = "invented for this test"
d = "6 mm"
d_root = "3.9 mm"
d_shank = "4.3 mm"
head = "12 mm"
length = "75 mm"
thread = "42 mm"
yield_moment = 9500
withdrawal = "11 N/mm2"
pull_through = "10 N/mm2"
tension = "11 kN"
self_drilling = true
thinnest = "30 mm"
"""
NO_BOLTS = "[fastening.overrides]\njoint_bolts = false\n"


def text(way="upright", faces="both", loads="", **asked):
    """A job that says how it is put together."""
    said = f'[assembly]\nway = "{way}"\nfaces = "{faces}"\n'
    return job_text(Ask(loads=said + loads, **asked))


def made(*args, **asked):
    return build_schedule(parse_job(text(*args, **asked)))


def codes(schedule, severity=Severity.ERROR):
    return {f.code for f in schedule.findings if f.severity is severity}


@pytest.mark.parametrize("plies", [2, 4])
def test_plies_that_stand_have_the_same_fasteners_and_are_never_turned(plies):
    """Standing or lying, the same nails go through the same plies: only what people do differs."""
    lying, standing = made("on trestles", plies=plies), made("upright", plies=plies)
    for name in ("id", "spec", "station", "offset", "face", "from_ply", "to_ply", "clench"):
        assert getattr(lying.fasteners, name).tolist() == getattr(standing.fasteners, name).tolist()
    assert any(s.turn_over_before for s in lying.stages)
    assert not any(s.turn_over_before for s in standing.stages)
    assert standing.fasteners.clench.any()  # the far face can be reached: people go round to it
    turns = sum(s.turn_over_before for s in lying.stages) * lying.rules.minutes.turn
    assert estimate(lying).minutes - estimate(standing).minutes == pytest.approx(turns)


def test_what_the_yard_hand_reads_is_of_plies_that_stand():
    """No trestles, nothing laid or turned; braced before it is let go, counted before the next."""
    stages = made("upright", plies=3).stages
    first, last = stages[0], stages[-1]
    words = [line for s in stages for line in (*s.action, s.title, s.hold_point)]
    said = " ".join(map(english, words)).lower()
    assert not any(word in said for word in ("trestle", "lay ", "turn over", "below"))
    assert "not designed here" in " ".join(map(english, first.action))
    assert english(first.title).startswith("Set ply 3, then ply 2 upright, nail from the front")
    assert "ply 2" in english(first.action[1])
    assert "against the front face" in english(first.action[1])
    assert [s.title for s in stages if "round" in english(s.title)] == [last.title]
    assert last.face_up == "back"
    assert all(english(s.hold_point) for s in stages)
    assert "bracing" in english(last.hold_point)


def test_each_ply_is_lifted_by_itself_and_the_girder_is_not_lifted_off():
    """Standing plies hang in slings until they are braced: never by hand, whatever they weigh."""
    schedule = made("upright", plies=3)
    moves = [m for h in handling(schedule) for m in h.moves]
    assert [(m.kind, m.plies) for m in moves] == [("stand", (2, 3)), ("stand", (1,))]
    assert all(m.people == MECHANICAL for m in moves)
    assert all(m.mass == schedule.masses.ply for m in moves)
    light = made("upright", span=3000.0, panels=2, kind="king post", pitch=20.0)
    assert light.masses.ply < 25.0  # which two may lay on trestles
    assert all(m.people == MECHANICAL for h in handling(light) for m in h.moves)


@pytest.mark.parametrize(
    ("rules", "plies", "face"),
    [
        *product(["common-practice"], [2, 3, 5], ["front", "back"]),
        *product(["french-36mm"], [2, 3, 4], ["front", "back"]),
    ],
)
def test_from_one_face_all_is_driven_from_it_and_holds_every_interface(rules, plies, face):
    """The audit by coordinates: heads on the reachable outside of the stack of their stage, no
    point at the far face, and every interface crossed. Thickness 36 takes 75 mm and 70 mm nails."""
    nail = "4.0 x 65" if rules == "common-practice" else None
    schedule = made(
        "upright", face, plies=plies, thickness=36.0, rules=rules, nail=nail, extra=NO_BOLTS
    )
    f = schedule.fasteners
    assert set(f.face.tolist()) == {face}
    assert set(f.kind.tolist()) == {"nail"}
    assert not f.clench.any()
    stacks = {s.number: s.plies for s in schedule.stages}
    for stage, head, out in zip(f.stage, f.from_ply, f.protrusion, strict=True):
        there = stacks[int(stage)]
        assert head == (min(there) if face == "front" else max(there))
        assert out == 0.0
    assert all(f.crosses(k).any() for k in range(1, plies))
    assert all(s.face_up == face and not s.turn_over_before for s in schedule.stages)
    for before, after in pairwise(schedule.stages):
        new = set(after.plies) - set(before.plies)
        outer = min(after.plies) if face == "front" else max(after.plies)
        assert new <= {outer}
    assert verify(json.loads(json.dumps(to_contract(schedule)))).agrees


def test_the_two_faces_are_mirror_images():
    """From the back ply 1 is where ply n is from the front, at the same stations."""
    n, extra = 4, NO_BOLTS
    front = made("upright", "front", plies=n, nail="4.0 x 65", thickness=36.0, extra=extra)
    back = made("upright", "back", plies=n, nail="4.0 x 65", thickness=36.0, extra=extra)
    mine, other = front.fasteners, back.fasteners
    assert mine.station.tolist() == other.station.tolist()
    assert (n + 1 - mine.from_ply).tolist() == other.from_ply.tolist()
    assert (n + 1 - mine.to_ply).tolist() == other.to_ply.tolist()


def test_bolts_from_one_face_are_refused_with_what_would_work():
    """Nobody can hold the nut. What is proposed is then built as proposed: it has no error."""
    refused = made("upright", "front", loads=LOAD.format(face="front"), thickness=45.0)
    assert codes(refused) == {"bolt-out-of-reach"}
    ways = [f for f in refused.findings if f.code == "would-work"]
    assert {f.where for f in ways} == {"fastening", "assembly.faces"}
    for faces, extra in (("front", NO_BOLTS), ("both", "")):
        done = made("upright", faces, loads=LOAD.format(face="front"), thickness=45.0, extra=extra)
        assert not done.failed
        count = int(done.fasteners.driven.sum())
        if faces == "front":
            assert f"{count} nails" in next(
                english(f.message) for f in ways if f.where == "fastening"
            )


def test_a_nail_that_comes_out_where_nobody_reaches_gives_way_to_a_shorter_one():
    """100 mm in 2 x 45 mm comes out 10 mm: clenched where both faces can be reached, not here."""
    both, one = (
        made("upright", "both", thickness=45.0),
        made("upright", "front", thickness=45.0, extra=NO_BOLTS),
    )
    assert set(both.nails) == {"4.0 x 100"}
    assert set(one.nails) == {"4.0 x 90"}
    told = next(f for f in one.findings if f.code == "nail-taken")
    assert "cannot be reached" in english(told.message)
    # 100 mm in 2 x 38 mm comes out 24 mm, and no nail is near enough: refused, with one that works
    refused = made("upright", "front", extra=NO_BOLTS)
    assert codes(refused) == {"nail-too-long"}
    assert any("4.0 x 75" in english(f.message) for f in refused.findings if f.code == "would-work")


def test_screws_go_in_from_one_face():
    """6.0 x 75 mm in 2 x 38 mm: the point ends 75 - 38 = 37 mm deep in the far ply."""
    schedule = made("upright", "back", extra=SCREW + NO_BOLTS)
    f = schedule.fasteners
    assert set(zip(f.kind.tolist(), f.face.tolist(), strict=True)) == {("screw", "back")}
    assert all(math.isclose(d, 37.0) for d in f.point_depth.tolist())
    assert not schedule.failed


def test_a_published_rule_that_cannot_be_kept_and_a_bracket_out_of_reach_are_warnings():
    """NF DTU 31.3 P1-1 annex A.2: three plies are nailed from alternate faces."""
    schedule = made(
        "upright", "front", plies=3, thickness=36.0, rules="french-36mm",
        loads=LOAD.format(face="back"),
    )  # fmt: skip
    assert {"rule-faces", "bracket-out-of-reach"} <= codes(schedule, Severity.WARNING)
    kept = made("upright", "front", plies=2, thickness=36.0, rules="french-36mm")
    assert not {"rule-faces", "bracket-out-of-reach"} & codes(kept, Severity.WARNING)


def test_a_driving_face_that_cannot_be_reached_is_an_error_by_its_key():
    asked = text("upright", "front", extra='[fastening.overrides]\ndriving_face = "back"\n')
    with pytest.raises(JobError, match="driving_face") as refused:
        parse_job(asked)
    assert [f.code for f in refused.value.findings] == ["face-out-of-reach"]


def test_reach_and_a_long_girders_way_are_assumed_until_they_are_said():
    def keys(said, **asked):
        job = parse_job(job_text(Ask(loads=said, **asked)))
        return {a.key for a in build_schedule(job).unconfirmed if a.key.startswith("assembly")}

    assert keys('[assembly]\nway = "upright"\n') == {"assembly.faces"}
    assert keys('[assembly]\nway = "upright"\nfaces = "both"\n') == set()
    assert keys("") == set()
    assert keys("", span=12500.0, panels=8) == {"assembly.way"}  # longer than 12 m
    assert keys('[assembly]\nway = "on trestles"\n', span=12500.0, panels=8) == set()


@pytest.mark.parametrize("fault", ["turn", "face", "clench", "bolt"])
def test_the_second_engine_notices_what_nobody_could_do(fault):
    schedule = made("upright", "front", thickness=45.0, nail="4.0 x 90", extra=NO_BOLTS)
    data = json.loads(json.dumps(to_contract(schedule)))
    assert not [d for d in verify(data).disagreements if d.what == "assembly"]
    if fault == "turn":
        data["stages"][0]["turn_over_before"] = True
    else:
        name, value = {
            "face": ("face", "back"),
            "clench": ("clench", True),
            "bolt": ("kind", "bolt"),
        }[fault]
        data["fasteners"][7][name] = value
    assert [d for d in verify(data).disagreements if d.what == "assembly"]


@pytest.mark.parametrize("stage", [1, 2])
def test_what_is_added_after_an_inspection_goes_in_from_the_face_that_is_reached(stage):
    """Screws of 85 mm end in the second ply of 45: from the front they mend stage 2. Those of
    stage 1 lie between plies 2 and 3, where only the back would reach: an engineer decides."""
    schedule = sample("three-ply-one-face")
    f = schedule.fasteners
    lost = f.id[(f.member == "BC1") & (f.stage == stage)].tolist()[5:20]
    found = inspect(schedule, record(schedule, dict.fromkeys(lost, "missing")))
    assert bool(len(found.make_good)) == (stage == 2)
    assert set(found.make_good.face.tolist()) <= {"front"}
    assert not (found.make_good.kind == "bolt").any()
    assert not found.make_good.clench.any()
    if stage == 1:
        assert found.verdict == "engineer"


def test_standing_plies_are_mended_from_a_platform_and_never_turned():
    schedule = sample("three-ply-upright")
    f = schedule.fasteners
    lost = f.id[(f.member == "BC1") & (f.stage == 1)].tolist()[8:30]
    found = inspect(schedule, record(schedule, dict.fromkeys(lost, "missing")))
    said = in_words(found, schedule)
    assert len(found.make_good)
    assert "platform" in said
    assert "turn the girder over" not in said.lower()
