"""What is wrong with the lettering of a drawing; each list is empty on a sheet that is right."""

from __future__ import annotations

from girderply.drawing.lettering import text_box
from girderply.drawing.page import Box, Drawing, boxes_overlap, inside, obstacle
from girderply.drawing.primitives import Cross, Dot
from girderply.drawing.style import LETTERING_LEAST


def overlapping_texts(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of lettering whose boxes overlap; an empty list is what a sheet must give."""
    boxes = sorted(((text_box(t), t.text) for t in drawing.texts()), key=lambda e: _left(e[0]))
    found: list[tuple[str, str]] = []
    for i, (box, text) in enumerate(boxes):
        right = max(x for x, _ in box)
        for other, other_text in boxes[i + 1 :]:
            if _left(other) >= right:
                break
            if boxes_overlap(box, other):
                found.append((text, other_text))
    return found


def _left(box: Box) -> float:
    return min(x for x, _ in box)


def texts_on_signs(drawing: Drawing) -> list[tuple[str, str]]:
    """Lettering that lies on a fastener, with the fastener's tag; there must be none."""
    signs = [
        (box, s.tag)
        for s in drawing.shapes
        if isinstance(s, Dot | Cross) and ":" in s.tag and (box := obstacle(s)) is not None
    ]
    return [
        (t.text, tag)
        for t in drawing.texts()
        for box, tag in signs
        if boxes_overlap(text_box(t), box)
    ]


def outside_texts(drawing: Drawing) -> list[str]:
    """Lettering that leaves the paper."""
    return [
        t.text for t in drawing.texts() if not inside(text_box(t), drawing.width, drawing.height)
    ]


def small_texts(drawing: Drawing) -> list[str]:
    """Lettering lower than the least height on paper."""
    return [t.text for t in drawing.texts() if t.height < LETTERING_LEAST - 1e-9]
