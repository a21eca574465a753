"""Lengths and forces as they go into a job file: with their unit, in the job's own system."""

from __future__ import annotations

import math

from girderply.jobfile.job import Job, UnitSystem
from girderply.units.exact import MM_PER_IN, N_PER_LB
from girderply.units.parse import Dimension, parse_quantity


def length_text(mm: float, system: str) -> str:
    """A length to a tenth of a millimetre, or to a thousandth of an inch."""
    if system == UnitSystem.IMPERIAL:
        return f"{round(mm / MM_PER_IN, 3) + 0.0:g} in"
    return f"{round(mm, 1) + 0.0:.10g} mm"


def force_text(newton: float, system: str) -> str:
    """A force to a newton, or to a tenth of a pound."""
    if system == UnitSystem.IMPERIAL:
        return f"{round(newton / N_PER_LB, 1) + 0.0:.10g} lbf"
    return f"{round(newton / 1000, 3) + 0.0:.10g} kN"


def angle_text(rad: float) -> str:
    """An angle to a hundredth of a degree."""
    return f"{round(math.degrees(rad), 2) + 0.0:.10g} deg"


def parsed(text: object, dimension: Dimension, job: Job) -> float:
    """What was typed, in mm, N or rad; a bare number is in the job's own unit.

    Raises:
        QuantityError: it is no such quantity.
    """
    value: object = text
    if isinstance(text, str):
        try:
            value = float(text)
        except ValueError:
            value = text
    return parse_quantity(value, dimension, str(job.info.units))
