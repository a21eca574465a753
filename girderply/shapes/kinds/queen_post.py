"""Queen post: two posts at the thirds, and a straining beam between their heads."""

from collections.abc import Iterator

from girderply.shapes.shape import Shape, both_halves, side_post
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web


def _half(z: Sizes) -> Iterator[Web]:
    yield from side_post(z)
    x = z.first_panel
    yield Web(x, x, None if z.raised else False)
    if z.raised:
        yield Web(z.heel, x, None)


def _webs(z: Sizes) -> list[Web]:
    return both_halves(z, _half)


def _beam(z: Sizes) -> tuple[float, float]:
    return z.first_panel, z.span - z.turned().first_panel


SHAPE = Shape("queen post", Top(), panels=(3,), webs=_webs, beam=_beam)
