"""NDS as a design basis: allowable stresses, with the load combinations of ASCE 7."""

from __future__ import annotations

from girderply.bases.nds.basis import NDS

__all__ = ["BASIS", "NDS"]

BASIS = NDS()
