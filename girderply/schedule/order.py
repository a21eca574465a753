"""Order list and masses of one girder."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping

from girderply.catalogue.catalogue_types import BoltChoice, Nail, Washer
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.layout.records import Fasteners
from girderply.schedule.types import Masses, OrderLine
from girderply.wording import Words

STEEL = 7850e-9  # kg/mm3
HEXAGON = math.sqrt(3) / 2  # area of a hexagon / square of its width across flats


def order_list(
    fasteners: Fasteners,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    allowance: float,
) -> tuple[OrderLine, ...]:
    """What to order for one girder, with an allowance for loss.

    Args:
        fasteners: every fastener.
        nails: by spec.
        bolts: by spec.
        allowance: share added to the number needed, rounded up to whole pieces.
    """
    counts = Counter(fasteners.spec.tolist())
    lines = [
        _line(nails[key].kind, key, counts[key], allowance, nails[key].mass)
        for key in sorted(nails)
        if counts[key]
    ]
    washers: Counter[str] = Counter()
    nuts: Counter[str] = Counter()
    sizes: dict[str, Washer] = {}
    nut_mass: dict[str, float] = {}
    for spec in sorted(bolts):
        choice, count = bolts[spec], counts[spec]
        if not count:
            continue
        kind = "threaded rod" if choice.threaded_rod else FastenerKind.BOLT
        lines.append(_line(kind, spec, count, allowance, bolt_mass(choice), choice.note))
        washers[choice.washer.key] += 2 * count
        sizes[choice.washer.key] = choice.washer
        nuts[choice.bolt.key] += (2 if choice.threaded_rod else 1) * count
        nut_mass[choice.bolt.key] = _hexagon(choice, choice.bolt.nut_height)
    lines += [
        _line("washer", key, n, allowance, washer_mass(sizes[key]))
        for key, n in sorted(washers.items())
    ]
    lines += [_line("nut", key, n, allowance, nut_mass[key]) for key, n in sorted(nuts.items())]
    return tuple(lines)


def _line(
    kind: str, spec: str, needed: int, allowance: float, mass: float, note: Words = ""
) -> OrderLine:
    ordered = math.ceil(needed * (1 + allowance) - 1e-9)
    return OrderLine(kind, spec, needed, ordered, mass * ordered, note)


def _hexagon(choice: BoltChoice, height: float) -> float:
    """Mass of a hexagon with the bolt's hole, kg."""
    bolt = choice.bolt
    return STEEL * height * (HEXAGON * bolt.across_flats**2 - math.pi / 4 * bolt.d**2)


def bolt_mass(choice: BoltChoice) -> float:
    """Mass of a bolt with its head, or of a cut rod without nuts, kg; full shank diameter."""
    bolt = choice.bolt
    shank = STEEL * math.pi / 4 * bolt.d**2 * choice.length
    if choice.threaded_rod:
        return shank
    return shank + STEEL * HEXAGON * bolt.across_flats**2 * bolt.head_height


def washer_mass(washer: Washer) -> float:
    """Mass of a washer, kg."""
    face = washer.outer**2 if washer.shape == "square" else math.pi / 4 * washer.outer**2
    return STEEL * washer.thickness * (face - math.pi / 4 * washer.hole**2)


def masses(ply: float, plies: int, lines: tuple[OrderLine, ...]) -> Masses:
    """Masses of one girder from the timber of one ply (kg) and the fasteners needed."""
    fasteners = sum(x.mass * x.needed / x.ordered for x in lines if x.ordered)
    return Masses(ply, ply * plies, fasteners)
