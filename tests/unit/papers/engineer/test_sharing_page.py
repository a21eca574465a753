"""The sharing page: circles as large as forces, bars as long as shares, flows that add up."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jobs_in_text import Ask, job_text
from lettering_faults import outside_texts, overlapping_texts, small_texts
from pdf_text import page_runs, shrunk

from girderply.drawing.page import boxes_overlap
from girderply.drawing.primitives import Circle, Polygon
from girderply.jobfile.reader import parse_job, read_job
from girderply.papers import render_pdf
from girderply.papers.engineer.sharing_bars import share_bars
from girderply.papers.engineer.sharing_data import SCHEMA, sharing_data
from girderply.papers.engineer.sharing_diagram import (
    asked_of,
    chords_with_transfer,
    down_flow,
    flow_chart,
)
from girderply.papers.engineer.sharing_elevation import LARGEST, largest_forces, sharing_elevation
from girderply.papers.engineer.sharing_reports import has_clearance, sharing_reports
from girderply.papers.engineer.sharing_sheet import sharing
from girderply.papers.engineer.sharing_words import (
    NONE,
    factor_words,
    hardest_fasteners,
    hardest_rows,
    slip_words,
    summary_rows,
)
from girderply.papers.page.furniture import room
from girderply.schedule.build_schedule import build_schedule
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

ROOT = Path(__file__).parents[4]
LOADS = """
[[loads]]
id = "A"
chord = "BC1"
face = "front"
at = "2.4 m"
permanent = "3 kN"
variable = "4 kN"
[[loads]]
id = "B"
chord = "BC1"
face = "back"
at = "7 m"
permanent = "2 kN"
"""


@pytest.fixture(scope="module")
def hung():
    """Three plies, one load on either face, at unlike places."""
    return build_schedule(parse_job(job_text(Ask(plies=3, thickness=45.0, loads=LOADS))))


@pytest.fixture(scope="module")
def reports(hung):
    return sharing_reports(hung)


@pytest.fixture(scope="module")
def sheet(hung):
    return sharing(ENGLISH, hung)


def text_of(blocks):
    return json.dumps(blocks, ensure_ascii=False, default=str)


def test_the_area_of_a_circle_is_the_force(hung, reports):
    drawing = sharing_elevation(ENGLISH, hung, reports.tight, 370.0, 100.0)
    drawn = {
        s.tag.removeprefix("force:"): s.radius
        for s in drawing.shapes
        if isinstance(s, Circle) and s.tag.startswith("force:")
    }
    force = dict(zip(hung.fasteners.id.tolist(), largest_forces(reports.tight), strict=True))
    assert drawn.keys() == force.keys()
    most = max(force.values())
    assert max(drawn.values()) == pytest.approx(LARGEST)
    for name, radius in drawn.items():
        assert radius**2 / LARGEST**2 == pytest.approx(force[name] / most, abs=1e-9)


def test_the_five_hardest_are_named_with_force_and_use(hung, reports):
    """Found again by a plain sort of the utilisations."""
    drawing = sharing_elevation(ENGLISH, hung, reports.tight, 370.0, 100.0)
    used = reports.tight.sharing.utilisation(reports.tight.strength).max(axis=1)
    best = sorted(range(len(used)), key=lambda i: -round(used[i], 9))[:5]
    texts = [t.text for t in drawing.texts() if t.tag == "hardest"]
    assert {t.partition(":")[0] for t in texts} == {str(hung.fasteners.id[i]) for i in best}
    assert all(t.endswith("%") and "kN" in t for t in texts)
    assert hardest_fasteners(reports.tight, 5) == best


def test_bars_are_as_long_as_the_shares(hung, reports):
    drawing = share_bars(ENGLISH, hung, [reports.tight], 146.0)
    bars = [s for s in drawing.shapes if isinstance(s, Polygon) and s.tag.startswith("bar:")]
    shares = reports.tight.sharing.bearing_shares
    assert len(bars) == shares.size == 6
    long = np.array([b.points[1][0] - b.points[0][0] for b in bars]).reshape(2, 3).T
    assert long / long.sum(axis=0) == pytest.approx(shares)
    words = [t.text for t in drawing.texts() if t.tag == "share"]
    assert words == [Printed("metric", ENGLISH).percent(v) for v in shares.T.ravel()]


def test_with_clearance_every_bar_has_a_second_one(hung, reports):
    assert has_clearance(hung)
    assert reports.gap is not None
    both = share_bars(ENGLISH, hung, [reports.tight, reports.gap], 146.0)
    bars = [s for s in both.shapes if isinstance(s, Polygon) and s.tag.startswith("bar:")]
    assert sorted({b.fill for b in bars}) == [0.75, 1.0]
    assert len(bars) == 12


def test_bolts_that_fill_their_holes_have_no_clearance(hung):
    f = hung.fasteners
    d = {spec: choice.bolt.d for spec, choice in hung.bolts.items()}
    filled = [d.get(s, h) for s, h in zip(f.spec.tolist(), f.drilled.tolist(), strict=True)]
    tight = replace(hung, fasteners=replace(f, drilled=np.array(filled)))
    assert not has_clearance(tight)


def test_lettering_is_clean_however_wide_the_paper(hung, reports):
    answers = [reports.tight, reports.gap]
    for drawing in (
        sharing_elevation(ENGLISH, hung, reports.tight, room("A3").width, 118.0),
        sharing_elevation(ENGLISH, hung, reports.tight, 250.0, 80.0),
        share_bars(ENGLISH, hung, answers, 146.0),
    ):
        faults = overlapping_texts(drawing), outside_texts(drawing), small_texts(drawing)
        assert faults == ([], [], []), drawing.name


def test_what_flows_along_all_members_is_what_the_reactions_say(hung, reports):
    """Vertical equilibrium of plies 1 to k: what enters them less what they bring to bearings."""
    answer = reports.tight.sharing
    total = np.zeros(2)
    for member in hung.girder.members:
        edges, down = down_flow(hung, reports.tight, member.id)
        total += down @ np.diff(edges)
    entering = answer.loads.sum(axis=0)
    carried = answer.reactions.sum(axis=1)
    assert total == pytest.approx(np.cumsum(entering - carried)[:2], abs=1e-3)


def test_the_design_beside_it_is_signed_and_per_length(hung, reports):
    """By hand, [EN 1990:2002, Eq. (6.10)]: A is 1.35 x 3 + 1.5 x 4 = 10.05 kN on the front.

    Of three plies, 6.7 kN pass backwards at interface 1 and 3.35 kN at 2. B is 1.35 x 2 = 2.7 kN
    on the back: 0.9 kN pass forwards at interface 1, 1.8 kN at 2.
    """
    for k, want in ((1, [6700.0, -900.0]), (2, [3350.0, -1800.0])):
        found = asked_of(hung, reports.tight.combination, "BC1", k)
        assert [a.demand * (a.end - a.start) for a in found] == pytest.approx(want)
        checks = [next(c for c in hung.checks if c.id == f"{name}.i{k}.{code}")
                  for name, code in (("A", "PV"), ("B", "PV"))]  # fmt: skip
        held = [a.resistance * (a.end - a.start) for a in found]
        assert held == pytest.approx([c.resistance for c in checks])


def test_a_back_load_passes_to_the_front():
    loads = LOADS.replace('permanent = "2 kN"', 'design = "2.7 kN"')
    schedule = build_schedule(parse_job(job_text(Ask(plies=3, thickness=45.0, loads=loads))))
    report = sharing_reports(schedule).tight
    found = asked_of(schedule, report.combination, "BC1", 1)
    assert [a.demand * (a.end - a.start) for a in found] == pytest.approx([6700.0, -900.0])


def test_every_chord_has_its_diagram_and_the_loaded_one_the_design(hung, reports):
    chords = chords_with_transfer(hung, reports.tight)
    assert chords == [m.id for m in hung.girder.members if m.role.is_chord]
    loaded, other = (flow_chart(ENGLISH, hung, reports.tight, c, 180.0) for c in ("BC1", "TC1"))
    assert "design: force to transfer" in loaded
    assert "design: resistance" in loaded
    assert "springs" in other
    assert "design" not in other
    assert loaded == flow_chart(ENGLISH, hung, reports.tight, "BC1", 180.0)


def test_the_page_says_what_was_found_in_both_ways(hung, reports, sheet):
    text = text_of(sheet.blocks)
    assert '"Bolts tight", "Bolts with clearance"' in text
    for report in (reports.tight, reports.gap):
        for _, value in summary_rows(ENGLISH, hung, report)[1:]:
            assert json.dumps(value, ensure_ascii=False)[1:-1] in text
    assert "Largest slip, loads without factors" in text
    for member in ("TC1", "TC2", "BC1"):
        assert f'"text": "{member}"' in text
    assert "limit of 15\u00a0mm" in text


def test_findings_stand_on_the_page_in_words():
    """All roof trusses hang on the front of this sample: the front ply keeps more than a third."""
    schedule = build_schedule(read_job(ROOT / "sample_jobs" / "three-ply-pratt.toml"))
    report = sharing_reports(schedule).tight
    codes = {f.code for f in report.findings}
    assert "sharing-near-ply" in codes
    assert report.sharing.bearing_shares[0].max() > 1.1 / 3
    text = text_of(sharing(ENGLISH, schedule).blocks)
    assert "Where the springs speak against equal shares" in text
    assert "more than its share" in text
    assert not codes & {f.code for f in schedule.findings}, "the schedule stays as it is"


def test_a_girder_that_shares_well_is_told_so():
    schedule = build_schedule(parse_job(job_text(Ask(loads=LOADS))))
    report = sharing_reports(schedule)
    warned = [f for r in (report.tight, report.gap) for f in r.findings if f.severity == "warning"]
    assert not warned
    text = text_of(sharing(ENGLISH, schedule).blocks)
    assert "Equal shares borne out" in text
    assert "carry over 10\u00a0% more than its design share" in text


def test_a_girder_that_cannot_be_solved_says_why(hung):
    one = replace(hung, girder=replace(hung.girder, bearings=hung.girder.bearings[:1]))
    page = sharing(ENGLISH, one)
    assert page.blocks[1]["head"] == "Not computed"
    report = sharing_reports(one).tight
    assert english(report.findings[0].message)[1:30] in text_of(page.blocks)
    data = sharing_data(one, report)
    assert data["shares"] is None
    assert data["fasteners"] == []
    assert data["findings"][0]["message"] == english(report.findings[0].message)


def test_nothing_hung_is_nothing_shared():
    schedule = build_schedule(parse_job(job_text(Ask())))
    report = sharing_reports(schedule).tight
    drawing = sharing_elevation(ENGLISH, schedule, report, 370.0, 100.0)
    assert not drawing.tagged("force:")
    assert hardest_rows(ENGLISH, schedule, report) == []
    assert dict(summary_rows(ENGLISH, schedule, report))["First yield at load factor"] == NONE


def test_data_for_programs_add_up(hung, reports):
    data = sharing_data(hung, reports.tight)
    json.dumps(data, allow_nan=False)
    assert data["schema"] == SCHEMA == "girderply.share/1"
    assert sum(data["shares"]) == pytest.approx(1.0, abs=1e-5)
    # 10.05 kN and 1.35 x 2 = 2.70 kN hang on it, by hand.
    whole = sum(sum(b["reactions_N"]) for b in data["bearings"])
    assert whole == pytest.approx(12750.0, abs=0.01)
    assert len(data["fasteners"]) == len(hung.fasteners)
    by_id = {f["id"]: f for f in data["fasteners"]}
    hardest = data["hardest"]
    crossing = next(
        c for c in by_id[hardest["id"]]["interfaces"] if c["interface"] == hardest["interface"]
    )
    force = math.hypot(crossing["force_x_N"], crossing["force_y_N"])
    assert force == pytest.approx(hardest["force_N"], abs=0.01)
    assert hardest["utilisation"] == pytest.approx(force / hardest["resistance_N"], abs=1e-4)


def test_figures_in_words():
    assert slip_words(ENGLISH, 0.384, Printed("metric", ENGLISH)) == "0.38\u00a0mm"
    assert slip_words(ENGLISH, 0.254, Printed("imperial", ENGLISH)) == "0.010\u00a0in"
    assert factor_words(ENGLISH, 2.534) == "2.53"
    assert factor_words(ENGLISH, math.inf) == factor_words(ENGLISH, math.nan) == NONE


def test_its_pages_have_no_overlapping_text(hung):
    """Measured in the PDF itself, diagrams, legend and cautions included."""
    for _, runs in page_runs(render_pdf(hung, ["sharing"])):
        boxes = sorted((shrunk(r) for r in runs), key=lambda box: min(p[0] for p in box))
        for i, a in enumerate(boxes):
            right = max(x for x, _ in a)
            for b in boxes[i + 1 :]:
                if min(x for x, _ in b) >= right:
                    break
                assert not boxes_overlap(a, b)
