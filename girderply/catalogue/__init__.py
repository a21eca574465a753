"""Nails, bolts, washers and timber, each with where its figures come from."""

from girderply.catalogue.bolt_sizes import bolt, bolts, washer, washers
from girderply.catalogue.catalogue_types import Bolt, BoltChoice, Nail, Timber, Washer
from girderply.catalogue.choice import choose_bolt, rod_length, thread_length
from girderply.catalogue.nail_sizes import nail, nails
from girderply.catalogue.timbers_known import timber, timber_aliases, timbers

__all__ = [
    "Bolt",
    "BoltChoice",
    "Nail",
    "Timber",
    "Washer",
    "bolt",
    "bolts",
    "choose_bolt",
    "nail",
    "nails",
    "rod_length",
    "thread_length",
    "timber",
    "timber_aliases",
    "timbers",
    "washer",
    "washers",
]
