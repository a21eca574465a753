"""Equal jobs, equal answers: however a job is written, its fasteners and checks are the same."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import numpy as np
import pytest
from every_key import FASTENING, HANG, LISTS, head
from job_mutations import as_text
from random_jobs import random_job

from girderply.jobfile.reader import parse_job, read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule

SEEDS = range(5)
Tables = dict[str, Any]


def built(tables: Tables) -> Schedule:
    return build_schedule(parse_job(as_text(tables)))


def laid_out(made: Schedule, names: dict[str, str] | None = None) -> list[tuple[Any, ...]]:
    """Every fastener by what and where it is; members by their names before a change."""
    f, back = made.fasteners, names or {}
    columns = (
        *(f.kind, f.spec, [back.get(str(m), str(m)) for m in f.member]),
        *(np.round(v, 3) for v in (f.x, f.y, f.protrusion)),
        *(f.stage, f.face, f.from_ply, f.to_ply),
    )
    rows = zip(*(np.asarray(c).tolist() for c in columns), strict=True)
    return sorted(rows)


def checked(made: Schedule) -> list[tuple[float, ...]]:
    """Demand, resistance and interface of every check."""
    rows = [(round(c.demand, 2), round(c.resistance, 2), c.interface) for c in made.checks]
    return sorted(rows)


def same(one: Schedule, two: Schedule, names: dict[str, str] | None = None) -> None:
    assert laid_out(two, names) == laid_out(one)
    assert np.allclose(checked(two), checked(one), atol=0.05, rtol=1e-6)
    assert len(one.fasteners) > 20
    assert one.checks
    assert two.failed == one.failed


@pytest.fixture(scope="module", params=SEEDS)
def pair(request) -> tuple[Tables, Schedule]:
    tables = random_job(request.param)
    return tables, built(tables)


def renamed(tables: Tables) -> Tables:
    for load, name in zip(tables["loads"], ("zz-9", "A.1"), strict=True):
        load["id"] = name
    return tables


def reordered(tables: Tables) -> Tables:
    tables["loads"].reverse()
    tables["girder"]["bearings"].reverse()
    return dict(reversed(tables.items()))


def as_singles(tables: Tables) -> Tables:
    series, *rest = tables["loads"]
    first, last, step = (series.pop(k) for k in ("at", "to", "every"))
    places = range(first, last + 1, step)
    return tables | {
        "loads": [*rest, *(series | {"at": x, "id": f"Q{i}"} for i, x in enumerate(places))]
    }


def in_other_units(tables: Tables) -> Tables:
    girder = tables["girder"]
    girder["shape"]["span"] = f"{girder['shape']['span'] / 1000!r} m"
    girder["ply_thickness"] = f"{girder['ply_thickness'] / 10!r} cm"
    for load in tables["loads"]:
        load["permanent"] = f"{load['permanent'] * 1000!r} N"
        load["at"] = f"{load['at'] / 25.4!r} in"
    return tables


@pytest.mark.parametrize("change", [renamed, reordered, as_singles, in_other_units])
def test_another_way_to_write_the_same_job(pair, change):
    tables, made = pair
    same(made, built(change(copy.deepcopy(tables))))


def test_a_load_in_two_entries_is_one_load(pair):
    """Half of every part in each: the same fasteners, and nothing is used less or more."""
    tables, made = copy.deepcopy(pair[0]), pair[1]
    for load in [*tables["loads"]]:
        load |= {part: load[part] / 2 for part in ("permanent", "variable")}
        tables["loads"].append(load | {"id": f"{load['id']}half"})
    halves = built(tables)
    assert laid_out(halves) == laid_out(made)
    one, two = ({round(c.utilisation, 5) for c in m.checks} for m in (made, halves))
    assert max(two) == pytest.approx(max(one), rel=1e-4)
    assert halves.failed == made.failed


def test_comments_line_ends_and_a_byte_order_mark_change_nothing(tmp_path):
    tables = random_job(7)
    text = as_text(tables)
    lines = "\r\n".join(f"{line} # said" for line in text.splitlines())
    path = tmp_path / "job.toml"
    path.write_bytes(b"\xef\xbb\xbf# a comment\r\n" + lines.encode() + b"\r\n\r\n")
    assert build_schedule(read_job(path)).content_hash == built(tables).content_hash


def test_members_and_nodes_by_other_names_in_another_order():
    tables = tomllib.loads(head() + LISTS + HANG.replace("BC1", "TC1") + FASTENING)
    made = built(tables)
    girder = copy.deepcopy(tables)["girder"]
    names = {m["id"]: f"m{i}" for i, m in enumerate(girder["members"])}
    for m in girder["members"]:
        m["id"], m["nodes"] = names[m["id"]], [f"n{k}" for k in m["nodes"]]
    for node in girder["nodes"]:
        node["id"] = f"n{node['id']}"
    girder["plates"][0]["joint"] = "nB"
    for part in ("members", "nodes", "bearings"):
        girder[part].reverse()
    loads = [tables["loads"][0] | {"chord": names["TC1"]}]
    other = built(tables | {"girder": girder, "loads": loads})
    same(made, other, {new: old for old, new in names.items()})
