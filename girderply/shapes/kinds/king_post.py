"""King post: one post at midspan; with four panels a strut to the middle of each rafter."""

from collections.abc import Iterator

from girderply.shapes.shape import Shape, both_halves, side_post
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web


def _half(z: Sizes) -> Iterator[Web]:
    yield from side_post(z)
    half, sure = z.span / 2, not z.raised
    yield Web(half, half, False if sure else None)
    if z.panels == 4:
        yield Web(half, z.first_panel, True if sure else None)
    if z.raised:
        yield Web(z.heel, z.first_panel, None) if z.panels == 4 else Web(half, z.heel, None)


def _webs(z: Sizes) -> list[Web]:
    return both_halves(z, _half)


SHAPE = Shape("king post", Top(), panels=(2, 4), webs=_webs)
