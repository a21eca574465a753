"""Jobs by a seed: plausible girders with unlike loads on both faces, as plain tables."""

from __future__ import annotations

import random
from typing import Any

Tables = dict[str, Any]


def random_job(seed: int) -> Tables:
    """A job that can be built: every size in it is a usual one, and nothing in it is alike."""
    rng = random.Random(seed)
    plies = rng.choice((2, 3, 4))
    span = rng.randrange(4400, 7600, 100)
    job: Tables = {
        "job": {"number": f"R-{seed}", "title": "By a seed", "revision": "A"},
        "girder": {
            "mark": "G1",
            "plies": plies,
            "ply_thickness": rng.choice((38, 42, 45)),
            "timber": rng.choice(("C24", "C30")),
            "shape": {"kind": rng.choice(("howe", "pratt")), "span": span, "pitch": 25,
                      "panels": 4},
            "sections": {
                "top_chord": rng.choice((145, 170)),
                "bottom_chord": rng.choice((170, 195, 220)),
                "web": rng.choice((95, 120)),
            },
            "bearings": [{"x": 70, "width": 140}, {"x": span - 90, "width": 180}],
        },
        "loads": [_series(rng, span), _single(rng, span, plies)],
        "basis": {"service_class": rng.choice((1, 2)), "variable_duration": "medium"},
        "fastening": {"transfer_by": rng.choice(("nail", "nail", "bolt"))},
    }  # fmt: skip
    return job


def _series(rng: random.Random, span: int) -> Tables:
    step = rng.choice((400, 600, 900))
    return {
        "id": "T",
        "chord": "BC1",
        "face": rng.choice(("front", "back")),
        "at": rng.randrange(500, 900, 10),
        "to": span - 500,
        "every": step,
        "permanent": round(rng.uniform(0.4, 1.2) * step / 600, 2),
        "variable": round(rng.uniform(0.4, 1.2) * step / 600, 2),
        "bracket": {"width": 90, "height": 150},
    }


def _single(rng: random.Random, span: int, plies: int) -> Tables:
    return {
        "id": "S",
        "chord": "BC1",
        "face": rng.choice(("front", "back")),
        "at": rng.randrange(1200, span - 1200, 10),
        "permanent": round(rng.uniform(0.5, 2.0), 2),
        "variable": round(rng.uniform(0.5, 2.0), 2),
        "bracket": {"width": 110, "height": 160, "nail_length": 40 if plies < 4 else 35},
    }


def random_girder(seed: int) -> Tables:
    """A job with loads on every chord and both faces, some lifted, hook ends either way."""
    rng = random.Random(seed + 5000)
    job = random_job(seed)
    span, plies = job["girder"]["shape"]["span"], job["girder"]["plies"]
    job["girder"]["hook_ends"] = {
        name: rng.choice(("left", "right")) for name in ("BC1", "TC1", "TC2")
    }
    if rng.random() < 0.3:
        job["girder"]["shape"] = {"kind": "parallel chord", "span": span, "panels": 6,
                                  "height": rng.randrange(700, 1100, 50)}  # fmt: skip
        del job["girder"]["hook_ends"]["TC2"]
    rafter = span if "TC2" not in job["girder"]["hook_ends"] else span / 2
    for name in sorted(job["girder"]["hook_ends"]):
        if name != "BC1":
            job["loads"].append(_on_rafter(rng, name, rafter))
    for load in job["loads"]:
        if rng.random() < 0.4:
            load["uplift"] = round(rng.uniform(0.3, 1.5), 2)
        if plies > 2 and rng.random() < 0.2:
            load["plies_reached"] = 2
            load["bracket"]["fixing"] = {"d": 4, "length": 90, "number": 30}
            load["bracket"].pop("nail_length", None)
    return job


def _on_rafter(rng: random.Random, chord: str, length: float) -> Tables:
    return {
        "id": f"R{chord[-1]}",
        "chord": chord,
        "face": rng.choice(("front", "back")),
        "at": rng.randrange(700, int(length - 700), 10),
        "permanent": round(rng.uniform(0.3, 1.2), 2),
        "variable": round(rng.uniform(0.3, 1.2), 2),
        "bracket": {"width": 90, "height": 110},
    }
