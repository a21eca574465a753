"""What a nail plate must reach, and the proportions that estimates share."""

from __future__ import annotations

import math
from dataclasses import dataclass

from girderply.model.lines import Line

MODULE = 10.0  # plates come in steps of this, mm
MODULE_IMPERIAL = 6.35  # 1/4 in
MARGIN = 5.0  # a plate stays this far inside an outer edge, mm
LEAST_BITE = 50.0  # mm along a web from where it meets the chord
BITE_SHARE = 0.6  # of the depth of the web, where that is more

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Need:
    """What a plate must reach and must not leave, in coordinates along its own axis, mm."""

    axis: Line
    along: Range
    across: Range
    along_limit: Range = (-math.inf, math.inf)
    across_limit: Range = (-math.inf, math.inf)
