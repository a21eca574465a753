"""Which values of a new job nobody has given: assumed until somebody confirms them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

_OPTION_OF: Final[dict[str, str]] = {
    "girder.plies": "plies",
    "girder.ply_thickness": "ply_thickness",
    "girder.timber": "timber",
    "girder.shape.pitch": "pitch",
    "girder.shape.height": "height",
    "girder.shape.flat_height": "flat_height",
    "girder.shape.panels": "panels",
    "girder.sections.top_chord": "top_chord",
    "girder.sections.bottom_chord": "bottom_chord",
    "girder.sections.web": "web",
    "girder.bearings": "",
    "loads.T1.chord": "",
    "loads.T1.face": "",
    "loads.T1.at": "",
    "loads.T1.to": "",
    "loads.T1.every": "load_every",
    "loads.T1.permanent": "load_permanent",
    "loads.T1.variable": "load_variable",
    "loads.T1.plies_reached": "",
    "loads.T1.bracket": "",
    "basis.service_class": "",
    "basis.variable_duration": "",
}
"""Key of the job file -> the option that gives it; empty: there is none."""


def invented(options: Collection[str], shape: Collection[str], basis: Collection[str]) -> list[str]:
    """Keys of the values that `new` wrote without being told.

    Args:
        options: names of the options that were given.
        shape: keys that stand in [girder.shape].
        basis: keys that stand in [basis].
    """
    found = []
    for key, option in _OPTION_OF.items():
        table, _, name = key.rpartition(".")
        written = {"girder.shape": shape, "basis": basis}.get(table, (name,))
        if name in written and option not in options:
            found.append(key)
    return found
