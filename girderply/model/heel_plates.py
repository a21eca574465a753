"""Heel plates: along the contact of the chords, or level where the contact is short."""

from __future__ import annotations

import math
from dataclasses import dataclass

from girderply.jobfile.job import MemberSpec, Role
from girderply.model.cutting import heel_face
from girderply.model.frame import Frame, is_end
from girderply.model.girder import Array
from girderply.model.lines import Line
from girderply.model.plate_need import BITE_SHARE, LEAST_BITE, MARGIN, MODULE, Need, Range

HEEL_LOW = 0.35  # of the depth of the bottom chord, square to the contact
HEEL_HIGH = 0.6  # of the depth of the top chord
HEEL_SHORT = 0.6  # of the contact: a plate that begins further in would miss most of it
HEEL_LONGEST = 2.5  # times the deeper chord


@dataclass(frozen=True, slots=True)
class Heel:
    """A heel as its plate sees it: contact from its outer end `spot`, angle between the chords."""

    spot: Array
    along: Array  # unit vector up the contact
    level: Array  # unit vector along the bottom chord, inwards
    up: float  # 1 when the top chord is to the left of both, else -1
    sine: float
    cosine: float
    top: float
    bottom: float
    butt: float
    cut_here: bool  # the top chord ends here, plumb

    @property
    def length(self) -> float:
        """Length of the contact, mm."""
        return (self.bottom - self.butt) / self.sine


def heel_of(frame: Frame, node: str, chords: list[MemberSpec]) -> Heel:
    """The heel at a node where both chords meet."""
    top_spec = next(m for m in chords if m.role is Role.TOP_CHORD)
    bottom = frame.axis(next(m for m in chords if m.role is Role.BOTTOM_CHORD))
    top, butt = frame.axis(top_spec), frame.butts.get(node, frame.butt)
    contact = top.edge(bottom.middle)
    spot = contact.crossing(heel_face(bottom, top, butt, frame.nodes[node]))
    along = top.away_from(frame.nodes[node]).u
    level = bottom.away_from(frame.nodes[node]).u
    turn = float(level[0] * along[1] - level[1] * along[0])
    return Heel(
        frame.nodes[node] if spot is None else spot,
        along,
        level,
        1.0 if turn > 0 else -1.0,
        abs(turn),
        math.sqrt(1 - turn**2),
        top.depth,
        bottom.depth,
        butt,
        is_end(top_spec, node),
    )


def heel_need(h: Heel) -> Need:
    """Along the contact of the chords, where both are deep enough, ending at its inner end."""
    low, high = HEEL_LOW * h.bottom, HEEL_HIGH * h.top
    start = max(MARGIN, (low * h.cosine + MARGIN - h.butt) / h.sine)
    if h.cut_here:
        start = max(start, ((high + MODULE) * h.sine + MARGIN) / h.cosine)
    if start > HEEL_SHORT * h.length:
        return _short_heel_need(h)
    start = max(start, h.length - HEEL_LONGEST * max(h.top, h.bottom))
    stop = max(h.length, start + 0.8 * h.top)
    across = _turned((-low, high), h.up)
    wide = _turned((-low, h.top - MARGIN), h.up)
    return Need(Line(h.spot, h.along), (start, stop), across, (start, math.inf), wide)


def _short_heel_need(h: Heel) -> Need:
    """A steep or high heel has a short contact: a plate along the bottom chord covers it whole."""
    rise = h.bottom - h.butt
    bite = max(LEAST_BITE, BITE_SHARE * h.top)
    low = -min(max(h.butt - MARGIN, 0.0), BITE_SHARE * h.bottom)
    across = _turned((low, rise + bite / 2), h.up)
    limit = _turned((-max(h.butt - MARGIN, 0.0), h.top / h.cosine - MARGIN), h.up)
    along = (MARGIN, max(rise * h.cosine / h.sine + bite / 2, bite + MARGIN))
    return Need(Line(h.spot, h.level), along, across, (MARGIN, math.inf), limit)


def _turned(span: Range, up: float) -> Range:
    return span if up > 0 else (-span[1], -span[0])
