"""A whole result said again: every phrase in it, however deep, in the language spoken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from girderply.wording.later import Later
from girderply.wording.phrases import Phrase, again

T = TypeVar("T")


def retold(value: T) -> T:
    """The same value with its phrases in the language spoken.

    Args:
        value: dataclasses, tuples, lists, dictionaries and text, in each other as they may be.

    Returns:
        What holds no phrase comes back as the very same object.
    """
    told: Any = _retold(value)
    return told  # type: ignore[no-any-return]


def _retold(value: Any) -> Any:
    if isinstance(value, Phrase):
        return again(value)
    if isinstance(value, Later):
        return value.again()
    if isinstance(value, tuple | list):
        new = [_retold(v) for v in value]
        return value if _same(new, value) else type(value)(new)
    if isinstance(value, Mapping):
        told = {k: _retold(v) for k, v in value.items()}
        return value if _same(told.values(), value.values()) else told
    if is_dataclass(value) and not isinstance(value, type):
        return _retold_fields(value)
    return value


def _retold_fields(value: Any) -> Any:
    changed: dict[str, Any] = {}
    for each in fields(value):
        if each.init:
            old = getattr(value, each.name)
            new = _retold(old)
            if new is not old:
                changed[each.name] = new
    return replace(value, **changed) if changed else value


def _same(new: Any, old: Any) -> bool:
    return all(a is b for a, b in zip(new, old, strict=True))
