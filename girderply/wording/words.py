"""Words for what a schedule names by a key: kinds, faces, roles. The keys are not printed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from girderply.wording.messages import area
from girderply.wording.phrases import Phrase, joined, phrase, spoken

# How the spec of a rod ends; `spec_words` says it.
ROD: Final = " threaded rod"


def kind_words(kind: str, count: int) -> Phrase:
    """One nail, two nails."""
    return phrase(f"kind.{kind}", n=count)


def kind_pair(kind: str) -> dict[str, str]:
    """One and many of a kind, as messages want them."""
    return {"one": kind_words(kind, 1), "many": kind_words(kind, 2)}


def face_words(face: str) -> Phrase:
    """Front, back; top for what is on no face."""
    return phrase(f"face.{face}")


def face_up_words(face: str, upright: bool = False) -> Phrase:
    """Front face up; where the plies stand, front face seen."""
    return phrase(f"face.{face}_{'seen' if upright else 'up'}")


def role_words(role: str) -> Phrase:
    """Top chord, bottom chord, web."""
    return phrase(f"role.{role}")


def shape_words(kind: str) -> Phrase:
    """What a trade shape looks like, in a few words."""
    return phrase(f"shape.{kind}")


def is_rod(spec: str) -> bool:
    """Whether a spec of a bolt is that of a rod."""
    return spec.endswith(ROD)


def spec_words(spec: str) -> str:
    """A spec as people read it: sizes are data, a rod is named."""
    return phrase("kind.rod_size", size=spec.removesuffix(ROD)) if is_rod(spec) else spec


def all_of(names: Sequence[str]) -> str:
    """Names in a row: L1 and L2."""
    return joined(phrase("kind.and"), names)


def duration_words(duration: str) -> Phrase:
    """A class of load duration: medium; two months."""
    return phrase(f"duration.{duration}")


def field_words(table: str, key: str) -> str:
    """What a value of a job is called: by its table and key, else by its key, else the key itself.

    Args:
        table: names of the tables that it stands in, "girder_nodes".
        key: its own.
    """
    names = area(spoken(), "field")
    for name in (f"{table}_{key}", key):
        if name in names:
            return phrase(f"field.{name}")
    return key.replace("_", " ")
