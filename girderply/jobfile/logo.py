"""The mark of the firm that owns a document: a picture beside the job file, read and looked over.

What is let in can be drawn in an archive PDF as it is: no letters that need a font, nothing that is
fetched from elsewhere, no inks of a press.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

from girderply.errors import JobError
from girderply.jobfile.paths import error
from girderply.units.short_text import shown

MOST_BYTES: Final = 300_000
MOST_PIXELS: Final = 4_000_000
ENDINGS: Final = {".png": "png", ".svg": "svg", ".jpg": "jpg", ".jpeg": "jpg"}
MIMES: Final = {
    "logo.png": "image/png", "logo.svg": "image/svg+xml", "logo.jpg": "image/jpeg",
}  # fmt: skip
PNG: Final = b"\x89PNG\r\n\x1a\n"
_NO_SHAPES: Final = {"image", "foreignObject", "script", "pattern", "filter"}


@dataclass(frozen=True, slots=True)
class Logo:
    """A picture as it lies beside the job: `kind` png, svg or jpg, and its bytes."""

    kind: str
    content: bytes

    @property
    def mime(self) -> str:
        """Its kind of content as programs call it."""
        return MIMES[self.file]

    @property
    def file(self) -> str:
        """Its name in a pack."""
        return f"logo.{self.kind}"


def pack_name_of(name: str) -> str:
    """What the picture of this name is called in a pack."""
    return f"logo.{ENDINGS.get(Path(name).suffix.lower(), 'png')}"


def read_logo(folder: str | Path, name: str, key: str = "job.logo") -> Logo:
    """Read a logo and refuse what could not be drawn.

    Args:
        folder: of the job file.
        name: of the file in it.
        key: that names it, for the message.

    Raises:
        JobError: it lies elsewhere, is missing or too large, or is no picture of these kinds.
    """
    problem, content = "", b""
    kind = ENDINGS.get(Path(name).suffix.lower(), "")
    if not kind:
        problem = f"{shown(name)} cannot be used: a PNG, SVG or JPEG file is allowed"
    elif Path(name).name != name or "\\" in name:
        problem = f"{shown(name)} must lie beside the job file: a name without a folder is allowed"
    else:
        problem, content = _bytes(Path(folder) / name, Path(folder))
        problem = problem or _LOOK[kind](content) or _drawn(kind, content)
        problem = problem and f"{shown(name)} {problem}"
    if problem:
        raise JobError([error("logo", key.split("."), problem)])
    return Logo(kind, content)


def _bytes(path: Path, folder: Path) -> tuple[str, bytes]:
    try:
        if path.resolve().parent != folder.resolve():
            return "is a link that leads out of the job's folder", b""
        if not path.is_file():
            gone = "is not beside the job file" if not path.exists() else "is no file"
            return gone, b""
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError, RuntimeError) as fault:
        return f"cannot be read: {getattr(fault, 'strerror', None) or 'the name is wrong'}", b""
    if len(content) > MOST_BYTES:
        return f"is larger than {MOST_BYTES // 1000} kB", b""
    return "", content


def _png(content: bytes) -> str:
    if not content.startswith(PNG) or len(content) < 33:
        return "is no PNG file"
    width, height = struct.unpack_from(">II", content, 16)
    return _too_many(width, height)


def _jpg(content: bytes) -> str:
    if not content.startswith(b"\xff\xd8\xff") or content.rstrip(b"\0")[-2:] != b"\xff\xd9":
        return "is no whole JPEG file"
    at = 2
    while at + 9 < len(content) and content[at] == 0xFF:
        mark, (size,) = content[at + 1], struct.unpack_from(">H", content, at + 2)
        if 0xC0 <= mark <= 0xCF and mark not in (0xC4, 0xC8, 0xCC):
            height, width, inks = struct.unpack_from(">HHB", content, at + 5)
            if inks not in (1, 3):
                return "holds the inks of a press (CMYK): save it in RGB or grey"
            return _too_many(width, height)
        at += 2 + size
    return "is no whole JPEG file"


def _too_many(width: int, height: int) -> str:
    if 0 < width * height <= MOST_PIXELS:
        return ""
    return f"has {width} x {height} pixels; {MOST_PIXELS // 1_000_000} million at most are drawn"


def _svg(content: bytes) -> str:
    """What is wrong with an SVG: shapes only, whole in itself."""
    if b"<!ENTITY" in content:
        return "defines entities: save it as plain SVG"
    try:
        content.decode()  # what draws it reads no other
        root = ElementTree.fromstring(content)
    except (ElementTree.ParseError, ValueError, LookupError):
        return "is no SVG file in UTF-8"
    return (
        _shapes(root)
        if root.tag == "{http://www.w3.org/2000/svg}svg"
        else "is no SVG file in UTF-8"
    )


def _shapes(root: ElementTree.Element) -> str:
    names = {str(element.tag).rpartition("}")[2] for element in root.iter()}
    if "text" in names:
        return "holds lettering that needs a font: save the letters as paths"
    if names & _NO_SHAPES:
        return f"holds <{min(names & _NO_SHAPES)}>: only shapes are drawn"
    if any(not link.startswith("#") for element in root.iter() for link in _links(element)):
        return "fetches something from elsewhere: only what is in the file is drawn"
    repeats = {"#" + e.get("id", "") for e in root.iter() if any(map(_repeats, e.iter()))}
    if any(link in repeats for use in filter(_repeats, root.iter()) for link in _links(use)):
        return "repeats what repeats something: only plain shapes are drawn"
    return ""


def _links(element: ElementTree.Element) -> list[str]:
    return [value for key, value in element.items() if key.rpartition("}")[2] == "href"]


def _repeats(element: ElementTree.Element) -> bool:
    """Few pieces that repeat what repeats another make millions of shapes."""
    return str(element.tag).endswith("}use")


def _drawn(kind: str, content: bytes) -> str:
    """Whether what lays out the sheets can draw it, in an archive PDF (ISO 19005-2)."""
    import typst  # noqa: PLC0415 - heavy, only where there is a logo

    page = b'#set document(title: "logo")\n#image(bytes(json(bytes(sys.inputs.logo))), alt: "logo",'
    page += f'format: "{kind}")'.encode()
    try:
        typst.compile(page, format="pdf", sys_inputs={"logo": str(list(content))},
                      pdf_standards=["a-2a"])  # fmt: skip
    except typst.TypstError as fault:
        return f"cannot be drawn: {str(fault)[:200]}"
    return ""


_LOOK: Final = {"png": _png, "jpg": _jpg, "svg": _svg}
