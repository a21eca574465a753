"""Files inside a PDF, and how they are read back: which are as they were put in, and which are not.

A PDF with files inside is PDF/A-3 [ISO 19005-3]; with them goes `contents.sha256`, a list of their
hashes as `sha256sum -c` reads it. The hash of that list stands for all of them.
"""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, TypeVar

from girderply.errors import GirderplyError

LIST: Final = "contents.sha256"
MOST_BYTES: Final = 500_000_000
_LINE: Final = re.compile(r"([0-9a-f]{64})  ([^\n]+)")

T = TypeVar("T")
Relation = Literal["source", "data", "supplement"]
Change = Literal["same", "changed", "missing", "not-listed", "twice"]


class AttachedError(GirderplyError, ValueError):
    """A file that is no PDF, or holds no files that were put in with their list."""


@dataclass(frozen=True, slots=True)
class Attached:
    """A file to put into a PDF.

    Attributes:
        name: of the file. content: text, UTF-8 when written, or bytes as they are.
        mime: kind of content. what: it is, in words.
        relation: source: the PDF was made from it; data: of what is shown; supplement: besides.
    """

    name: str
    content: str | bytes
    mime: str
    what: str
    relation: Relation = "data"

    @property
    def digest(self) -> str:
        """The sha256 of its bytes."""
        told = self.content.encode() if isinstance(self.content, str) else self.content
        return hashlib.sha256(told).hexdigest()


@dataclass(frozen=True, slots=True)
class Contents:
    """The files of a PDF as they were read back.

    Attributes:
        files: name -> content, the list not among them.
        changes: name -> how it is against the list, every file of either.
        digest: of the list as it stands there: what the certificate shows as its own hash.
    """

    files: Mapping[str, bytes]
    changes: Mapping[str, Change]
    digest: str

    @property
    def unchanged(self) -> bool:
        """True where every file is as it was put in, and none is missing or more."""
        return all(change == "same" for change in self.changes.values())


def contents_list(files: Iterable[Attached]) -> Attached:
    """The list of the hashes of some files, by name."""
    lines = sorted(f"{f.digest}  {f.name}\n" for f in files)
    return Attached(LIST, "".join(lines), "text/plain", "SHA-256 of every file in here")


def digest_of(files: Sequence[Attached]) -> str:
    """What stands for all of them: the sha256 of their list."""
    return contents_list(files).digest


def for_template(files: Sequence[Attached]) -> list[dict[str, str | list[int]]]:
    """Files and their list as the page template puts them into the PDF.

    Raises:
        AttachedError: two files of one name.
    """
    names = [f.name for f in files]
    if len({n.casefold() for n in (*names, LIST)}) <= len(names):
        raise AttachedError(f"two files of one name cannot go into a PDF: {', '.join(names)}")
    every = [*files, contents_list(files)] if files else []
    return [
        {
            "name": f.name,
            "mime": f.mime,
            "what": f.what,
            "relation": f.relation,
            "content": f.content if isinstance(f.content, str) else list(f.content),
        }
        for f in every
    ]


def read_attached(pdf: bytes) -> Contents:
    """The files of a PDF, each held against the list that was put in with them.

    A PDF that another program has signed or saved since is read as well.

    Raises:
        AttachedError: no PDF, one that cannot be read, or one without such a list.
    """
    found = _files(pdf)
    if LIST not in found:
        raise AttachedError(f"there is no {LIST} in it: it was not made with files inside")
    files = {name: every[-1] for name, every in found.items()}
    listing = files.pop(LIST)
    told = {name: digest for digest, name in _LINE.findall(listing.decode("utf-8", "replace"))}
    twice = {name for name, every in found.items() if len(every) > 1}
    return Contents(
        files,
        {name: _change(name, files, told, twice) for name in sorted({*files, *told})},
        hashlib.sha256(listing).hexdigest(),
    )


def _change(
    name: str, files: Mapping[str, bytes], told: Mapping[str, str], twice: set[str]
) -> Change:
    if name in twice:
        return "twice"
    if name not in files:
        return "missing"
    if name not in told:
        return "not-listed"
    return "same" if hashlib.sha256(files[name]).hexdigest() == told[name] else "changed"


def language_of(pdf: bytes) -> str:
    """The language that a PDF says it is in, such as "fr" or "en-US"; empty where it says none.

    Raises:
        AttachedError: it cannot be read.
    """
    return _read(pdf, lambda book: str(book.root_object.get("/Lang", "")))


def _files(pdf: bytes) -> dict[str, list[bytes]]:
    """Name -> contents of every file in a PDF."""
    return _read(
        pdf, lambda book: {str(n): [bytes(x) for x in e] for n, e in book.attachments.items()}
    )


def _read(pdf: bytes, look: Callable[[Any], T]) -> T:
    from pypdf import PdfReader

    if not pdf.startswith(b"%PDF-") or len(pdf) > MOST_BYTES:
        raise AttachedError("it is no PDF, or larger than 500 MB")
    try:
        return look(PdfReader(io.BytesIO(pdf)))
    except Exception as fault:  # a broken PDF raises whatever its reader runs into
        raise AttachedError(f"it cannot be read as a PDF: {type(fault).__name__}") from fault
