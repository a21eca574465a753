"""girderply catalogue: what is known, with where it is from."""

from __future__ import annotations

import json

import pytest
from command import girderply


@pytest.mark.parametrize("what", ["nails", "bolts", "washers", "timber", "rules"])
def test_every_item_has_a_source(capsys, what):
    ran = girderply(capsys, "catalogue", what, "--format", "json")
    items = json.loads(ran.out)[what]
    assert ran.code == 0
    assert items
    assert all(item["source"] for item in items)


def test_table_names_the_washer_of_the_trade(capsys):
    """40 x 40 x 4 under an M12 nut: common practice, no source."""
    line = next(
        line
        for line in girderply(capsys, "catalogue", "washers").out.splitlines()
        if line.startswith("DIN 436 M12")
    )
    assert "square" in line
    assert line.split()[5:6] == ["40"]


def test_everything_at_once(capsys):
    found = json.loads(girderply(capsys, "catalogue", "--format", "json").out)
    assert list(found) == ["nails", "bolts", "washers", "timber", "rules"]
