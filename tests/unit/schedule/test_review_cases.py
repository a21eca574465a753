"""Cases that once went wrong or unsaid, each with its own arithmetic."""

import numpy as np
import pytest
from jobs_in_text import Ask, job_text

from girderply.errors import JobError
from girderply.jobfile.reader import parse_job
from girderply.layout.lay_out import lay_out
from girderply.model.build_girder import build_girder
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.design import design
from girderply.schedule.look_up import make_brief
from girderply.wording import english

BOTH_FACES = """
[[loads]]
id = "F"
chord = "BC1"
face = "front"
at = "600 mm"
to = "9000 mm"
every = "600 mm"
permanent = "0.8 kN"
variable = "1.0 kN"
[[loads]]
id = "B"
chord = "BC1"
face = "back"
at = "900 mm"
to = "8700 mm"
every = "600 mm"
permanent = "0.6 kN"
variable = "0.8 kN"
"""


def build(**wants):
    return build_schedule(parse_job(job_text(Ask(**wants))))


def codes(schedule, severity=None):
    return [f.code for f in schedule.findings if severity in (None, f.severity)]


def test_an_unknown_bolt_of_a_bracket_is_told_at_its_key():
    bolts = 'bolt = "M11", bolts = [{ along = 0, across = 0 }]'
    bracket = f"bracket = {{ width = 90, height = 150, {bolts} }}\n"
    with pytest.raises(JobError) as fault:
        build(loads=BOTH_FACES + bracket)
    (found,) = fault.value.findings
    assert found.where == "loads[2].bracket.bolt"
    assert "no bolt 'M11' in the catalogue" in english(found.message)


PRESCRIBED = '[[fastening.prescribed]]\nrole = "bottom chord"\nrows = 2\npitch = "200 mm"\n'


def test_a_prescribed_nail_is_the_one_that_is_drawn_ordered_and_checked():
    """3.4 x 90 in the bottom chord: 90 - 76 = 14 mm come out there, 24 mm elsewhere."""
    schedule = build(extra=PRESCRIBED + 'nail = "3.4 x 90"\n', loads=BOTH_FACES)
    f = schedule.fasteners.select(schedule.fasteners.kind == "nail")
    chord = f.member == "BC1"
    assert set(f.spec[chord].tolist()) == {"3.4 x 90"}
    assert set(f.spec[~chord].tolist()) == {"4.0 x 100"}
    assert set(f.protrusion[chord].tolist()) == {14.0}
    needed = {line.spec: line.needed for line in schedule.order}
    assert needed["3.4 x 90"] == int(chord.sum())
    worked = next(c for c in schedule.checks if ".i1." in c.id and c.resistance > 0)
    assert worked.inputs["d"][0] == 3.4


def test_a_prescribed_nail_that_does_not_fit_is_refused():
    """60 - 38 = 22 mm, 8 x 3.1 = 24.8 are needed."""
    schedule = build(extra=PRESCRIBED + 'nail = "3.1 x 60"\n')
    assert "nail-too-short" in codes(schedule, "error")


@pytest.mark.parametrize(
    "text",
    [
        'members = ["W99"]\nrows = 1\npitch = "200 mm"\n',
        'role = "web"\nrows = 1\npitch = "200 mm"\nnail = "4 by 100"\n',
    ],
)
def test_a_prescription_for_nothing_is_refused(text):
    with pytest.raises(JobError, match=r"W99|4 by 100"):
        build(extra="[[fastening.prescribed]]\n" + text)


@pytest.mark.parametrize("plies", [3, 4, 5, 6])
def test_no_zone_loses_nails_of_an_interface_to_another_stage(plies):
    """Never fewer than the pattern: counted per zone and interface from the coordinates."""
    job = parse_job(job_text(Ask(plies=plies, loads=BOTH_FACES, bottom=245.0)))
    brief = make_brief(job, build_girder(job)[0])
    plain, made = lay_out(brief).fasteners, design(brief).layout.fasteners
    for start in np.arange(450.0, 9000.0, 300.0):
        for k in range(1, plies):
            counts = []
            for f in (plain, made):
                here = (f.member == "BC1") & (f.kind == "nail") & f.crosses(k)
                here &= (f.station >= start) & (f.station <= start + 300.0)
                counts.append(int(here.sum()))
            assert counts[1] >= counts[0] - 1, (start, k)  # one may move over the border
        total = [
            int(np.sum((f.member == "BC1") & (f.kind == "nail") & f.crosses(k)))
            for f in (plain, made)
        ]
        assert total[1] >= total[0]


def test_one_face_pressed_while_the_other_is_lifted():
    """Front 1.35 x 100 + 1.5 x 4000 = 6135 N down, back 1.0 x 100 - 1.5 x 8000 = -11900 N:

    S_1 = 6135 - (6135 - 11900) / 2 = 9017.5 N, more than with any one combination on both.
    """
    loads = """
[[loads]]
id = "F"
chord = "BC1"
face = "front"
at = "4 m"
permanent = "0.1 kN"
variable = "4 kN"
[[loads]]
id = "B"
chord = "BC1"
face = "back"
at = "4 m"
permanent = "0.1 kN"
uplift = "8 kN"
"""
    checks = {c.id: c for c in build(loads=loads).checks}
    assert checks["F+B.i1.PVU.front"].demand == pytest.approx(9017.5)
    assert max(c.demand for i, c in checks.items() if ".i1." in i) == pytest.approx(9017.5)


