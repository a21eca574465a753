"""Moisture and duration on a connection by NDS."""

from __future__ import annotations

import pytest

from girderply.bases.answers import Stuff
from girderply.bases.combining import Combination
from girderply.bases.crossing import Crossing
from girderply.bases.nds import BASIS
from girderply.bases.registry import spec_of
from girderply.catalogue import bolt, choose_bolt, nail, timber, washer
from girderply.standards.nds_2018.adjustment import C_D


@pytest.mark.parametrize(
    ("moisture", "inches", "factor"),
    [
        ("dry", 0.5, 1.0), ("wet", 0.5, 0.7), ("made wet, used dry", 0.5, 0.4),
        ("dry", 0.162, 1.0), ("wet", 0.162, 0.7), ("made wet, used dry", 0.162, 0.7),
    ],
)  # fmt: skip
def test_moisture_of_nds(moisture, inches, factor):
    """NDS Table 11.3.3, from memory: 0.7 wet in use; only made wet 0.4, below 1/4 in 0.7."""

    choice = choose_bolt(bolt("1/2 in"), washer("cut 1/2 in"), 76.2)
    stuff = Stuff(timber("SPF"), 38.1, {"16d common": nail("16d common")}, {choice.spec: choice},
                  moisture=moisture)  # fmt: skip
    kind = ("bolt", choice.spec) if inches == 0.5 else ("nail", "16d common")
    once = Combination("PV", (), "ten years", 1.0, "test")
    (plane,) = BASIS.resistance(spec_of("NDS 2018"), stuff).planes(
        Crossing(*kind, 1, 2, 38.1), 1.5, (1.0,), once, False
    )
    assert plane.inputs["D"][0] == pytest.approx(inches * 25.4)
    assert plane.inputs["C_M"][0] == factor


def test_impact_raises_no_connection_beyond_ten_minutes():
    """NDS Table 2.3.2: impact 2.0; 11.3.2: connections no more than 1.6. Both from memory."""

    spec = spec_of("NDS 2018", variable_duration="impact")
    assert C_D("impact") == 2.0
    assert BASIS.shortest(spec, ["permanent", "impact"]) == ("impact", 1.6)
    assert BASIS.combination(spec, "PV").modification == 1.6
