"""A DXF file as the pairs it is made of: group code, value; read without any library."""

from __future__ import annotations

from collections.abc import Iterator

Tag = tuple[int, str]


def tags(data: bytes) -> list[Tag]:
    """Every pair of lines: a number, then its value."""
    lines = data.decode("utf-8").split("\n")
    if lines[-1] == "":
        lines.pop()
    assert len(lines) % 2 == 0, "a code without a value"
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def header(found: list[Tag], name: str) -> str:
    """Value of a header variable."""
    return found[found.index((9, name)) + 1][1]


def entities(found: list[Tag]) -> Iterator[tuple[str, dict[int, list[str]]]]:
    """Type and group codes of each entity of the entities section, in the order of the file."""
    start = next(
        i for i, t in enumerate(found) if found[i - 1 : i + 1] == [(0, "SECTION"), (2, "ENTITIES")]
    )
    kind, codes = "", {}
    for code, value in found[start + 1 :]:
        if code == 0:
            if kind:
                yield kind, codes
            if value == "ENDSEC":
                return
            kind, codes = value, {}
        else:
            codes.setdefault(code, []).append(value)
