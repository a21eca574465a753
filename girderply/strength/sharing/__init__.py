"""Sharing between the plies, computed: every ply a frame, every fastener a pair of springs.

`entry.sharing_of` takes a schedule; `share.share` takes a girder, columns, stiffness and loads.
"""

from girderply.strength.sharing.mesh import FrameError
from girderply.strength.sharing.model import Model, make_model
from girderply.strength.sharing.of_schedule import SharingReport, sharing_of
from girderply.strength.sharing.plastic import Plastic, plastic
from girderply.strength.sharing.relief import relief
from girderply.strength.sharing.results import ChordShare, Flow, Sharing
from girderply.strength.sharing.share_findings import findings_of
from girderply.strength.sharing.solved import share, solve
from girderply.strength.sharing.springs import Laws, laws_of

__all__ = [
    "ChordShare",
    "Flow",
    "FrameError",
    "Laws",
    "Model",
    "Plastic",
    "Sharing",
    "SharingReport",
    "findings_of",
    "laws_of",
    "make_model",
    "plastic",
    "relief",
    "share",
    "sharing_of",
    "solve",
]
