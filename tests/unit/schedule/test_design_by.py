"""Transfer designed by computed shares: consistent with its own layout, bounded, told in front."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from girderply.errors import Finding, Severity
from girderply.inspection.bench import Bench
from girderply.jobfile.job import Job
from girderply.jobfile.reader import read_job
from girderply.papers.engineer.calculation_basis import basis_blocks
from girderply.schedule import design as designing
from girderply.schedule import plies as told_plies
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.schedule.read_back import read_back
from girderply.schedule.types import Schedule
from girderply.strength.sharing import FrameError
from girderply.strength.sharing.ply_forces import ply_forces
from girderply.wording import ENGLISH, english

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


def job_of(name: str, limit: float | None, by: str = "computed shares") -> Job:
    job = read_job(SAMPLES / f"{name}.toml")
    return replace(job, fastening=replace(job.fastening, design_by=by, share_limit=limit))


@cache
def made(name: str, limit: float | None, by: str = "computed shares") -> Schedule:
    return build_schedule(job_of(name, limit, by))


def transfer(schedule: Schedule) -> dict[str, object]:
    return {c.id: c for c in schedule.checks if c.interface}


def test_each_load_of_two_plies_passes_what_the_first_does_not_keep():
    """By hand from schedule.json: 1.35 x 1100 + 1.5 x 1600 = 3885 N, times 1 - share of ply 1.

    The hardest state is told; what it asks for is that of one of the states, and the resistance is
    that of the design by equal shares, as the fasteners and their pattern of shear are the same.
    """
    schedule = made("two-ply-howe", 0.2)
    sets = to_contract(schedule)["shares"]["by_load"]
    equal = transfer(made("two-ply-howe", None, "equal shares"))
    assert len(schedule.fasteners) == len(made("two-ply-howe", None, "equal shares").fasteners)
    for load in schedule.girder.loads:
        check = transfer(schedule)[f"{load.id}.i1.PV"]
        passed = [
            3885.0 * (1.0 - s["kept"][load.id][0])
            for s in sets
            if not s["combinations"] or "PV" in s["combinations"]
        ]
        assert min(abs(check.demand - v) for v in passed) < 0.02
        assert check.demand >= 0.9 * max(passed)
        assert equal[check.id].demand == pytest.approx(1942.5)
    hardest = max(c.utilisation for c in transfer(schedule).values())
    assert hardest == pytest.approx(0.896, abs=0.002)  # 0.950 by equal shares
    assert not schedule.failed


def test_fewer_fasteners_where_less_has_to_pass():
    schedule = made("six-ply", 1.5)
    assert len(schedule.fasteners) < len(made("six-ply", None, "equal shares").fasteners)
    assert all(c.ok for c in schedule.checks)


@pytest.mark.parametrize("name", ["six-ply", "refused-overloaded"])
def test_the_shares_are_those_of_the_layout_that_they_judge(name):
    """Also where the search gave up: its last layout is judged by its own springs."""
    schedule = made(name, 1.5)
    parts = (schedule.fasteners, schedule.nails, schedule.bolts)
    assert ply_forces(schedule.job, schedule.girder, *parts).shares == schedule.load_shares
    assert schedule.load_shares


def test_without_a_word_of_the_job_no_ply_is_relied_upon_beyond_the_usual_limit():
    """Fewer fasteners ask for less, so a limit must bind: 1.13 of the share in ply 1 is refused."""
    schedule = made("two-ply-howe", None)
    (finding,) = [f for f in schedule.findings if f.code == "share-limit"]
    assert (finding.severity, finding.where) == ("error", "fastening.share_limit")
    most = schedule.shares.at_bearings[0].share
    assert 1.10 < most < 1.14
    assert schedule.failed
    asked = float(str(english(finding.tip)).split("give ")[1].split()[0])
    assert most - 1.0 <= asked < most - 1.0 + 0.01
    agreed = made("two-ply-howe", asked)
    assert not [f for f in agreed.findings if f.code == "share-limit"]
    assert not agreed.failed


def test_a_girder_that_falls_short_is_not_rescued_by_leaving_its_load_in_one_ply():
    """The pattern alone, without more where loads ask: springs pass less, but the limit binds."""
    job = job_of("six-ply", None)
    job = replace(job, fastening=replace(job.fastening, design_to_load=False))
    schedule = build_schedule(job)
    assert "share-limit" in {f.code for f in schedule.findings}
    assert schedule.failed


def test_it_is_told_in_front_in_the_ledger_in_the_read_back_and_on_the_sheet():
    schedule = made("two-ply-howe", 0.2)
    (finding,) = [f for f in schedule.findings if f.code == "by-computed-shares"]
    assert finding.severity == "warning"
    assert "designed by computed shares, not by equal ones" in english(finding.message)
    (entry,) = [one for one in schedule.assumed if one.key == "fastening.design_by"]
    assert english(entry.value) == "up to 1.20 of its equal share"
    assert not entry.confirmed
    said = " ".join(map(english, read_back(schedule).said))
    assert "what the springs leave in it (computed shares), up to 1.20" in said
    assert "at most 1.20 of 1/2, computed 1.13" in json.dumps(
        basis_blocks(ENGLISH, schedule), default=str
    )
    data = to_contract(schedule)
    assert data["basis"]["design_by"] == "computed shares"
    assert data["shares"]["limit"] == 0.2


def test_by_equal_shares_nothing_of_it_is_said():
    schedule = made("two-ply-howe", None, "equal shares")
    data = to_contract(schedule)
    assert (data["basis"]["design_by"], data["shares"]["by_load"]) == ("equal shares", [])
    assert not [f for f in schedule.findings if f.code == "by-computed-shares"]
    assert "fastening.design_by" not in {one.key for one in schedule.assumed}
    said = " ".join(map(english, read_back(schedule).said))
    assert "keep 1/2 of each load and to give the rest" in said


def test_the_truss_designers_word_is_confirmed_by_its_key():
    job = job_of("two-ply-howe", 0.2)
    info = replace(job.info, confirmed=(*job.info.confirmed, "fastening.design_by"))
    entries = build_schedule(replace(job, info=info)).assumed
    assert [one.confirmed for one in entries if one.key == "fastening.design_by"] == [True]


def test_shares_that_cannot_be_computed_are_an_error_and_equal_ones_judge(monkeypatch):
    def fails(*_: object) -> None:
        raise FrameError(Finding("sharing-no-frame", Severity.WARNING, "girder", "no frame"))

    monkeypatch.setattr(designing, "ply_forces", fails)
    monkeypatch.setattr(told_plies, "ply_forces", fails)
    schedule = build_schedule(job_of("two-ply-howe", 0.2))
    (finding,) = [f for f in schedule.findings if f.code == "shares-unknown"]
    assert finding.severity == "error"
    equal = transfer(made("two-ply-howe", None, "equal shares"))
    assert {k: c.demand for k, c in transfer(schedule).items()} == {
        k: c.demand for k, c in equal.items()
    }


def test_what_stands_is_judged_by_the_shares_that_the_plies_were_made_for():
    """A girder with half its nails has softer springs; its plies were not made for that."""
    schedule = made("two-ply-howe", 0.2)
    bench, f = Bench.of(schedule), schedule.fasteners
    whole = {c.id: c for c in bench.checks(f, worked=False) if c.interface}
    half = {c.id: c for c in bench.checks(f.select(np.arange(len(f)) % 2 == 0), worked=False)}
    for name, check in transfer(schedule).items():
        assert whole[name].demand == pytest.approx(check.demand, rel=0.02)
        assert half[name].demand >= 0.98 * check.demand
        assert half[name].utilisation > check.utilisation
