"""Which webs a shape has: pairs of panel points, and the sign that the theory gives them.

A web is (x of its foot on the bottom chord, x of its head on the top chord, compression). Signs
are for downward loads on a simply supported truss: between a heel and the knee or apex the chord
force has a vertical part larger than the shear (the moment is concave and the depth grows from
the heel), so webs there act the other way round than between level chords.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

PATTERNS = ("howe", "pratt", "warren")


@dataclass(frozen=True, slots=True)
class Web:
    """A web by the x of its foot and of its head, mm; compression True, False or None."""

    foot: float
    head: float
    compression: bool | None


@dataclass(frozen=True, slots=True)
class Panels:
    """Panel points of the left half (or of the only slope), from the left end, mm.

    Attributes:
        slope: from the heel to the knee or apex; one value when the chords are level.
        level: from the knee to midspan; one value when there is no level part.
        side: the left end has an end vertical (level chords, raised heel).
    """

    slope: tuple[float, ...]
    level: tuple[float, ...]
    side: bool

    @property
    def sure(self) -> bool:
        """Signs between the heel and the knee are known only where the chords meet there."""
        return not self.side


def half_webs(panels: Panels, pattern: str) -> list[Web]:
    """Howe or pratt webs from the left end up to and with the last panel point."""
    howe = pattern == "howe"
    webs = [Web(panels.slope[0], panels.slope[0], True)] if panels.side else []
    webs += list(_slope_webs(panels, howe))
    for a, b in pairwise(panels.level):
        # howe struts rise to midspan, pratt ties fall to it
        webs.append(Web(a, b, True) if howe else Web(b, a, False))
        webs.append(Web(b, b, not howe))
    return webs


def _slope_webs(panels: Panels, howe: bool) -> Iterator[Web]:
    points = panels.slope
    for i, (a, b) in enumerate(pairwise(points)):
        if i or panels.side:  # the first panel of a plain heel is a triangle already
            sign = howe if panels.sure else None
            yield Web(b, a, sign) if howe else Web(a, b, sign)
        last = i == len(points) - 2 and len(panels.level) == 1
        # under an apex the vertical only carries what hangs at its foot, whatever the pattern
        yield Web(b, b, (not howe and not last) if panels.sure or last else None)


def mirrored(webs: Sequence[Web], span: float) -> list[Web]:
    """Mirror images of webs about midspan; a post at midspan is its own and is left out."""
    half = span / 2
    return [
        Web(span - w.foot, span - w.head, w.compression)
        for w in webs
        if abs(w.foot - half) > 1e-6 or abs(w.head - half) > 1e-6
    ]


def zigzag_webs(
    feet: Sequence[float], heads: Sequence[float], level: tuple[float, float], sure: bool
) -> list[Web]:
    """Warren webs through all panel points in turn.

    Args:
        feet: x of the bottom panel points, mm.
        heads: x of the top panel points, mm.
        level: from which x to which the top chord is level, mm; (inf, inf) for a single slope.
        sure: signs under the slopes are known.
    """
    points = sorted([(x, 0) for x in feet] + [(x, 1) for x in heads])
    middle = (level[0] + level[1]) / 2
    webs = []
    for (a, up_a), (b, _) in pairwise(points):
        foot, head = (b, a) if up_a else (a, b)
        inward = (head > foot) == (a + b < 2 * middle)  # rises to midspan
        flat = level[0] - 1e-6 <= min(a, b) and max(a, b) <= level[1] + 1e-6
        webs.append(Web(foot, head, inward if flat else not inward if sure else None))
    return webs
