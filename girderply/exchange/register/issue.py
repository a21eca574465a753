"""Issue a pack: refuse what would replace an issued revision, say what changed, write it down."""

from __future__ import annotations

import hashlib
import json
import os
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from girderply.errors import OutputError
from girderply.exchange.atomic import as_output_error, write_text
from girderply.exchange.json_out import schedule_json
from girderply.exchange.register.changes import changed_words, count_words
from girderply.exchange.register.entry import FIRST, Entry, RegisterError, folded, parse
from girderply.exchange.register.lock import WAIT, locked
from girderply.schedule.contract import content_hash, to_contract
from girderply.schedule.types import Schedule

FIRST_ISSUE = "First issue."
SAME_CONTENT = "Same content; files written anew: "
OTHER_LANGUAGE = "Same content, sheets in {now} instead of {before}; files written anew: "


def read_register(path: Path) -> list[Entry]:
    """Entries in the order of their issue; none where there is no register yet.

    Raises:
        RegisterError: it was changed, or it is no register.
        OutputError: it cannot be read.
    """
    with as_output_error(path):
        if not path.exists():
            return []
        data = path.read_bytes()
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise RegisterError(f"{path} is no register: it is not UTF-8") from None
    return parse(text, str(path))


def issue(
    register_path: Path, schedule: Schedule, files: Mapping[str, bytes], *, wait: float = WAIT
) -> Entry:
    """Write an issued pack into the register, or find it there.

    The issued schedule is laid beside the register first, then the register is replaced as a
    whole; a run that is killed leaves the register as it was, and can be run again.

    Args:
        register_path: the register's file; it and its folder are made where they are missing.
        schedule: that was issued.
        files: name in the pack -> content.
        wait: how long to wait for another run, s.

    Returns:
        The entry: the one that is there already where the same content and files were issued.

    Raises:
        RegisterError: the revision was issued with other content; the register was changed by
            other hands; another run holds it.
        OutputError: it cannot be written.
    """
    digest = schedule.content_hash or content_hash(schedule)
    hashes = {name: hashlib.sha256(data).hexdigest() for name, data in sorted(files.items())}
    with locked(register_path, wait):
        entries = read_register(register_path)
        earlier = _of_girder(entries, schedule)
        same = [e for e in earlier if folded(e.revision) == folded(schedule.job.info.revision)]
        _refuse_other_content(same, digest)
        if same and dict(same[-1].files) == hashes:
            return same[-1]
        changes: tuple[str, ...]
        if same:
            changes = (_anew(same[-1], hashes, schedule.job.info.language),)
        else:
            changes = _changes(register_path, earlier, schedule)
        before = entries[-1].hash if entries else FIRST
        entry = _entry(schedule, digest, hashes, changes, before)
        _keep_schedule(register_path, digest, schedule)
        _replace(register_path, [*entries, entry])
    return entry


def _of_girder(entries: list[Entry], schedule: Schedule) -> list[Entry]:
    girder = folded(schedule.job.info.number), folded(schedule.girder.mark)
    return [e for e in entries if e.girder == girder]


def _refuse_other_content(same: list[Entry], digest: str) -> None:
    for entry in same:
        if entry.content_hash != digest:
            raise RegisterError(
                f"revision {entry.revision} of {entry.job} {entry.mark} was issued on "
                f"{entry.date} with other content: issued {entry.content_hash[:12]}, "
                f"now {digest[:12]}",
                "raise the revision in the job file; what was issued stays as it is",
            )


def _entry(
    schedule: Schedule,
    digest: str,
    hashes: Mapping[str, str],
    changes: tuple[str, ...],
    before: str,
) -> Entry:
    info, girder = schedule.job.info, schedule.girder
    return Entry(
        info.number,
        girder.mark,
        info.revision,
        info.date,
        digest,
        girder.quantity,
        girder.plies,
        not schedule.failed,
        dict(sorted(Counter(schedule.fasteners.spec.tolist()).items())),
        hashes,
        changes,
        before,
        info.language,
    )


def _anew(last: Entry, after: Mapping[str, str], language: str) -> str:
    before = last.files
    names = sorted(n for n in {*before, *after} if before.get(n) != after.get(n))
    if last.language != language:
        other = OTHER_LANGUAGE.format(now=language, before=last.language)
        return other + ", ".join(names) + "."
    return SAME_CONTENT + ", ".join(names) + "."


def _changes(register: Path, earlier: list[Entry], schedule: Schedule) -> tuple[str, ...]:
    """What changed since the girder's last issue, from the schedule that was kept of it."""
    if not earlier:
        return (FIRST_ISSUE,)
    last = earlier[-1]
    now = to_contract(schedule)
    kept = _kept_schedule(register, last.content_hash)
    words = changed_words(kept, now) if kept else count_words(last.counts, now)
    return (f"Since revision {last.revision}:", *words)


def kept_path(register: Path, digest: str) -> Path:
    """Where the issued schedule of this content is kept: beside the register."""
    return register.with_name(f"{register.stem}-issued") / f"{digest}.json"


def _kept_schedule(register: Path, digest: str) -> dict[str, Any] | None:
    """The schedule as it was issued; None where it is gone or was changed since."""
    try:
        contract = json.loads(kept_path(register, digest).read_text("utf-8"))
    except (OSError, ValueError):
        return None
    return contract if isinstance(contract, dict) and _says(contract) == digest else None


def _says(contract: dict[str, Any]) -> str:
    """The content hash worked out again from a kept contract, as `content_hash` does it."""
    body = {k: v for k, v in contract.items() if k not in ("generator", "content_hash")}
    text = json.dumps(body, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _keep_schedule(register: Path, digest: str, schedule: Schedule) -> None:
    path = kept_path(register, digest)
    with as_output_error(path):
        path.parent.mkdir(parents=True, exist_ok=True)
    write_text(path, schedule_json(schedule))
    _sync_folder(path.parent)


def _replace(register: Path, entries: list[Entry]) -> None:
    write_text(register, "".join(f"{e.line}\n" for e in entries))
    _sync_folder(register.parent)


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
