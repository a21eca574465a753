"""Which hole is drilled for a nail or a screw."""

from __future__ import annotations

from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.catalogue.timbers_known import timber
from girderply.layout.brief import Brief


def hole_for(brief: Brief, nail: Nail) -> float:
    """Diameter of the hole that is drilled, mm; 0 for none.

    A screw's own declaration goes first; a girder that is predrilled throughout and a screw without
    a declared hole take 0.7 of the shank.

    [nails: the basis; screws: EN 1995-1-1:2004+A2:2014, 10.4.5(2), about 70 % of the shank for the
    threaded part; value from memory, to be checked]

    Args:
        brief: whether the girder is drilled for its nails, its timber and its basis.
        nail: a nail or a screw.
    """
    predrilled = brief.girder.predrilled
    if isinstance(nail, Screw):
        return nail.drill or (0.7 * nail.d_shank if predrilled else 0.0)
    return brief.basis.nail_hole(nail, timber(brief.girder.timber)) if predrilled else 0.0
