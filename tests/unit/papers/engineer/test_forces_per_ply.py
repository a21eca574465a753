"""The forces sheet against the forces and reactions of schedule.json that it is read from."""

from __future__ import annotations

from dataclasses import replace

import pytest
from job_mutations import as_text
from random_jobs import random_girder

from girderply.jobfile.reader import parse_job
from girderply.papers.engineer.forces_per_ply import forces_blocks
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import ENGLISH


@pytest.fixture(scope="module")
def built():
    return build_schedule(parse_job(as_text(random_girder(7))))


def rows(built, number):
    tables = [b for b in forces_blocks(ENGLISH, built) if b["kind"] == "table"]
    return [[str(cell["text"]) for cell in row] for row in tables[number]["rows"]]


def kilo(text, size):
    return float(text.replace("\u00a0", "").replace("\u2212", "-")) * size


def test_each_row_is_the_hardest_combination_of_its_member(built):
    """Three plies; kN and kNm with two decimals, so to 5 N and 5 000 N mm."""
    forces, member, seen = to_contract(built)["forces"], "", set()
    chords = {m.id for m in built.girder.members if m.role.is_chord}
    for first, what, combination, equal, *plies in rows(built, 0):
        member = first or member
        part, size = what[0], 1e6 if what[0] == "M" else 1e3
        mine = [f for f in forces if f["member"] == member]
        assert len(plies) == built.girder.plies == 3
        there = sorted((f for f in mine if f["combination"] == combination), key=lambda f: f["ply"])
        assert [kilo(p, size) for p in plies] == pytest.approx(
            [f[part] for f in there], abs=0.0051 * size
        )
        assert kilo(equal, size) == pytest.approx(there[0]["equal"][part], abs=0.0051 * size)
        most = max(abs(f[part]) for f in mine)
        assert max(abs(f[part]) for f in there) == pytest.approx(most)
        seen.add((member, part))
    assert {m for m, _ in seen} == {f["member"] for f in forces}
    assert {m for m, part in seen if part == "M"} == chords


def test_reactions_of_each_ply_and_what_lifts(built):
    reactions, bearing = to_contract(built)["reactions"], 0
    for first, what, combination, equal, *plies in rows(built, 1):
        bearing += bool(first)
        part = what.split(",")[0]
        mine = [r for r in reactions if r["bearing"] == bearing]
        there = sorted((r for r in mine if r["combination"] == combination), key=lambda r: r["ply"])
        assert [kilo(p, 1e3) for p in plies] == pytest.approx([r[part] for r in there], abs=5.1)
        assert kilo(equal, 1e3) == pytest.approx(there[0]["equal"], abs=5.1)
        worst = max(r["most"] for r in mine) if part == "most" else min(r["least"] for r in mine)
        assert worst in [r[part] for r in there]
    assert bearing == len(built.girder.bearings)


def test_a_girder_without_forces_has_no_such_table(built):
    assert list(forces_blocks(ENGLISH, replace(built, forces=()))) == []