def test_the_receiving_ply_is_checked_for_splitting():
    """30 kN design on one face of two plies, bolts on the centreline of a 195 chord.

    Ply 2 takes 15 kN; half-way between joints (4 m: 3200 and 4800) 7.5 kN beside it, were the chord
    cut at them; it runs through, which moves a little of it to one side. h_e = 97.5:
    F_90,Rk = 14 x 38 x sqrt(97.5 / 0.5) = 7429 N, x 0.8 / 1.3 = 4572 N.
    """
    load = '[[loads]]\nid = "F"\nchord = "BC1"\nface = "front"\nat = "4 m"\ndesign = "30 kN"\n'
    schedule = build(loads=load, extra='transfer_by = "bolt"')
    check = next(c for c in schedule.checks if ".ply2." in c.id)
    assert 7500.0 <= check.demand < 1.05 * 7500.0
    assert check.resistance == pytest.approx(4572.0, abs=1.0)
    assert schedule.failed
    assert "splitting-not-checked" in codes(schedule)


def test_nails_too_thick_for_thin_timber_are_refused():
    """6.0 ring nails undrilled in 38 mm: 7 d = 42 mm, 8.3.1.2(6), value from memory."""
    assert "predrilling-needed" in codes(build(nail="6.0 x 76 ring"), "error")
    assert "predrilling-needed" not in codes(build(nail="4.0 x 100"))


def test_buried_heads_are_counted_before_they_are_covered():
    schedule = build(plies=4)
    assert all("covers their heads for good" in english(s.hold_point) for s in schedule.stages[:2])
    assert "Do not turn over until" in english(schedule.stages[2].hold_point)
    assert "Do not lift until" in english(schedule.stages[3].hold_point)


BOLTED = """
[[loads]]
id = "{id}"
chord = "BC1"
face = "{face}"
at = "{at} mm"
design = "1 kN"
[loads.bracket]
width = "160 mm"
height = "120 mm"
bolt = "M12"
bolts = [{{ along = "-45 mm", across = 0 }}, {{ along = "45 mm", across = 0 }}]
"""


def test_bracket_bolts_stay_off_plates_and_other_brackets():
    """The joint J3 stands at 3200: its plate is under a bracket there; at 4000 nothing is."""
    on_plate = build(loads=BOLTED.format(id="P", face="front", at=3200))
    clear = build(loads=BOLTED.format(id="P", face="front", at=4000))
    assert "bracket-bolt-too-near" in codes(on_plate, "error")
    assert "bracket-bolt-too-near" not in codes(clear)
    two = BOLTED.format(id="P", face="front", at=4000) + BOLTED.format(id="Q", face="back", at=4060)
    assert "bracket-bolt-too-near" in codes(build(loads=two), "error")


def test_a_prescribed_pattern_that_finds_no_room_is_an_error():
    """Six rows at 50 mm in four plies whose stages share each ply: it cannot all be placed."""
    text = '[[fastening.prescribed]]\nrole = "bottom chord"\nrows = 3\npitch = "60 mm"\n'
    schedule = build(plies=4, extra=text + "stagger = false\n")
    assert "too-few-nails" in codes(schedule, "error")


def test_advice_names_what_was_tried_and_a_thinner_nail_for_a_short_point():
    """6.0 x 90 in 2 x 38: 90 - 38 = 52 mm inside at most 38; 8 d = 48 mm are needed."""
    load = '[[loads]]\nid = "F"\nchord = "BC1"\nface = "front"\nat = "4 m"\ndesign = "30 kN"\n'
    schedule = build(nail="6.0 x 90", loads=load)
    tip = next(english(f.tip) for f in schedule.findings if f.code == "nail-too-short")
    assert "thinner" in tip
    said = ("would-work", "would-pass")  # the other ply splits all the same, which is said
    assert any(f.where == "fastening.nail" for f in schedule.findings if f.code in said) or (
        "nails of the catalogue" in " ".join(english(f.message) for f in schedule.findings)
    )


def test_ids_of_loads_with_dots_are_never_taken_apart():
    """A load called "A.i1.split": its zone is strengthened and nothing else is said of it."""
    load = '[[loads]]\nid = "A.i1.split"\nchord = "BC1"\nface = "front"\nat = "4 m"\n'
    load += 'permanent = "9 kN"\n'
    schedule = build(loads=load)
    assert not schedule.failed
    assert {s.load for s in schedule.strengthened} == {"A.i1.split"}
    passing = [c for c in schedule.checks if c.interface]
    assert {(c.about, c.interface) for c in passing} == {("A.i1.split", 1)}
    assert {c.ply for c in schedule.checks if not c.interface} == {2}
    over = build(loads=load.replace("9 kN", "150 kN"))
    told = [f for f in over.findings if f.code == "splitting-advice"]
    assert {f.where for f in told} == {"A.i1.split"}
