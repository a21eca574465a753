"""The register of issued revisions: what went out, what changed, and that nothing is replaced.

A register is one file of JSON lines in the delivery folder. Each line names the sha256 of the
line before it, so that a changed or missing line is noticed; its head, the packs that were issued
and the delivery note hold its end. Beside it lie the schedules that were issued, by their content
hash.
"""

from __future__ import annotations

from girderply.exchange.register.changes import changed_words
from girderply.exchange.register.entry import Entry, RegisterError
from girderply.exchange.register.issuing import Issued, Made, deliver
from girderply.exchange.register.store import read_register

__all__ = [
    "Entry",
    "Issued",
    "Made",
    "RegisterError",
    "changed_words",
    "deliver",
    "read_register",
]
