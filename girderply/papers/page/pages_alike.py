"""Whether two PDFs show the same, however they are stored: pages, and what a viewer is told to do.

Another program may have saved one of them again, or added a signature to it. What lies inside as
files is no concern here; see `attached`.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from typing import Any, Final

from girderply.papers.page.attached import AttachedError

_SHOWN: Final = ("/Contents", "/Resources", "/MediaBox", "/CropBox", "/Rotate", "/UserUnit")
_HARMLESS: Final = frozenset({"/AcroForm", "/DSS", "/Extensions", "/Metadata", "/Names", "/AF",
                              "/Version", "/StructTreeRoot", "/MarkInfo", "/Pages"})  # fmt: skip
_STORED: Final = frozenset({"/Length", "/Filter", "/DecodeParms", "/Parent", "/StructParents"})


def shown_otherwise(made: bytes, found: bytes) -> list[str]:
    """What one PDF shows otherwise than the other: "page 2", "document"; empty where nothing.

    Args:
        made: as it was made.
        found: as it is now.

    Raises:
        AttachedError: one cannot be read.
    """
    (pages, rest), (now, rest_now) = _looks(made), _looks(found)
    most = max(len(pages), len(now))
    wrong = [f"page {i + 1}" for i in range(most) if pages[i : i + 1] != now[i : i + 1]]
    return [*wrong, *(["document"] if rest != rest_now else [])]


def _looks(pdf: bytes) -> tuple[list[str], dict[str, str]]:
    """A digest for each page, and for each thing that a viewer is told besides."""
    from pypdf import PdfReader

    try:
        book = PdfReader(io.BytesIO(pdf))
        root: Any = book.trailer["/Root"]
        rest = {str(k): _digest(root[k]) for k in root if k not in _HARMLESS}
        return [_digest_of_page(page) for page in book.pages], rest
    except Exception as fault:  # a broken PDF raises whatever its reader runs into
        raise AttachedError(f"it cannot be read as a PDF: {type(fault).__name__}") from fault


def _digest_of_page(page: Any) -> str:
    parts = [f"{key}={_digest(page[key])}" for key in _SHOWN if key in page]
    for note in page.get("/Annots", ()):
        if (entry := note.get_object()).get("/FT") != "/Sig" or _visible(entry):
            parts.append(f"note={_digest(entry)}")
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def _visible(note: Any) -> bool:
    """Whether a signature's field covers any of the page."""
    x0, y0, x1, y1 = (float(v) for v in note.get("/Rect", (0, 0, 0, 0)))
    return x0 != x1 and y0 != y1


def _digest(thing: Any) -> str:
    """The same for the same content, whatever number an object has and however it is packed."""
    total = hashlib.sha256()
    for piece in _pieces(thing, ()):
        total.update(len(piece).to_bytes(8, "big"))
        total.update(piece)
    return total.hexdigest()


def _pieces(thing: Any, above: tuple[int, ...]) -> Iterator[bytes]:
    thing = thing.get_object() if hasattr(thing, "get_object") else thing
    if id(thing) in above or (isinstance(thing, dict) and thing.get("/Type") == "/Page"):
        yield b"told elsewhere"
        return
    above = (*above, id(thing))
    if hasattr(thing, "get_data"):
        yield b"stream"
        yield thing.get_data()
    if isinstance(thing, dict):
        for key in sorted(k for k in thing if k not in _STORED):
            yield str(key).encode()
            yield from _pieces(thing[key], above)
    elif isinstance(thing, list):
        yield f"list {len(thing)}".encode()
        for each in thing:
            yield from _pieces(each, above)
    elif isinstance(thing, (int, float)) and not isinstance(thing, bool):
        yield f"{float(thing):.6f}".encode()
    else:
        yield repr(thing).encode()
