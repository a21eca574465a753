"""Fink: a W of two struts and two ties between thirds of the bottom chord and the rafters."""

from collections.abc import Iterator

from girderply.shapes.shape import Shape, side_post
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web, mirrored


def _half(z: Sizes) -> Iterator[Web]:
    yield Web(z.span / 3, z.span / 4, None if z.raised else True)
    yield Web(z.span / 3, z.span / 2, None if z.raised else False)
    if z.raised:
        yield Web(z.heel, z.span / 4, None)


def _webs(z: Sizes) -> list[Web]:
    return mirrored([*side_post(z), *_half(z)], z.span)


SHAPE = Shape("fink", Top(), panels=(3,), webs=_webs)
