"""Names of the members: the words written on them, else by role from the left."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shapely import Point as Spot

from girderply.jobfile.job import Role
from girderply.tracing.axes import Board
from girderply.tracing.drawing import Drawing, Guess
from girderply.wording import said

NAME: Final = re.compile(r"[^\W_][\w.-]{0,19}")
PREFIX: Final = {Role.TOP_CHORD: "TC", Role.BOTTOM_CHORD: "BC", Role.WEB: "W"}


def names_of(
    boards: Sequence[Board], roles: Sequence[Role], drawing: Drawing
) -> tuple[list[str], list[Guess]]:
    """A name for every member, each once."""
    written = [b.outline.name or _word_on(b, drawing) for b in boards]
    usable = [w if w and written.count(w) == 1 and NAME.fullmatch(w) else "" for w in written]
    taken, names = {w for w in usable if w}, list(usable)
    order = sorted(range(len(boards)), key=lambda i: (round(boards[i].middle[0], 1), i))
    for i in order:
        if not names[i]:
            number = 1
            while f"{PREFIX[roles[i]]}{number}" in taken:
                number += 1
            names[i] = f"{PREFIX[roles[i]]}{number}"
            taken.add(names[i])
    made = [n for n, w in zip(names, usable, strict=True) if not w]
    why = said("tracing.why_names")
    return names, [Guess("girder.members.names", ", ".join(sorted(made)), why)] if made else []


def _word_on(board: Board, drawing: Drawing) -> str:
    """The word nearest to the middle of a board among those that stand on it."""
    on_it = [
        (Spot(p).distance(Spot(*board.middle)), text)
        for text, p in drawing.words
        if NAME.fullmatch(text) and board.shape.buffer(1).contains(Spot(p))
    ]
    return min(on_it)[1] if on_it else ""
