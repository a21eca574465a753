"""What each fastener resists at each interface by the standard in force, as the springs ask it."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi

import numpy as np

from girderply.bases.combining import Combination
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.strength.in_force import Judge
from girderply.strength.sharing.mesh import Floats
from girderply.strength.stack_columns import FastenerColumns, crossings


def resistances(
    job: Job,
    girder: Girder,
    columns: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    combination: Combination,
) -> Floats:
    """Design resistance of every single fastener at every interface.

    Taken across the grain, where it is least, and so that it holds whichever of the interfaces
    that the fastener crosses are loaded at once, all the same way. No effective number: the springs
    already load fasteners unequally.

    Args:
        job: basis.
        girder: timber, ply thickness.
        columns: F fasteners of any kind.
        nails: by spec.
        bolts: by spec.
        combination: its duration counts.

    Returns:
        (F, n - 1) N; zero where a fastener does not cross, or where its point is too short.

    Raises:
        CatalogueError: a timber without the figure that the standard needs.
        RangeError: a fastener outside the standard's validity.
    """
    judge = Judge.of(job, girder, nails, bolts)
    classes, of_class = crossings(columns, np.arange(len(columns.member)))
    table = np.zeros((len(classes), girder.plies - 1))
    even = (1.0,) * (girder.plies - 1)
    for row, crossing in zip(table, classes, strict=True):
        for plane in judge.standard.planes(crossing, pi / 2, even, combination, True):
            row[plane.interface - 1] = plane.value
    return table[of_class]
