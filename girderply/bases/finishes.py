"""Finishes of fasteners, from none to the best, in the words of a job."""

from __future__ import annotations

from dataclasses import dataclass

BARE = "bare"
HOT_DIP = "hot-dip galvanised"
FINISHES = (BARE, "Fe/Zn 12c", "Fe/Zn 25c", HOT_DIP, "stainless steel")


@dataclass(frozen=True, slots=True)
class LeastFinish:
    """The least finish of a fastener in its place, and who asks for it."""

    finish: str
    clause: str

    def met_by(self, finish: str) -> bool:
        """Whether a finish is as good; one of `FINISHES`."""
        return FINISHES.index(finish) >= FINISHES.index(self.finish)
