"""Bolts that a bracket brings: where the bracket has its holes; checked, never moved."""

from __future__ import annotations

import numpy as np
from shapely import Polygon

from girderply.bases.answers import Limits
from girderply.catalogue import bolt as find_bolt
from girderply.catalogue import washers
from girderply.catalogue.catalogue_types import Bolt, Washer
from girderply.errors import CatalogueError, Finding, Severity
from girderply.jobfile.job import BracketSpec
from girderply.layout.bolt_board import Bolting, BoltSpot
from girderply.layout.brief import Brief
from girderply.layout.limits import bolt_limits
from girderply.layout.region import region_of
from girderply.model.girder import HungLoad
from girderply.model.hung import upward
from girderply.wording import Words, said


def place_bracket_bolts(work: Bolting) -> None:
    """Put the bolts of every bracket on the board, with a finding for each that may not be."""
    for load in work.brief.girder.loads:
        if load.bracket is not None and load.bracket.bolts:
            _of_bracket(work, load)


def bracket_bolt(brief: Brief, bracket: BracketSpec) -> tuple[Bolt, Washer]:
    """Bolt and washer of a bracket: its own, else the girder's.

    Raises:
        CatalogueError: the size is not known, none is given, or no washer fits it.
    """
    chosen = find_bolt(bracket.bolt) if bracket.bolt else brief.bolt
    if chosen is None:
        raise CatalogueError("the bracket has bolts but no size is given")
    washer = brief.washer if brief.bolt and chosen.key == brief.bolt.key else None
    washer = washer or next((w for w in washers() if w.bolt == chosen.key), None)
    if washer is None:
        raise CatalogueError(f"no washer is known for {chosen.key}")
    return chosen, washer


def _of_bracket(work: Bolting, load: HungLoad) -> None:
    bracket, brief = load.bracket, work.brief
    if bracket is None:
        return
    member = brief.girder.member(load.chord)
    chosen, washer = bracket_bolt(brief, bracket)
    limits = bolt_limits(brief, member, chosen.d)
    region = region_of(member, limits.a4, limits.a3, [])
    up = upward(member)
    for hole in bracket.bolts:
        station = load.station + hole.along
        offset = up * (bracket.offset + hole.across)
        spot = BoltSpot(member, station, offset, 1, chosen, washer, chosen.hole, load=load.id)
        if not region.on_row(offset).contain(np.array([station]))[0]:
            edge, end = brief.show.small(limits.a4), brief.show.small(limits.a3)
            reason = said("finding.bolt_edge", edge=edge, end=end)
            work.findings.append(_fault(work, spot, limits.clause, reason))
        _obstacles(work, spot)
        _crowded(work, spot, limits)
        work.spots.append(spot)


def _obstacles(work: Bolting, spot: BoltSpot) -> None:
    """Its washer on a nail plate or under another bracket."""
    seat = Polygon(spot.seat())
    for plate in work.brief.girder.plates:
        if Polygon(plate.outline).intersects(seat):
            reason = said("finding.bolt_plate", joint=plate.joint)
            work.findings.append(_fault(work, spot, work.brief.rules.source, reason))
    for other in work.brief.girder.loads:
        if other.id == spot.load or other.footprint is None:
            continue
        if Polygon(other.footprint).intersects(seat):
            reason = said("finding.bolt_bracket", load=other.id)
            work.findings.append(_fault(work, spot, work.brief.rules.source, reason))


def _crowded(work: Bolting, spot: BoltSpot, limits: Limits) -> None:
    """Too near to a bolt of another bracket; the distances inside one are its maker's."""
    for other in work.spots:
        if other.member.id != spot.member.id or other.load == spot.load:
            continue
        thick = max(other.bolt.d, spot.bolt.d) / spot.bolt.d
        near = abs(other.station - spot.station) < limits.a1 * thick - 1e-6
        if near and abs(other.offset - spot.offset) < limits.a2 * thick - 1e-6:
            apart = work.brief.show.small(limits.a1 * thick)
            reason = said("finding.bolt_near", apart=apart, load=other.load)
            work.findings.append(_fault(work, spot, limits.clause, reason))


def _fault(work: Bolting, spot: BoltSpot, clause: str, reason: Words) -> Finding:
    brief, member = work.brief, spot.member
    at = brief.show.span(spot.station)
    return Finding(
        "bracket-bolt-too-near",
        Severity.ERROR,
        spot.load,
        said("finding.bracket_bolt", load=spot.load, at=at, member=member.id, reason=reason),
        clause,
        said("finding.move_bracket"),
    )
