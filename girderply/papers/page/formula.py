"""Worked lines as a book sets them: subscripts, powers, roots and fractions instead of signs.

A line is words and sums as a terminal prints them (`1.15 x sqrt(2 x 6617 x 18.93 x 4) = 1151 N`).
It is taken apart into pieces that the page template typesets; what is no formula stays as it is.
"""

from __future__ import annotations

import re
from typing import Final

Piece = dict[str, object]

# A symbol with a subscript, as the worked lines write them: f_h,2,k or M_y,Rk.
_SYMBOL: Final = re.compile(r"([A-Za-z\u0391-\u03c9]{1,3})_([A-Za-z0-9]+(?:,[A-Za-z0-9]+)*)")
_NUMBER: Final = re.compile(r"\d+(?:[.,]\d+)*(?:e(-?\d+))?(?:[\u00a0 ]%)?(?![\w\"])")
_POWER: Final = re.compile(r"\^(-?\d+(?:[.,]\d+)?)")
_TIMES: Final = re.compile(r" x (?=[\d(A-Za-z])")
_OVER: Final = re.compile(r" / (?=[\d(])")
_WORD: Final = re.compile(r"\w+")
_GREEK: Final = {"alpha": "\u03b1", "rho": "\u03c1", "gamma": "\u03b3", "delta": "\u03b4"}
_MINUS: Final = "\u2212"


def typeset_line(line: str) -> list[Piece]:
    """A line in pieces: text, and symbols, powers, roots, fractions with pieces inside."""
    return _joined(_divided(_tokens(line)))


def _text(text: str) -> Piece:
    return {"kind": "text", "text": text}


def _tokens(line: str) -> list[Piece]:
    """Pieces one after the other; signs of multiplication and division are pieces of their own."""
    found: list[Piece] = []
    at = 0
    while at < len(line):
        piece, at = _next(line, at)
        found.append(piece)
        if piece.get("factor") and (power := _POWER.match(line, at)):
            exponent = power[1].replace("-", _MINUS)
            found[-1] = {"kind": "power", "base": [piece], "text": exponent, "factor": True}
            at = power.end()
    return found


def _next(line: str, at: int) -> tuple[Piece, int]:
    """The piece that begins here, and where it ends."""
    if opened := _opening(line, at):
        return opened
    if found := _NUMBER.match(line, at):
        return _number(found), found.end()
    if found := _SYMBOL.match(line, at):
        under = ",".join(_GREEK.get(part, part) for part in found[2].split(","))
        piece = {"kind": "symbol", "base": found[1], "text": under, "alt": found[0], "factor": True}
        return piece, found.end()
    if found := _WORD.match(line, at):
        word = found[0].replace("mm2", "mm\u00b2")
        return {"kind": "text", "text": word, "factor": word in ("sin", "cos")}, found.end()
    return _text(line[at]), at + 1


def _opening(line: str, at: int) -> tuple[Piece, int] | None:
    """A sign between factors, or all of a bracket or a root that opens here."""
    for sign, pattern, text in (("times", _TIMES, " \u00d7 "), ("over", _OVER, " / ")):
        if found := pattern.match(line, at):
            return {"kind": "text", "text": text, "sign": sign}, found.end()
    for opening, kind in (("sqrt(", "root"), ("(", "group")):
        first = at + len(opening)
        if line.startswith(opening, at) and (end := _closing(line, first - 1)):
            alt, inside = line[at : end + 1], typeset_line(line[first:end])
            return {"kind": kind, "inside": inside, "alt": alt, "factor": True}, end + 1
    return None


def _number(found: re.Match[str]) -> Piece:
    if found[1] is None:
        return {"kind": "text", "text": found[0], "factor": True}
    head, _, _ = found[0].partition("e")
    ten = _text(f"{head} \u00d7 10")
    return {"kind": "power", "base": [ten], "text": found[1].replace("-", _MINUS), "factor": True}


def _closing(line: str, opening: int) -> int:
    """Where the bracket that opens here is closed; 0 where it is not."""
    depth = 0
    for k in range(opening, len(line)):
        depth += (line[k] == "(") - (line[k] == ")")
        if depth == 0:
            return k
    return 0


def _divided(tokens: list[Piece]) -> list[Piece]:
    """Products over what divides them, as fractions."""
    found: list[Piece] = []
    k = 0
    while k < len(tokens):
        start = _product(found)
        after = tokens[k + 1] if k + 1 < len(tokens) else {}
        if tokens[k].get("sign") == "over" and start < len(found) and after.get("factor"):
            under = after["inside"] if after["kind"] == "group" else [after]
            top = found[start:]
            alt = f"{_plain(top)} / {_plain([after])}"
            over: Piece = {"kind": "fraction", "top": _joined(top), "under": under, "alt": alt}
            found[start:] = [over | {"factor": True}]
            k += 2
        else:
            found.append(tokens[k])
            k += 1
    return found


def _product(pieces: list[Piece]) -> int:
    """Where the product at the end begins: factors with signs of multiplication between them."""
    start = len(pieces)
    while start and pieces[start - 1].get("factor"):
        start -= 1
        if not start or pieces[start - 1].get("sign") != "times":
            break
        start -= 1
    return start


def _plain(pieces: list[Piece]) -> str:
    """Pieces as a line again, for those to whom the formula is read."""
    said = ""
    for piece in pieces:
        base = piece.get("base")
        if "alt" in piece:
            said += str(piece["alt"])
        elif piece["kind"] == "power" and isinstance(base, list):
            said += f"{_plain(base)}^{piece['text']}"
        else:
            said += str(piece["text"])
    return said


def _joined(pieces: list[Piece]) -> list[Piece]:
    """Neighbouring texts as one, groups opened; marks of the reader are gone."""
    found: list[Piece] = []
    for piece in pieces:
        inside = piece.get("inside")
        if piece["kind"] == "group" and isinstance(inside, list):
            parts = [_text("("), *inside, _text(")")]
        else:
            parts = [{k: v for k, v in piece.items() if k not in ("factor", "sign")}]
        for part in parts:
            if found and part["kind"] == found[-1]["kind"] == "text":
                found[-1] = _text(f"{found[-1]['text']}{part['text']}")
            else:
                found.append(_opened(part))
    return found


def _opened(piece: Piece) -> Piece:
    base = piece.get("base")
    return piece | {"base": _joined(base)} if isinstance(base, list) else piece
