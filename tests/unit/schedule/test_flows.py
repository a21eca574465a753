"""`flow` of schedule.json against the fasteners, loads and checks that stand beside it."""

from __future__ import annotations

from itertools import groupby

import pytest
from job_mutations import as_text
from random_jobs import random_girder

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract

SEEDS = (1, 2, 6, 12)  # nails and bolts, two to four plies


@pytest.fixture(scope="module", params=SEEDS)
def contract(request):
    job = parse_job(as_text(random_girder(request.param)))
    return to_contract(build_schedule(job)) | {"fastening": job.fastening.transfer_by}


def test_every_row_is_the_hardest_check_of_its_window(contract):
    checks = {c["id"]: c for c in contract["checks"]}
    assert contract["flow"]
    for row in contract["flow"]:
        assert row["used"] == pytest.approx(row["needed"] / row["there"], rel=1e-4)
        assert row["used"] == pytest.approx(checks[row["check"]]["utilisation"], rel=1e-6)
    used = [row["used"] for row in contract["flow"]]
    assert used == sorted(used, reverse=True)
    passed = [c["utilisation"] for c in contract["checks"] if ".i" in c["id"]]
    assert used[0] == pytest.approx(max(passed))


def test_fasteners_of_a_row_are_those_that_stand_there(contract):
    """Counted again from the list of fasteners, by the documented keys alone.

    A point counts in its last ply from 8 d on (smooth nails of 4 mm: 32 mm, EN 1995-1-1, 8.3.1.2);
    a bracket's own bolts belong to their load.
    """
    kind = "bolt" if contract["fastening"] == "bolt" else "nail"
    for row in contract["flow"]:
        there = set()
        for f in contract["fasteners"]:
            if f["member"] != row["chord"] or f["kind"] != kind:
                continue
            own = f["kind"] == "bolt" and f["purpose"] == "assembly" and f["load"]
            on = row["from_mm"] - 1e-3 <= f["station_mm"] <= row["to_mm"] + 1e-3
            counted = list(f["interfaces"])
            last = max(counted) if f["face"] == "front" else min(counted)
            short = f["kind"] == "nail" and f["point_depth_mm"] < 8 * 4.0 - 1e-3
            if short and not f["protrusion_mm"]:
                counted.remove(last)
            if on and not own and row["interface"] in counted:
                there.add(f["id"])
        assert set(row["fasteners"]) == there
        assert len(row["fasteners"]) == len(there)


def test_loads_of_a_row_hang_between_its_stations(contract):
    at = {load["id"]: load for load in contract["loads"]}
    for row in contract["flow"]:
        for load in (one for place in row["loads"] for one in place.split("+")):
            assert at[load]["chord"] == row["chord"]
    for _, rows in groupby(contract["flow"], key=lambda r: (r["chord"], r["interface"])):
        places = [(r["from_mm"], r["to_mm"], tuple(r["loads"])) for r in rows]
        assert len(places) == len(set(places))
