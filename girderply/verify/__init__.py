"""A second opinion: reads schedule.json alone and measures the girder again by its own formulas.

It shares no code with what laid the girder out and judged it, and it is kept small enough to be
read in one sitting. Where it cannot be exact it is kinder than the first engine, never harder, so
that what it objects to is wrong: see the modules.
"""

from __future__ import annotations

from girderply.verify.report import Disagreement, Verification, verify, verify_file

__all__ = ["Disagreement", "Verification", "verify", "verify_file"]
