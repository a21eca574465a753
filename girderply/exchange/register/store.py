"""The register on disk: read, anchored at its end, renewed only after what it names lies there.

register.jsonl       the lines
register.head        how many lines there were, and the sha256 of the last
register.next        the lines as they will be, while packs are being put in place
register-issued/     the schedules that were issued, by their content hash
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from girderply.errors import OutputError
from girderply.exchange.atomic import as_output_error, listed, write_text
from girderply.exchange.names import pack_folder
from girderply.exchange.pack_files import ISSUED
from girderply.exchange.register.entry import RESTORE, Chain, Entry, Papers, RegisterError, parse

_NUMBER = re.compile(r"^entry (\d+) of the register, after ([0-9a-f]{64})$", re.MULTILINE)


def read_register(path: Path) -> list[Entry]:
    """Entries in the order of their issue; none where there is no register yet.

    Raises:
        RegisterError: it was changed, or it is no register.
        OutputError: it cannot be read.
    """
    return read_chain(path).entries


def read_chain(path: Path) -> Chain:
    """All lines of a register; none where there is no register yet.

    Raises:
        RegisterError: it was changed, or it is no register.
        OutputError: it cannot be read.
    """
    with as_output_error(path):
        if not path.exists():
            return Chain()
        data = path.read_bytes()
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise RegisterError(f"{path} is no register: it is not UTF-8") from None
    return parse(text, str(path))


def folder_of(entry: Entry) -> str:
    """Name of the folder of an issued pack."""
    return pack_folder(entry.job, entry.mark, entry.revision)


def trusted(path: Path) -> Chain:
    """The register, with its end held against its head and against the packs beside it.

    A run that was cut off is settled first: what it had put in place is entered, the rest is not.

    Raises:
        RegisterError: a line at its end is lost, or the whole register is.
        OutputError: it cannot be read, or settled.
    """
    settle(path)
    chain = read_chain(path)
    _held_by_head(path, chain)
    for pack in issued_packs(path.parent):
        _held_by_pack(path, chain, pack)
    if not chain.lines and any(_issued_folder(path).glob("*.json")):
        raise RegisterError(f"{path} is gone: {_issued_folder(path)} holds what it issued", RESTORE)
    return chain


def _held_by_head(path: Path, chain: Chain) -> None:
    head = _head_path(path)
    with as_output_error(head):
        words = head.read_text("utf-8", "replace").split() if head.is_file() else []
    if not words:
        return
    count = int(words[0]) if words[0].isdecimal() else 0
    lines = chain.lines
    if not 0 < count <= len(lines) or [lines[count - 1].hash] != words[1:]:
        raise RegisterError(
            f"{path} is not what was last written there: {head.name} knows {words[0]} lines, "
            f"there are {len(lines)}",
            RESTORE,
        )


def issued_packs(folder: Path) -> list[Path]:
    """The packs in a delivery's folder that say of themselves that they were issued, by name."""
    with as_output_error(folder):
        there = [p for p in folder.iterdir() if not p.name.startswith(".")]  # parts of a killed run
        return sorted(p for p in there if (p / ISSUED).is_file())


def _held_by_pack(path: Path, chain: Chain, pack: Path) -> None:
    """A pack that was issued proves that the register had a line for it."""
    with as_output_error(pack):
        found = _NUMBER.search((pack / ISSUED).read_text("utf-8", "replace"))
    if found is None:
        return
    number, previous = int(found[1]), found[2]
    lines = chain.lines
    if number > len(lines) or lines[number - 1].previous != previous:
        raise RegisterError(
            f"{path} does not know the pack {pack.name}, which says it was issued as its entry "
            f"{number}; the register was cut or is gone",
            "restore the register from a copy, or issue into another folder; nothing was written",
        )


def issued_text(number: int, previous: str, entry: Entry) -> bytes:
    """What an issued pack says of itself, so that it can be held against the register.

    Args:
        number: line of the register that it is.
        previous: sha256 of the line before it.
        entry: what was issued.
    """
    words = (
        f"Issued: {entry.job} {entry.mark} revision {entry.revision}",
        f"entry {number} of the register, after {previous}",
    )
    return "".join(f"{' '.join(line.split())}\n" for line in words).encode()


def begin(path: Path, chain: Chain) -> None:
    """Write down what the register will be, before anything is put in place."""
    write_text(_next_path(path), chain.text)
    _sync_folder(path.parent)


def settle(path: Path) -> None:
    """End what `begin` began: enter what lies in its place, in order, until something does not.

    Raises:
        RegisterError: the two do not belong together.
        OutputError: it cannot be written.
    """
    coming = _next_path(path)
    with as_output_error(coming):
        if not coming.exists():
            return
    now, then = read_chain(path), read_chain(coming)
    count = len(now.lines)
    if then.lines[:count] != now.lines:
        raise RegisterError(f"{coming} does not go on where {path} ends", RESTORE)
    new = then.lines[count:]
    there = 0
    while there < len(new) and _in_place(path.parent, new[there]):
        there += 1
    _replace(path, Chain((*now.lines, *new[:there])))
    for line in new[there:]:
        if isinstance(line, Entry) and line.content_hash not in {
            e.content_hash for e in (*now.entries, *Chain(new[:there]).entries)
        }:
            kept_path(path, line.content_hash).unlink(missing_ok=True)
    with as_output_error(coming):
        coming.unlink()


def _in_place(folder: Path, line: Entry | Papers) -> bool:
    """Whether what a line names lies on the disk as it was made."""
    if isinstance(line, Entry):
        return listed(folder / folder_of(line)) == dict(line.files)
    return all(_sha256(folder / name) == digest for name, digest in line.files.items())


def _sha256(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _replace(path: Path, chain: Chain) -> None:
    if not chain.lines:
        return
    write_text(path, chain.text)
    write_text(_head_path(path), f"{len(chain.lines)} {chain.head}\n")
    _sync_folder(path.parent)


def _next_path(register: Path) -> Path:
    return register.with_suffix(".next")


def _head_path(register: Path) -> Path:
    return register.with_suffix(".head")


def _issued_folder(register: Path) -> Path:
    return register.with_name(f"{register.stem}-issued")


def kept_path(register: Path, digest: str) -> Path:
    """Where the issued schedule of this content is kept: beside the register."""
    return _issued_folder(register) / f"{digest}.json"


def kept_schedule(register: Path, digest: str) -> dict[str, Any] | None:
    """The schedule as it was issued; None where it is gone or was changed since."""
    try:
        contract = json.loads(kept_path(register, digest).read_text("utf-8"))
    except (OSError, ValueError):
        return None
    return contract if isinstance(contract, dict) and _says(contract) == digest else None


def _says(contract: Mapping[str, Any]) -> str:
    """The content hash worked out again from a kept contract, as `content_hash` does it."""
    body = {k: v for k, v in contract.items() if k not in ("generator", "content_hash")}
    text = json.dumps(body, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def keep_schedule(register: Path, digest: str, text: Callable[[], str]) -> None:
    """Lay an issued schedule beside the register, unless it lies there whole."""
    if kept_schedule(register, digest) is not None:
        return
    path = kept_path(register, digest)
    with as_output_error(path):
        path.parent.mkdir(parents=True, exist_ok=True)
    write_text(path, text())
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Make the new name last through a power cut, where the system can."""
    if os.name == "nt":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as fault:
        raise OutputError(f"cannot write {folder}: {fault.strerror}") from fault
