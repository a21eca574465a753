"""Words for what a schedule names by a key: kinds, faces, roles. The keys are not printed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from girderply.wording.messages import DEFAULT, area
from girderply.wording.sayings import Said, Words, joined, said

# How the spec of a rod ends; `spec_words` says it.
ROD: Final = " threaded rod"


def kind_words(kind: str, count: int) -> Said:
    """One nail, two nails."""
    return said(f"kind.{kind}", n=count)


def kind_pair(kind: str) -> dict[str, Said]:
    """One and many of a kind, as messages want them."""
    return {"one": kind_words(kind, 1), "many": kind_words(kind, 2)}


def face_words(face: str) -> Said:
    """Front, back; top for what is on no face."""
    return said(f"face.{face}")


def face_up_words(face: str, upright: bool = False) -> Said:
    """Front face up; where the plies stand, front face seen."""
    return said(f"face.{face}_{'seen' if upright else 'up'}")


def role_words(role: str) -> Said:
    """Top chord, bottom chord, web."""
    return said(f"role.{role}")


def shape_words(kind: str) -> Said:
    """What a trade shape looks like, in a few words."""
    return said(f"shape.{kind}")


def is_rod(spec: str) -> bool:
    """Whether a spec of a bolt is that of a rod."""
    return spec.endswith(ROD)


def spec_words(spec: str) -> Words:
    """A spec as people read it: sizes are data, a rod is named."""
    return said("kind.rod_size", size=spec.removesuffix(ROD)) if is_rod(spec) else spec


def all_of(names: Sequence[Words]) -> Said:
    """Names in a row: L1 and L2."""
    return joined(said("kind.and"), names)


def duration_words(duration: str) -> Said:
    """A class of load duration: medium; two months."""
    return said(f"duration.{duration}")


def field_words(table: str, key: str) -> Words:
    """What a value of a job is called: by its table and key, else by its key, else the key itself.

    Args:
        table: names of the tables that it stands in, "girder_nodes".
        key: its own.
    """
    names = area(DEFAULT, "field")
    for name in (f"{table}_{key}", key):
        if name in names:
            return said(f"field.{name}")
    return key.replace("_", " ")
