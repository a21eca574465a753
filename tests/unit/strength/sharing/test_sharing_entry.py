"""The one call that commands make, on every sample job."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from girderply.bases.combining import terms_of
from girderply.errors import Severity
from girderply.jobfile.job import BearingSpec
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.sharing import sharing_of
from girderply.strength.sharing.of_schedule import governing
from girderply.wording import english

SAMPLES = sorted((Path(__file__).parents[4] / "sample_jobs").glob("*.toml"))


@cache
def schedule(path: Path):
    return build_schedule(read_job(path))


def one(name: str):
    return schedule(next(p for p in SAMPLES if p.stem == name))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_sample_has_its_sharing(path):
    made = schedule(path)
    report = sharing_of(made, raise_load=False)
    found = report.sharing
    assert found is not None, report.findings
    total = found.loads.sum()
    assert found.reactions.sum() == pytest.approx(total, rel=1e-6)
    assert found.bearing_shares.sum(axis=0) == pytest.approx(1.0)
    assert found.force.shape == (len(made.fasteners), made.girder.plies - 1, 2)
    crossing = np.stack([made.fasteners.crosses(k) for k in range(1, made.girder.plies)], axis=1)
    assert not found.force[~crossing].any()
    assert {f.severity for f in report.findings} <= {Severity.WARNING, Severity.NOTE}
    assert report.relief.shape == (len(made.fasteners),)


def test_combinations_for_both_states():
    made = one("two-ply-howe")
    assert governing(made, "ultimate").code == "PV"
    assert governing(made, "serviceability").terms == terms_of(1.0, 1.0, 0.0, 0.0)
    design = tuple(replace(v, permanent=None, variable=None, design=9e3) for v in made.girder.loads)
    given = replace(made, girder=replace(made.girder, loads=design))
    assert governing(given, "ultimate").terms == terms_of(0.0, 0.0, 0.0, 1.0)


@pytest.mark.parametrize("faces", ["both", "front"])
@pytest.mark.parametrize("name", ["two-ply-howe", "six-ply"])
def test_load_factor_by_equal_shares_is_that_of_the_checks(name, faces):
    """One definition of who serves what: it cannot say 0.95 where the checks say 1.35."""
    made = one(name)
    report = sharing_of(made, faces=faces, raise_load=False)
    code = report.combination.code
    ends = (f".{code}",) if faces == "both" else (f".{code}.{faces}", f".{code}")
    mine = [c for c in made.checks if c.interface and c.id.endswith(ends)]
    assert report.equal_share == pytest.approx(1 / max(c.utilisation for c in mine))


def test_serviceability_is_stiffer_and_less_loaded():
    made = one("two-ply-howe")
    hard, soft = sharing_of(made, state="serviceability"), sharing_of(made, raise_load=False)
    assert hard.strength is None
    assert hard.plastic is None
    used = hard.sharing.modulus > 0
    both = used & (soft.sharing.modulus > 0)
    assert soft.sharing.modulus[both] == pytest.approx(hard.sharing.modulus[both] * 2 / 3)
    assert hard.sharing.loads.sum() < soft.sharing.loads.sum()


def test_idle_bolts_pass_nothing():
    made = one("two-ply-howe")
    found = sharing_of(made, bolt_slip="idle", raise_load=False).sharing
    bolts = made.fasteners.kind == "bolt"
    assert bolts.any()
    assert not found.force[bolts].any()


def test_one_face_left_out():
    made = one("six-ply")
    front = sharing_of(made, faces="front", raise_load=False).sharing
    back = np.array([v.face == "back" for v in made.girder.loads])
    assert back.any()
    assert not front.loads[back].any()
    assert front.loads[~back].any()
    assert front.shares[0] > front.shares[-1]


def test_the_load_raised_on_a_sample():
    report = sharing_of(one("three-ply-pratt"))
    path = report.plastic
    assert path.first_yield == pytest.approx(
        1 / report.sharing.utilisation(report.strength).max(where=report.strength > 0, initial=0),
        rel=1e-6,
    )
    assert path.factor > path.first_yield
    assert np.isfinite(report.equal_share)
    held = report.strength * (1 + 1e-6)
    assert (path.final.force_size <= np.where(report.strength > 0, held, 1e-9)).all()


def test_a_girder_that_does_not_stand_is_a_finding():
    made = one("two-ply-howe")
    girder = replace(made.girder, bearings=made.girder.bearings[:1])
    report = sharing_of(replace(made, girder=girder))
    assert report.sharing is None
    (finding,) = report.findings
    assert finding.code == "sharing-mechanism"


def test_a_bearing_in_the_air_is_a_finding():
    made = one("two-ply-howe")
    girder = replace(made.girder, bearings=(*made.girder.bearings, BearingSpec(4e4, 100.0)))
    (finding,) = sharing_of(replace(made, girder=girder)).findings
    assert finding.code == "sharing-no-frame"
    assert "40000" in english(finding.message)


def test_the_same_twice():
    made = one("three-ply-pratt")
    one_, two = sharing_of(made), sharing_of(made)
    assert one_.findings == two.findings
    assert np.array_equal(one_.sharing.force, two.sharing.force)
    assert np.array_equal(one_.plastic.at, two.plastic.at)
