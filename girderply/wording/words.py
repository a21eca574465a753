"""Words for what a schedule names by a key: kinds, faces, roles. The keys are not printed."""

from __future__ import annotations

from girderply.wording.phrases import Phrase, phrase


def kind_words(kind: str, count: int) -> Phrase:
    """One nail, two nails."""
    return phrase(f"kind.{kind}", n=count)


def kind_pair(kind: str) -> dict[str, str]:
    """One and many of a kind, as messages want them."""
    return {"one": kind_words(kind, 1), "many": kind_words(kind, 2)}


def face_words(face: str) -> Phrase:
    """Front, back; top for what is on no face."""
    return phrase(f"face.{face}")


def face_up_words(face: str) -> Phrase:
    """Front face up."""
    return phrase(f"face.{face}_up")


def role_words(role: str) -> Phrase:
    """Top chord, bottom chord, web."""
    return phrase(f"role.{role}")
