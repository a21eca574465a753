"""The photos of a record on paper: three in a row, each with what it shows and when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from girderply.inspection.record import Photo, Record
from girderply.papers.inspector.verdict_sheet import safe
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.wording import Voice

WIDTH: Final = 52.0  # mm; neither side is longer
IN_A_ROW: Final = 3
STAGE: Final = "stage "  # what a photo of a hold point is of: "stage 2"


def photo_blocks(voice: Voice, seen: Record) -> Iterator[Block]:
    """All photos of a girder, those of the stages first."""
    yield b.heading(voice.phrase("certificate.photos"))
    if not seen.photos:
        yield b.words(voice.phrase("certificate.photos_none"))
        return
    photos = sorted(seen.photos, key=lambda p: (not p.of.startswith(STAGE), p.of, p.taken))
    for i in range(0, len(photos), IN_A_ROW):
        yield b.keep(_row(voice, photos[i : i + IN_A_ROW]))


def _row(voice: Voice, photos: Sequence[Photo]) -> Block:
    cells: list[list[Block]] = [
        [
            b.image(svg_of(p), WIDTH * min(1.0, p.width / p.height), of_words(voice, p)),
            b.words(_under(voice, p)),
        ]
        for p in photos
    ]
    return b.columns(["1fr"] * IN_A_ROW, *cells, *([[]] * (IN_A_ROW - len(cells))))


def _under(voice: Voice, photo: Photo) -> str:
    return voice.phrase(
        "certificate.photo_taken", of=of_words(voice, photo), taken=safe(photo.taken[:16])
    )


def of_words(voice: Voice, photo: Photo) -> str:
    """What a photo shows: a stage, or a fastener by its id."""
    number = photo.of.removeprefix(STAGE)
    if number != photo.of and number.isdigit():
        return voice.phrase("certificate.photo_stage", stage=int(number))
    return safe(photo.of)


def svg_of(photo: Photo) -> str:
    """A photo inside a drawing, as the page template takes pictures; base64 needs no escape."""
    w, h = photo.width, photo.height
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" '
        f'viewBox="0 0 {w} {h}"><image width="{w}" height="{h}" '
        f'href="data:image/jpeg;base64,{photo.jpeg}"/></svg>'
    )
