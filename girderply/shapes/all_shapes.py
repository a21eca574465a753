"""Every trade shape there is: whatever lies in `girderply.shapes.kinds`."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType

from girderply.shapes import kinds
from girderply.shapes.shape import Shape


@cache
def shapes() -> MappingProxyType[str, Shape]:
    """Every shape by its trade name, in the order of the alphabet."""
    modules = (import_module(f"{kinds.__name__}.{m.name}") for m in iter_modules(kinds.__path__))
    by_name: dict[str, Shape] = {m.SHAPE.kind: m.SHAPE for m in modules}
    return MappingProxyType(dict(sorted(by_name.items())))


def kinds_that_take(key: str) -> tuple[str, ...]:
    """Trade names of the shapes that take a key of the job file."""
    return tuple(kind for kind, shape in shapes().items() if key in shape.takes)
