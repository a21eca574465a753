"""Typeset pieces of a formula written as one line again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


def flat(pieces: Sequence[dict[str, Any]]) -> str:
    """Roots as sqrt(), fractions with a stroke, what stands above and below with ^ and _."""
    return "".join(map(_one, pieces))


def _one(piece: dict[str, Any]) -> str:
    match piece["kind"]:
        case "symbol":
            return f"{piece['base']}_{piece['text']}"
        case "power":
            return f"{flat(piece['base'])}^{piece['text']}"
        case "root":
            return f"sqrt({flat(piece['inside'])})"
        case "fraction":
            top, under = flat(piece["top"]), flat(piece["under"])
            return f"{top} / ({under})" if " " in under else f"{top} / {under}"
    return str(piece["text"])
