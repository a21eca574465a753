"""Lengths and forces as they go into a job file: with their unit, in the job's own system."""

from __future__ import annotations

import math
import re

from girderply.jobfile.job import Job, UnitSystem
from girderply.units.exact import MM_PER_IN, N_PER_LB
from girderply.units.parse import Dimension, parse_quantity

_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])")
_BARE = re.compile(r"[+-]?\d+(?:\.\d+)?", re.ASCII)


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


def pointed(text: str) -> str:
    """What was typed, with a decimal comma made a point.

    A comma that may part thousands, as in 1,200, is left: nobody knows what it means.
    """
    text = text.strip()
    return text if _THOUSANDS.search(text) else re.sub(r"(?<=\d),(?=\d)", ".", text)


def bare(text: str) -> str | int | float:
    """A number where the text is nothing else, so that it is in the job's own unit."""
    if not _BARE.fullmatch(text) or len(text) > 15:
        return text
    return float(text) if "." in text else int(text)


def parsed(text: object, dimension: Dimension, job: Job) -> float:
    """What was typed, in mm, N or rad; a bare number is in the job's own unit.

    Raises:
        QuantityError: it is no such quantity.
    """
    value = bare(pointed(text)) if isinstance(text, str) else text
    return parse_quantity(value, dimension, str(job.info.units))
