"""More is never less: on one layout more load lowers no utilisation, better stuff raises none.

Shear beside a connection is the member's own, from a frame: a load elsewhere may well relieve it.
So splitting is held only against all loads growing together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

import pytest
from job_mutations import as_text
from random_jobs import random_job

from girderply.catalogue.catalogue_types import Nail
from girderply.jobfile.job import Job
from girderply.jobfile.reader import parse_job
from girderply.model.build_girder import build_girder
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule
from girderply.strength.check_record import Check
from girderply.strength.checks import Checker

SEEDS = range(20, 26)
EPS = 1e-9


@pytest.fixture(scope="module", params=SEEDS)
def made(request) -> Schedule:
    return build_schedule(parse_job(as_text(random_job(request.param))))


def checked(made: Schedule, job: Job, nails: Mapping[str, Nail] | None = None) -> tuple[Check, ...]:
    """The checks of another job on the fasteners of a schedule."""
    girder, _ = build_girder(job)
    return Checker(job, girder, made.rules).check(made.fasteners, nails or made.nails, made.bolts)


def passed(checks: tuple[Check, ...]) -> dict[str, float]:
    """Of every single check of what passes between plies, by id."""
    return {c.id: c.utilisation for c in checks if c.interface}


def scaled(job: Job, factor: float, entries: set[str]) -> Job:
    loads = tuple(
        replace(x, permanent=x.permanent * factor, variable=x.variable * factor)
        if x.id in entries
        else x
        for x in job.loads
    )
    return replace(job, loads=loads)


@pytest.mark.parametrize("entry", ["T", "S"])
def test_more_load_on_a_face_lowers_no_utilisation(made, entry):
    before = passed(checked(made, made.job))
    after = passed(checked(made, scaled(made.job, 1.3, {entry})))
    assert len(before) > 3
    assert {k: (u, after[k]) for k, u in before.items() if after[k] < u * (1 - EPS)} == {}
    assert any(after[k] > 1.01 * u for k, u in before.items())


def test_all_loads_grown_together_grow_every_check_alike(made):
    """Resistances do not know the size of a load, so every utilisation grows by the factor."""
    before, after = checked(made, made.job), checked(made, scaled(made.job, 1.3, {"T", "S"}))
    assert [c.id for c in after] == [c.id for c in before]
    for one, two in zip(before, after, strict=True):
        assert two.utilisation == pytest.approx(1.3 * one.utilisation, rel=1e-6), one.id


def test_a_stronger_timber_raises_no_utilisation(made):
    used = []
    for timber in ("C18", "C24", "C35"):
        job = replace(made.job, girder=replace(made.job.girder, timber=timber))
        used.append(passed(checked(made, job)))
    for weak, strong in pairwise(used):
        assert {k for k, u in weak.items() if strong[k] > u * (1 + EPS)} == set()


def test_a_thicker_nail_carries_no_less(made):
    """Each nail by itself; in a row close together the standard counts fewer thick ones (n_ef)."""
    if made.job.fastening.transfer_by == "bolt":
        return
    thick = {k: replace(n, d=1.1 * n.d, head=1.1 * n.head) for k, n in made.nails.items()}
    each = []
    for nails in (made.nails, thick):
        checks = [c for c in checked(made, made.job, nails) if c.interface and "n_ef" in c.inputs]
        each.append({c.id: c.inputs["F_v_Rd"][0] for c in checks if "F_v_Rd" in c.inputs})
    thin, fat = each
    assert thin
    assert set(thin) == set(fat)
    assert {k for k, value in thin.items() if fat[k] < value * (1 - EPS)} == set()
