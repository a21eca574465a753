"""Fink: a W of two struts and two ties between thirds of the bottom chord and the rafters."""

from collections.abc import Iterator

from girderply.shapes.shape import Shape, both_halves, side_post
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web


def _half(z: Sizes) -> Iterator[Web]:
    yield from side_post(z)
    yield Web(z.first_panel, z.span / 4, None if z.raised else True)
    yield Web(z.first_panel, z.span / 2, None if z.raised else False)
    if z.raised:
        yield Web(z.heel, z.span / 4, None)


def _webs(z: Sizes) -> list[Web]:
    return both_halves(z, _half)


SHAPE = Shape("fink", Top(), panels=(3,), webs=_webs)
