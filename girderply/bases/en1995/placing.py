"""Least distances, points, holes and washers by EN 1995-1-1."""

from __future__ import annotations

from dataclasses import fields

from girderply.bases.answers import Limits, Place, Undrilled
from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.standards.en1995_1_1_2014 import DOCUMENT, nailing, spacing
from girderply.standards.en1995_1_1_2014.screws import screw_counts_as_bolt
from girderply.units.show import Show
from girderply.wording import Said, said

NAILS = f"{DOCUMENT}, Table 8.2"
SPLIT = f"{DOCUMENT}, 8.3.1.2(7)"
SCREWS = f"{DOCUMENT}, 8.7.1(4)"
BOLTS = f"{DOCUMENT}, Table 8.4"
NO_HOLE = 6.0  # mm: screws up to this need no hole in softwood [EN 1995-1-1, 10.4.5(1); memory]
FLUSH = 1e-6  # mm


def nail_distances(nail: Nail, hole: float, place: Place, *, split_clause: bool) -> Limits:
    """Least distances of a nail, or of a screw by the rules of nails or bolts.

    Args:
        nail: a nail or a screw.
        hole: drilled for it, mm; 0 for none.
        place: the member.
        split_clause: 8.3.1.2(7) is in force.
    """
    if isinstance(nail, Screw) and screw_counts_as_bolt(1.1 * nail.d_root):
        return bolt_distances(nail.d, place, True, f"{SCREWS}; {BOLTS}")
    drilled = hole > 0
    flat, steep = (
        spacing.nail_distances(nail.d, a, place.rho_k, predrilled=drilled)
        for a in (0.0, place.alpha)
    )
    worst = _worst(flat, steep)
    edge, clause = worst.a_4_t if place.chord else worst.a_4_c, NAILS
    if place.split_prone and split_clause and not drilled:
        need = nailing.a_4_min_split_prone(nail.d, place.rho_k)
        if need > edge:
            edge, clause = need, SPLIT
    return Limits(worst.a_1, worst.a_2, worst.a_3_t, edge, clause)


def bolt_distances(d: float, place: Place, loaded: bool, clause: str = BOLTS) -> Limits:
    """Least distances of a bolt of diameter `d` (mm), or of what follows the rules of bolts.

    Args:
        d: mm.
        place: the member.
        loaded: it carries from ply to ply, so that ends count as loaded, and edges of chords.
        clause: who asks for it.
    """
    w = _worst(*(spacing.bolt_distances(d, a) for a in (0.0, place.alpha)))
    edge = w.a_4_t if loaded and place.chord else w.a_4_c
    return Limits(w.a_1, w.a_2, w.a_3_t if loaded else w.a_3_c, edge, clause)


def _worst(one: spacing.Distances, two: spacing.Distances) -> spacing.Distances:
    """The larger of each distance."""
    pairs = ((getattr(one, f.name), getattr(two, f.name)) for f in fields(one))
    return spacing.Distances(*(max(pair) for pair in pairs))


def undrilled(nail: Nail, place: Place, show: Show) -> Undrilled | None:
    """Why a nail or screw may not go in without a hole: too thick, or the timber too thin."""
    if isinstance(nail, Screw):
        return _screw_undrilled(nail, place, show)
    if nailing.must_predrill(nail.d, place.rho_k):
        reason = said("finding.nail_thick", most=show.diameter(6.0))
        return Undrilled(reason, f"{DOCUMENT}, 8.3.1.1(2)")
    least = nailing.t_min_undrilled(nail.d, place.rho_k)
    if place.thickness >= least - FLUSH:
        return None
    return Undrilled(_thin(place, least, show), f"{DOCUMENT}, 8.3.1.2(6), Eq. (8.18)")


def _screw_undrilled(screw: Screw, place: Place, show: Show) -> Undrilled | None:
    """A screw without a hole: thin enough or declared for it, in timber thick enough."""
    if screw.d > NO_HOLE and not screw.self_drilling:
        reason = said("finding.screw_thick", most=show.small(NO_HOLE))
        return Undrilled(reason, f"{DOCUMENT}, 10.4.5(2)")
    usual = nailing.t_min_undrilled(min(screw.d, NO_HOLE), place.rho_k)
    least = usual if screw.thinnest is None else screw.thinnest
    if place.thickness >= least - FLUSH:
        return None
    clause = f"{DOCUMENT}, 8.7.1(5), 8.3.1.2(6), Eq. (8.18)"
    return Undrilled(_thin(place, least, show), clause if screw.thinnest is None else screw.source)


def _thin(place: Place, least: float, show: Show) -> Said:
    ply = show.small(place.thickness)
    return said("finding.plies_thin", ply=ply, least=show.small(least))
