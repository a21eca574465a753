"""A decimal point moved or a unit mistaken, at any number of a job, never passes without a word.

Not every slip can be seen in a job: 22.5 degrees read as 25.2, or two plies as three, are good
girders too, and only the truss designer's figures tell. Those of a decimal point and of a unit can
be seen, and each must end the job, fail it, be asked about, or change nothing that is made.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from typing import Any

import pytest
from job_mutations import as_text
from random_jobs import random_job

from girderply.errors import GirderplyError, Severity
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.schedule.types import Schedule
from girderply.wording import english

Tables = dict[str, Any]
SEEDS = range(4)
SLIPS_OF_EACH = 5
UNITS = (1000.0, 0.001, 25.4, 1 / 25.4)
POINTS = (10.0, 0.1)


def numbers(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], float]]:
    """Every number of a job, by where it stands."""
    if isinstance(value, dict | list):
        pairs = value.items() if isinstance(value, dict) else enumerate(value)
        for key, one in pairs:
            yield from numbers(one, (*path, key))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path, value


def slipped(tables: Tables, path: tuple[Any, ...], factor: float) -> Tables:
    found = copy.deepcopy(tables)
    at = found
    for key in path[:-1]:
        at = at[key]
    value = at[path[-1]] * factor
    at[path[-1]] = round(value) if isinstance(at[path[-1]], int) and value >= 1 else value
    return found


def words(made: Schedule) -> set[tuple[str, str]]:
    """What a person is asked, by code and place; what the reader of the read-back is shown."""
    asked = {(f.code, english(f.where)) for f in made.findings if f.severity is not Severity.NOTE}
    return asked | {("unusual", english(line)) for line in read_back(made).unusual}


def made_of(made: Schedule) -> list[Any]:
    f = made.fasteners
    columns = (f.member, f.station.round(1), f.offset.round(1), f.spec, f.from_ply, f.to_ply)
    return [*zip(*(c.tolist() for c in columns), strict=True)] + [
        round(c.utilisation, 4) for c in made.checks
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_moved_point_or_a_wrong_unit_is_never_silent(seed):
    rng, tables = random.Random(1000 + seed), random_job(seed)
    before = build_schedule(parse_job(as_text(tables)))
    places = list(numbers(tables))
    for path, value in rng.sample(places, SLIPS_OF_EACH):
        factor = rng.choice(POINTS + UNITS)
        try:
            after = build_schedule(parse_job(as_text(slipped(tables, path, factor))))
        except GirderplyError:
            continue
        heard = (after.failed and not before.failed) or words(after) - words(before)
        assert heard or made_of(after) == made_of(before), (path, value, factor)
