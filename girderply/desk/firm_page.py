"""The firm's file on a page: its name and mark, what new girders begin with, what is in stock."""

from __future__ import annotations

import tempfile
import tomllib
from pathlib import Path
from typing import Any, Final

from girderply.desk.amend import Edit, amended
from girderply.desk.firm import FirmError, FirmFile, firm_of
from girderply.desk.folder import FIRM, Folder, NotOnDeskError
from girderply.desk.forms import choice_words, known_names
from girderply.errors import JobError
from girderply.exchange.atomic import write_bytes
from girderply.exchange.names import safe_name
from girderply.jobfile.logo import ENDINGS, MOST_BYTES, Logo, read_logo
from girderply.wording import Voice, english, said
from girderply.wording.words import field_words

Plain = dict[str, Any]
_STOCK: Final = ("nails", "bolts")
_CHOSEN: Final = ("language", "units", "paper", "counting", "photos")
_MOST_LOGOS: Final = 99
KEYS: Final = ("name", "logo", "rules", *_CHOSEN, "saw", *_STOCK)
"""What can be changed on the page; screws are declared in the file itself."""


def firm_state(voice: Voice, folder: Folder) -> Plain:
    """What stands in the file, what may stand there, and why it cannot be used, if so."""
    text = text_of(folder)
    try:
        data = tomllib.loads(text or "")
        firm_of(folder, text)
    except ValueError as fault:  # as FirmError says, or no TOML at all
        found = {} if not isinstance(fault, FirmError) else tomllib.loads(text or "")
        return _state(voice, found) | {"fault": str(fault), "there": True}
    return _state(voice, data) | {"fault": "", "there": text is not None}


def _state(voice: Voice, data: Plain) -> Plain:
    return {
        "values": {k: v for k, v in data.items() if k in KEYS},
        "fields": [_field(voice, key) for key in ("name", "rules", *_CHOSEN, "saw")],
        "stock": {key: _stock(key, data) for key in _STOCK},
        "screws": [str(s.get("key", "")) for s in data.get("screws", ()) if isinstance(s, dict)],
    }


def _field(voice: Voice, key: str) -> Plain:
    label = voice.phrase("desk.firm_name") if key == "name" else voice.told(field_words("job", key))
    choices = known_names()["rules"] if key == "rules" else _choices(key)
    words = [voice.told(choice_words(key, c)) for c in choices]
    return {"key": key, "label": label, "choices": choices, "words": words, "many": key == "saw"}


def _choices(key: str) -> list[str]:
    """What the file allows, as its own schema says."""
    found = FirmFile.model_json_schema()
    entry = found["properties"][key]
    for option in (entry, *entry.get("anyOf", ())):
        inner = option.get("items", option)
        inner = found["$defs"][inner["$ref"].rpartition("/")[2]] if "$ref" in inner else inner
        if "enum" in inner:
            return list(inner["enum"])
    return []


def _stock(key: str, data: Plain) -> list[str]:
    """Names of the catalogue, and those of the file that it does not know."""
    own = data.get(key)
    mine = [str(n) for n in own] if isinstance(own, list) else []
    return list(dict.fromkeys([*known_names()[key], *mine]))


def name_of_firm(folder: Folder) -> str:
    """What the firm is called; empty where nobody has said it, or the file cannot be read."""
    try:
        name = tomllib.loads(text_of(folder) or "").get("name")
    except ValueError:
        return ""
    return name if isinstance(name, str) else ""


def text_of(folder: Folder) -> str | None:
    """The file as it stands; None where there is none."""
    try:
        return folder.read(FIRM)
    except NotOnDeskError:
        return None


def changed(folder: Folder, key: str, value: Any) -> None:
    """Put one value into the file, or take it out; what could not be used is never written.

    Args:
        folder: of the jobs.
        key: one of `KEYS`.
        value: for it; None, an empty text or an empty list take it out.

    Raises:
        FirmError: the file could not be used then; says why.
        AmendError: it is no TOML. OutputError: it cannot be written.
        OpenedElsewhereError: another program has changed it just now.
    """
    if key not in KEYS:
        raise FirmError(f"{key!r} is not changed here")
    before = text_of(folder)
    edit = Edit((key,), "drop") if value in (None, "", []) else Edit((key,), "set", value)
    after = amended(before or "", [edit])
    firm_of(folder, after)
    if before is None:
        if folder.create(FIRM.removesuffix(".toml"), after) != FIRM:
            raise FirmError(f"{FIRM} cannot be written: something else has its name")
    else:
        folder.write(FIRM, after, before)


def logo_taken(folder: Folder, name: str, data: bytes) -> None:
    """Keep a picture beside the jobs and make it the firm's mark.

    Raises:
        FirmError: it is no picture that papers can show; says why.
    """
    ending = Path(name).suffix.lower()
    if ending not in ENDINGS or len(data) > MOST_BYTES:
        raise FirmError(said("desk.firm_logo_kind", kb=MOST_BYTES // 1000))
    with tempfile.TemporaryDirectory() as home:
        (Path(home) / f"logo{ending}").write_bytes(data)
        try:
            read_logo(home, f"logo{ending}", "logo")
        except JobError as fault:
            raise FirmError(f"{name}: {english(fault.findings[0].message)}") from None
    kept = _free(folder, safe_name(Path(name).stem), ending, data)
    changed(folder, "logo", kept)


def _free(folder: Folder, stem: str, ending: str, data: bytes) -> str:
    """The name under which the picture lies, or comes to lie; never over another file."""
    for number in range(1, _MOST_LOGOS):
        name = f"{stem}{ending}" if number == 1 else f"{stem}-{number}{ending}"
        path = folder.root / name
        if path.is_file() and not path.is_symlink() and path.read_bytes() == data:
            return name
        if not (path.exists() or path.is_symlink()):
            write_bytes(path, data)
            return name
    raise FirmError(f"no name is free for {stem}{ending}")


def logo_of(folder: Folder) -> Logo | None:
    """The firm's mark as it lies there; None where there is none that can be shown."""
    try:
        firm = firm_of(folder, text_of(folder))
    except FirmError:
        return None
    name = firm.file.logo if firm.file else None
    return read_logo(folder.root, name, "logo") if name else None


def pictures(folder: Folder) -> list[str]:
    """Names of pictures beside the jobs, which a job may name as its mark."""
    found = (p for p in folder.root.iterdir() if p.suffix.lower() in ENDINGS)
    return sorted(p.name for p in found if p.is_file() and not p.is_symlink())[:_MOST_LOGOS]
