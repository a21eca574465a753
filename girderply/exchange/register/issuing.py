"""Issue a delivery: refuse what would replace an issued revision, say what changed, write it down.

All that is refused is refused before anything is written. Then the packs and papers are put in
place, and only then does the register name them: a full disk or a kill leaves a register that
names nothing but what lies there.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from girderply.errors import OutputError
from girderply.exchange.atomic import (
    CONTENTS,
    listed,
    recover,
    write_bytes,
    write_folder,
    write_text,
)
from girderply.exchange.json_out import schedule_json
from girderply.exchange.names import folded
from girderply.exchange.pack_files import ISSUED
from girderply.exchange.register.changes import changed_words, count_words
from girderply.exchange.register.entry import Chain, Entry, Papers, RegisterError
from girderply.exchange.register.lock import WAIT, locked
from girderply.exchange.register.store import (
    begin,
    folder_of,
    issued_text,
    keep_schedule,
    kept_schedule,
    settle,
    trusted,
)
from girderply.schedule.contract import content_hash, to_contract
from girderply.schedule.types import Schedule
from girderply.wording import Voice

FIRST_ISSUE = "First issue."
SAME_CONTENT = "Same content; files written anew: "
OTHER_LANGUAGE = "Same content, sheets in {now} instead of {before}; files written anew: "
SUPERSEDED = "SUPERSEDED.txt"

Files = Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Made:
    """A pack that is to go out: its schedule, and its files by their name in the pack."""

    schedule: Schedule
    files: Files

    @property
    def digest(self) -> str:
        """Content hash of the schedule."""
        return self.schedule.content_hash or content_hash(self.schedule)


@dataclass(frozen=True, slots=True)
class Issued:
    """One issued pack: its line in the register, and files changed by hand that were kept."""

    entry: Entry
    kept: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Pack:
    """What a pack is entered as, and its files with what it says of its issue."""

    made: Made
    entry: Entry
    files: Files


def deliver(
    register: Path,
    made: Sequence[Made],
    papers: Callable[[str], Files] | None = None,
    *,
    wait: float = WAIT,
) -> list[Issued]:
    """Put packs and the papers of a delivery beside the register and enter them in it.

    Args:
        register: the register's file; it and its folder are made where they are missing.
        made: the packs, each girder once.
        papers: the delivery's own files, made from the sha256 of the last of its entries, which
            the delivery note carries; None for none.
        wait: how long to wait for another run, s.

    Returns:
        A pack's entry each, in their order: the one that is there already where the same content
        and files were issued.

    Raises:
        RegisterError: a revision was issued with other content; the register was changed, cut or
            lost; another run holds it.
        OutputError: it cannot be written.
    """
    with locked(register, wait):
        recover(register.parent)
        chain = trusted(register)
        packs: list[_Pack] = []
        for one in made:
            chain, pack = _enter(register, chain, one)
            packs.append(pack)
        own = papers(_last(chain, packs)) if papers else {}
        chain = _with_papers(chain, packs, own)
        for pack in packs:
            _refuse_strange(register.parent / folder_of(pack.entry), pack)
        return _put(register, chain, packs, own)


def enter_papers(register: Path, pack: str, files: Files, *, wait: float = WAIT) -> bool:
    """Put papers of an issued pack beside the register and enter them in it.

    Args:
        register: the register's file, which is there.
        pack: folder name of the pack that they are of.
        files: name -> content.
        wait: how long to wait for another run, s.

    Returns:
        False where the register does not know the pack: they are put there and not entered.

    Raises:
        RegisterError: the register was changed, cut or lost; another run holds it.
        OutputError: it cannot be written.
    """
    with locked(register, wait):
        recover(register.parent)
        chain = trusted(register)
        entries = [e for e in chain.entries if folder_of(e) == pack]
        if entries:
            hashes = {name: _sha256(data) for name, data in sorted(files.items())}
            begin(register, _with_papers_of(chain, (pack,), hashes))
        try:
            for name, data in files.items():
                write_bytes(register.parent / name, data)
        finally:
            settle(register)
        return bool(entries)


def _put(register: Path, chain: Chain, packs: Sequence[_Pack], papers: Files) -> list[Issued]:
    folder = register.parent
    begin(register, chain)
    try:
        for pack in packs:
            keep_schedule(register, pack.made.digest, partial(schedule_json, pack.made.schedule))
        kept = [write_folder(folder / folder_of(p.entry), p.files) for p in packs]
        for name, data in papers.items():
            write_bytes(folder / name, data)
    finally:
        settle(register)
    for pack in packs:
        _mark_superseded(folder, chain, pack)
    return [Issued(p.entry, k) for p, k in zip(packs, kept, strict=True)]


def _enter(register: Path, chain: Chain, made: Made) -> tuple[Chain, _Pack]:
    """The chain with this pack in it, as a new line or as the one that is there."""
    earlier = [e for e in chain.entries if e.girder == _girder(made.schedule)]
    revision = folded(made.schedule.job.info.revision)
    same = [e for e in earlier if folded(e.revision) == revision]
    _refuse_other_content(same, made.digest)
    own = {name: _sha256(data) for name, data in sorted(made.files.items())}
    if same and {k: v for k, v in same[-1].files.items() if k != ISSUED} == own:
        entry = same[-1]
        issued = issued_text(chain.number(entry), entry.previous, entry)
        return chain, _Pack(made, entry, {**made.files, ISSUED: issued})
    entry = _entry(register, chain, made, earlier, same, own)
    issued = issued_text(len(chain.lines) + 1, chain.head, entry)
    entry = replace(entry, files=dict(sorted({**own, ISSUED: _sha256(issued)}.items())))
    return chain.then(entry), _Pack(made, entry, {**made.files, ISSUED: issued})


def _last(chain: Chain, packs: Sequence[_Pack]) -> str:
    """The sha256 of the newest entry of this delivery; the same when it is made again."""
    return max((p.entry for p in packs), key=chain.number).hash


def _with_papers(chain: Chain, packs: Sequence[_Pack], files: Files) -> Chain:
    if not files:
        return chain
    names = tuple(folder_of(p.entry) for p in packs)
    hashes = {name: _sha256(data) for name, data in sorted(files.items())}
    return _with_papers_of(chain, names, hashes)


def _with_papers_of(chain: Chain, names: tuple[str, ...], hashes: Mapping[str, str]) -> Chain:
    """The chain with a line for these papers, unless the last one of them says the same."""
    before = [x for x in chain.lines if isinstance(x, Papers) and set(x.files) & set(hashes)]
    if before and (before[-1].packs, dict(before[-1].files)) == (names, hashes):
        return chain
    return chain.then(Papers(names, hashes, chain.head))


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _girder(schedule: Schedule) -> tuple[str, str]:
    return folded(schedule.job.info.number), folded(schedule.girder.mark)


def _refuse_other_content(same: list[Entry], digest: str) -> None:
    for entry in same:
        if entry.content_hash != digest:
            on = f" on {entry.date}" if entry.date else ""
            raise RegisterError(
                f"revision {entry.revision} of {entry.job} {entry.mark} was issued{on} with other "
                f"content: issued {entry.content_hash[:12]}, now {digest[:12]}",
                "raise the revision in the job file; what was issued stays as it is",
            )


def _refuse_strange(folder: Path, pack: _Pack) -> None:
    """A pack of another girder, or one that the register does not know, is not written over."""
    there = listed(folder)
    if not there or there == dict(pack.entry.files) or ISSUED in there:
        return
    if there.get("schedule.json") != _sha256(pack.files.get("schedule.json", b"")):
        raise OutputError(
            f"{folder} is a pack of other content that was never issued ({CONTENTS} names its "
            "files); move it elsewhere"
        )


def _entry(
    register: Path,
    chain: Chain,
    made: Made,
    earlier: list[Entry],
    same: list[Entry],
    own: Mapping[str, str],
) -> Entry:
    info, girder = made.schedule.job.info, made.schedule.girder
    changes = (
        (_anew(same[-1], own, info.language),)
        if same
        else _changes(register, earlier, made.schedule)
    )
    return Entry(
        info.number,
        girder.mark,
        info.revision,
        info.date,
        made.digest,
        girder.quantity,
        girder.plies,
        not made.schedule.failed,
        dict(sorted(Counter(made.schedule.fasteners.spec.tolist()).items())),
        own,
        changes,
        chain.head,
        info.language,
        earlier[-1].revision if earlier and not same else "",
    )


def _anew(last: Entry, after: Mapping[str, str], language: str) -> str:
    before = {name: digest for name, digest in last.files.items() if name != ISSUED}
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
    kept = kept_schedule(register, last.content_hash)
    words = changed_words(kept, now) if kept else count_words(last.counts, now)
    return (f"Since revision {last.revision}:", *words)


def _mark_superseded(folder: Path, chain: Chain, pack: _Pack) -> None:
    """Lay a word into the packs of earlier revisions that still lie in the delivery's folder."""
    of_girder = [e for e in chain.entries if e.girder == pack.entry.girder]
    newest = of_girder[-1]
    for old in of_girder[:-1]:
        place = folder / folder_of(old)
        if folded(old.revision) != folded(newest.revision) and (place / ISSUED).is_file():
            voice = Voice(old.language)
            text = voice.phrase(
                "delivery.superseded",
                job=old.job,
                mark=old.mark,
                old=old.revision,
                new=newest.revision,
                folder=folder_of(newest),
            )
            write_text(place / SUPERSEDED, f"{text}\n")
