"""Set-out of brackets: station, face and flush line, so that they can be fixed before lifting."""

from __future__ import annotations

from shapely import Polygon

from girderply.layout.brief import Brief
from girderply.layout.records import BracketMark
from girderply.model.girder import HungLoad
from girderply.model.hung import ASSUMED_WIDTH
from girderply.wording import Words, joined, said

FLUSH = 3.0  # mm: nearer than this an edge counts as flush


def bracket_marks(brief: Brief) -> tuple[BracketMark, ...]:
    """One mark per hung load on a face, by chord, face and station."""
    loads = [x for x in brief.girder.loads if x.face != "top"]
    loads.sort(key=lambda x: (x.chord, x.face, x.station, x.id))
    return tuple(_mark(brief, x) for x in loads)


def _mark(brief: Brief, load: HungLoad) -> BracketMark:
    chord = brief.girder.member(load.chord)
    bracket = load.bracket
    width = bracket.width if bracket else ASSUMED_WIDTH
    height = bracket.height if bracket else chord.depth
    lower = bracket.offset - height / 2 if bracket else 0.0
    edge = -chord.depth / 2
    if bracket is None:
        flush: Words = said("brackets.centreline")
    elif abs(lower - edge) <= FLUSH:
        flush = said("brackets.lower_edge")
    else:
        away = brief.show.small(abs(lower - edge))
        flush = said("brackets.above_edge" if lower > edge else "brackets.below_edge", height=away)
    plate = _on_plate(brief, load)
    notes = [said("brackets.on_plate")] if plate else []
    if bracket is not None and bracket.fixing is not None:
        f = bracket.fixing
        holes = _holes(f.holes)
        notes.append(
            said("brackets.screwed", number=f.number, screw=f.screw, holes=holes)
            if f.screw
            else said(
                "brackets.fixing", number=f.number, d=brief.show.small(f.d),
                length=brief.show.small(f.length), holes=holes,
            )
        )  # fmt: skip
    note = joined("; ", notes) if notes else ""
    return BracketMark(
        load=load.id,
        what=load.what,
        chord=load.chord,
        face=str(load.face),
        station=load.station,
        flush_edge=flush,
        flush_offset=lower,
        width=width,
        height=height,
        on_plate=plate,
        note=note,
        assumed=bracket is None,
    )


def _holes(told: str) -> Words:
    """Which holes of a bracket are used, where the job says so; "all" is a word of ours."""
    if told == "all":
        return said("brackets.every_hole")
    return told or said("brackets.all_holes")


def _on_plate(brief: Brief, load: HungLoad) -> str:
    """Joint of a nail plate under the bracket, or an empty string."""
    if load.footprint is None:
        return ""
    print_ = Polygon(load.footprint)
    touched = [p.joint for p in brief.girder.plates if Polygon(p.outline).intersects(print_)]
    return ", ".join(sorted(set(touched)))
