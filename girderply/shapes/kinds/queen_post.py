"""Queen post: two posts at the thirds, and a straining beam between their heads."""

from collections.abc import Iterator

from girderply.shapes.shape import Shape, side_post
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web, mirrored


def _half(z: Sizes) -> Iterator[Web]:
    third = z.span / 3
    yield Web(third, third, None if z.raised else False)
    if z.raised:
        yield Web(z.heel, third, None)


def _webs(z: Sizes) -> list[Web]:
    return mirrored([*side_post(z), *_half(z)], z.span)


def _beam(z: Sizes) -> tuple[float, float]:
    return z.span / 3, z.span * 2 / 3


SHAPE = Shape("queen post", Top(), panels=(3,), webs=_webs, beam=_beam)
