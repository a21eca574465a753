"""What hangs on the whole girder at once: every combination, each face alone, one face lifted."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.bases.combining import Combination
from girderply.bases.spec import BasisSpec
from girderply.model.girder import Girder, HungLoad
from girderply.strength.demand import (
    against_uplift,
    combinations_of,
)
from girderply.wording import Said, said
from girderply.wording.words import duration_words, face_words


@dataclass(frozen=True, slots=True)
class LoadCase:
    """All loads of the girder in one combination.

    Attributes:
        id: of the combination, and of the face that is loaded alone: "PV", "PV.front".
        combination: with its factors.
        faces: "both", "front" or "back"; what enters all plies alike stays in any case.
        values: of the girder's loads in their order, N, downward positive.
    """

    id: str
    combination: Combination
    faces: str
    values: tuple[float, ...]

    @property
    def text(self) -> Said:
        """The combination in words, with the face where one is loaded alone."""
        text, duration = self.combination.text, duration_words(self.combination.duration)
        if self.id.endswith(f".{self.faces}"):
            face = face_words(self.faces)
            return said("check.combination_face", text=text, duration=duration, face=face)
        return said("check.combination", text=text, duration=duration)


def load_cases(basis: BasisSpec, girder: Girder) -> tuple[LoadCase, ...]:
    """Every combination of the girder's loads; those in which nothing hangs are left out.

    Args:
        basis: standard, factors, durations.
        girder: its loads.

    Returns:
        Combinations in their order, each with all loads, then with either face alone where both
        are loaded, then with one face pressed down while the other is lifted.
    """
    loads = girder.loads
    faces = [f for f in ("front", "back") if any(load.face == f for load in loads)]
    found: list[LoadCase] = []
    for combination in combinations_of(basis, loads):
        only = {"": ""} if len(faces) < 2 else {"": "", ".front": "back", ".back": "front"}
        for name, away in only.items():
            values = tuple(0.0 if x.face == away else combination.value(x) for x in loads)
            found.append(
                LoadCase(f"{combination.code}{name}", combination, name[1:] or "both", values)
            )
    if len(faces) == 2:
        found += _lifted(basis, loads)
    return tuple(case for case in found if any(case.values))


def _lifted(basis: BasisSpec, loads: tuple[HungLoad, ...]) -> list[LoadCase]:
    """One face pressed down while the other is lifted."""
    found = []
    for down, up in (("front", "back"), ("back", "front")):
        mixed = against_uplift(basis, loads, down, up)
        if mixed is None:
            continue
        combination, light = mixed
        values = tuple((light if x.face == up else combination).value(x) for x in loads)
        found.append(LoadCase(f"{combination.code}.{down}", combination, "both", values))
    return found
