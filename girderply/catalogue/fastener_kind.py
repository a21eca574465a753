"""What a fastener is: the one word that columns, runs, files and sheets know it by."""

from __future__ import annotations

from enum import StrEnum


class FastenerKind(StrEnum):
    """Nail, screw or bolt; its value is the word in every file."""

    NAIL = "nail"
    SCREW = "screw"
    BOLT = "bolt"
