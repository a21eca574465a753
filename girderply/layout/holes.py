"""Which hole is drilled for a nail or a screw."""

from __future__ import annotations

from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.standards.en1995_1_1_2014.nailing import hole_max_nail


def hole_for(nail: Nail, predrilled: bool) -> float:
    """Diameter of the hole that is drilled, mm; 0 for none.

    A screw's own declaration goes first; a girder that is predrilled throughout and a screw without
    a declared hole take 0.7 of the shank.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2 (nails: at most 0.8 d), 10.4.5(2) (screws: about 70 % of the
    shank for the threaded part; value from memory, to be checked)]

    Args:
        nail: a nail or a screw.
        predrilled: the girder is drilled for its nails.
    """
    if isinstance(nail, Screw):
        return nail.drill or (0.7 * nail.d_shank if predrilled else 0.0)
    return hole_max_nail(nail.d) if predrilled else 0.0
