"""An outsider redoes the sharing of the plies from schedule.json alone, with PyNiteFEA.

Read from the file: axes of members, joints, fasteners, loads, bearings, factors, E, diameters and
the service class. Put in by hand, values from memory: mean density of C24 [EN 338:2016, Table 1:
420 kg/m3]; slip moduli [EN 1995-1-1:2004, Table 7.1: rho^1.5 d / 23 for screws and bolts; 8.7.1:
1.1 times the root diameter of a screw], two thirds of them at the ultimate state [2.2.2(2)]; after
creep E / (1 + k) and K / (1 + 2 k) [2.3.2.2, Table 3.2: k = 0.8 for solid timber in service class
2]. A bolt carries nothing while it has play, which is taken here as more than it slips.
"""

from __future__ import annotations

import json
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from made_schedules import sample
from pynite_plies import PynitePlies

from girderply.exchange.json_out import schedule_json
from girderply.jobfile.job import BearingSpec, Role
from girderply.model.girder import Girder, Joint, Member

RHO_MEAN, K_DEF = 420.0, 0.8


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    """Nothing but the text of the file."""
    read: dict[str, Any] = json.loads(schedule_json(sample("two-ply-screwed")))
    assert read["girder"]["timber"] == "C24"
    assert read["basis"]["service_class"] == 2
    return read


def girder_of(data: dict[str, Any]) -> Girder:
    g = data["girder"]
    members = tuple(
        Member(m["id"], Role(m["role"]), m["depth_mm"], tuple(m["hook_end"]), tuple(m["far_end"]),
               np.array(m["outline"]), tuple(m["joints"]))
        for m in data["members"]
    )  # fmt: skip
    joints = tuple(Joint(j["id"], j["x"], j["y"], tuple(j["members"])) for j in data["joints"])
    loads = tuple(SimpleNamespace(chord=v["chord"], station=v["station_mm"]) for v in data["loads"])
    bearings = tuple(BearingSpec(b["x_mm"], b["width_mm"]) for b in g["bearings"])
    return Girder(g["mark"], 1, g["plies"], g["ply_thickness_mm"], g["timber"], members, joints, (),
                  bearings, loads)  # type: ignore[arg-type]  # fmt: skip


def entering_of(data: dict[str, Any], code: str) -> np.ndarray:
    """What each load brings into each ply: its parts by the factors, where its fixing reaches."""
    (factors,) = [c["factors"] for c in data["combinations"] if c["code"] == code]
    n = data["girder"]["plies"]
    into = np.zeros((len(data["loads"]), n))
    for row, v in zip(into, data["loads"], strict=True):
        size = sum(
            factors.get(part, 0.0) * (v[f"{part}_N"] or 0.0) for part in ("permanent", "variable")
        )
        reached = range(v["plies_reached"])
        for i in reached:
            row[i if v["face"] == "front" else n - 1 - i] = size / len(reached)
    return into


def modulus_of(data: dict[str, Any], *, bolts: bool, creep: bool) -> np.ndarray:
    """Slip modulus of every fastener at the ultimate state, N/mm, beside plies of unchanged E."""
    found = []
    for f in data["fasteners"]:
        kind = data["fastener_types"][f["spec"]]
        d = kind["d"] if kind["kind"] == "bolt" else 1.1 * kind["d_root"]
        counted = bolts or kind["kind"] != "bolt"
        found.append(counted * 2 / 3 * RHO_MEAN**1.5 * d / 23)
    softer = (1 + K_DEF) / (1 + 2 * K_DEF) if creep else 1.0
    return np.maximum(np.array(found) * softer, 1e-6)


def reactions(data: dict[str, Any], code: str, **state: bool) -> np.ndarray:
    """(bearing, ply), N."""
    girder = girder_of(data)
    names = ("member", "station_mm", "offset_mm", "from_ply", "to_ply")
    columns = SimpleNamespace(
        **{n.removesuffix("_mm"): np.array([f[n] for f in data["fasteners"]]) for n in names}
    )
    E = data["girder"]["timber_values"]["E_mean"]
    made = PynitePlies(girder, columns, modulus_of(data, **state), E, arm=1e5)
    solved = made.build(entering_of(data, code)).solve()
    return np.array(
        [[solved.reaction(b.x, ply) for ply in range(girder.plies)] for b in girder.bearings]
    )


def test_what_each_ply_brings_to_each_bearing(data):
    """The least and the most of four states: bolts tight or with play, first or after creep."""
    code = "PV"
    every = np.array(
        [reactions(data, code, bolts=b, creep=c) for b in (True, False) for c in (True, False)]
    )
    told = [r for r in data["reactions"] if r["combination"] == code]
    assert len(told) == 2 * data["girder"]["plies"]
    whole = entering_of(data, code).sum()
    for r in told:
        mine = every[:, r["bearing"] - 1, r["ply"] - 1]
        assert mine.max() == pytest.approx(r["most"], abs=1e-4 * whole)
        assert mine.min() == pytest.approx(r["least"], abs=1e-4 * whole)
        equal = every[0, r["bearing"] - 1].sum() / data["girder"]["plies"]
        assert equal == pytest.approx(r["equal"], abs=1e-6 * whole)
        assert mine.max() - mine.min() > 1e-2 * whole / 4  # the states are not all one
