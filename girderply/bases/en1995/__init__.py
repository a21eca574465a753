"""EN 1995-1-1 as a design basis, with the actions of EN 1990."""

from __future__ import annotations

from girderply.bases.en1995.basis import EN1995

__all__ = ["BASIS", "EN1995"]

BASIS = EN1995()
