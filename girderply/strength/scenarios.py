"""What acts together on the loads of one chord."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.strength.demand import Demand
from girderply.strength.zones import Zone

Scenario = tuple[Demand | None, ...]


def scenarios(zones: Sequence[Zone], asked: Sequence[Demand]) -> tuple[Scenario, ...]:
    """What acts together on one chord: every combination, each face alone, one face lifted.

    Args:
        zones: of the chord.
        asked: demands of all zones.

    Returns:
        Per scenario one demand per zone, None where nothing has to pass.
    """
    own = [
        {d.id.removeprefix(f"{zone.id}."): d for d in asked if d.zone.id == zone.id}
        for zone in zones
    ]
    faces = [{load.face for load in zone.loads} for zone in zones]
    both = set().union(*faces)
    codes = dict.fromkeys(d.combination.code for mine in own for d in mine.values())
    plain_codes = [c for c in codes if any(c in mine for mine in own)]

    def alone(i: int, code: str, face: str) -> Demand | None:
        return own[i].get(code if len(faces[i]) == 1 else f"{code}.{face}")

    found = [tuple(mine.get(code) for mine in own) for code in plain_codes]
    if len(both) > 1:
        for code in plain_codes:
            for face in sorted(both, reverse=True):
                found.append(
                    tuple(
                        alone(i, code, face) if face in faces[i] else None
                        for i in range(len(zones))
                    )
                )
        for down in ("front", "back"):
            found += _lifted(own, faces, down)
    return tuple({tuple(d and d.id for d in s): s for s in found if any(s)}.values())


def _lifted(
    own: list[dict[str, Demand]], faces: list[set[str]], down: str
) -> list[tuple[Demand | None, ...]]:
    """One face pressed down while the other is lifted, with every permanent and variable load.

    Places apart keep the duration of their own combination, and a fastener counts by the least of
    them: harder than EN 1995-1-1, 3.1.3(2), by which the shortest action governs all.
    """
    found = []
    for heavy in ("PV", "P"):
        row = []
        for mine, on in zip(own, faces, strict=True):
            if len(on) > 1:
                row.append(mine.get(f"{heavy}U.{down}", mine.get(f"{heavy}.{down}")))
            else:
                row.append(mine.get(heavy if down in on else "U"))
        found.append(tuple(row))
    return found
