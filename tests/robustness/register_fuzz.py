"""Deliveries by people who get things wrong: issued, killed, cut, marked up, in any order.

    PYTHONPATH=tests/support python tests/robustness/register_fuzz.py --count 300 [--seed 1]

Each run is a delivery's folder and a few dozen random acts. The oracle is a dictionary of its own:
what was issued first under a mark and a revision, and the bytes that went out. It knows nothing of
the register; it asks that no issued content is ever replaced, that the register names nothing that
does not lie there, and that a lost end is noticed.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from hand_girder import hand_schedule, with_revision
from supplier import reworded

from girderply.errors import GirderplyError
from girderply.exchange.atomic import CONTENTS, listed
from girderply.exchange.register import Made, deliver, read_register
from girderply.exchange.register.store import folder_of
from girderply.schedule.contract import content_hash

MARKS = ("G1", "g1", "G1.2", "G1-2", "G 1", "G1 ", "a-b", "rev", "G1_2")
REVISIONS = ("A", "a", "A.", "B", "B-1", "rev-A", "C")
STEPS = 7  # moves of a delivery of one pack
KILLED = 9


@cache
def made(mark: str, revision: str, content: int) -> Made:
    """A pack of the hand-made girder; `content` counts its girders, so the hash differs."""
    schedule = reworded(with_revision(hand_schedule(), revision), mark=mark, quantity=content)
    schedule = replace(schedule, content_hash=content_hash(schedule))
    return Made(schedule, {"schedule.json": schedule.content_hash.encode(), "t.csv": b"empty"})


@dataclass
class Run:
    """One folder, what is done to it, and what an outsider remembers."""

    folder: Path
    dice: random.Random
    issued: dict[tuple[str, str], str] = field(default_factory=dict)
    known: dict[str, Made] = field(default_factory=dict)
    acts: list[str] = field(default_factory=list)

    @property
    def register(self) -> Path:
        return self.folder / "register.jsonl"

    def issue(self) -> None:
        """Issue one pack, perhaps of other content than before, perhaps killed on the way."""
        mark, revision = self.dice.choice(MARKS), self.dice.choice(REVISIONS)
        one = made(mark, revision, self.dice.choice((1, 1, 1, 2)))
        key = (mark.strip().casefold(), revision.strip().casefold())
        self.known[one.digest] = one
        if self.dice.random() < 0.5:
            step = self.dice.randint(1, STEPS)
            self.acts.append(f"issue {mark} {revision} killed at move {step}")
            if self._killed(one, step):
                return
        self.acts.append(f"issue {mark} {revision} {one.digest[:6]}")
        before = self.issued.get(key)
        try:
            deliver(self.register, [one], lambda head: {"note.txt": head.encode()})
        except GirderplyError:
            self._remember()  # a killed run may have been ended by this one
            if self.issued.get(key) in (None, one.digest):
                raise
            return
        assert before in (None, one.digest), f"{key} was replaced"
        self.issued[key] = one.digest

    def _killed(self, one: Made, step: int) -> bool:
        """Issue in a process that ends at its `step`th move; whether it did not get to the end."""
        child = os.fork()
        if child == 0:
            _die_at(step)
            try:
                deliver(self.register, [one], lambda head: {"note.txt": head.encode()})
            except GirderplyError:
                os._exit(1)
            os._exit(0)
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == KILLED

    def mark_up(self) -> None:
        """Somebody fills in a list of an issued pack."""
        packs = [p.parent for p in self.folder.glob("*/t.csv")]
        if packs:
            pack = self.dice.choice(packs)
            self.acts.append(f"mark up {pack.name}")
            (pack / "t.csv").write_text(f"{len(self.acts)}")
            (pack / "photo.jpg").write_bytes(b"photo")

    def lose(self) -> None:
        """The register's last line, or all of it, is lost: noticed, then restored from a copy."""
        self._settled()
        entries = read_register(self.register)
        if not entries:
            return
        text = self.register.read_bytes()
        lines = text.splitlines(keepends=True)
        keep = self.dice.choice((0, len(lines) - 1))
        self.acts.append(f"lose all but {keep} of {len(lines)} lines")
        self.register.write_bytes(b"".join(lines[:keep]))
        if not keep and self.dice.random() < 0.5:
            self.register.unlink()
        try:
            deliver(self.register, [made("new", "Z", len(self.acts))])
        except GirderplyError:
            self.register.write_bytes(text)
            return
        raise AssertionError("a lost end was not noticed")

    def _settled(self) -> None:
        """What was killed is ended by an issue of what went out before, as a person would."""
        for digest in list(self.issued.values())[:1]:
            deliver(self.register, [self.known[digest]])
        self._remember()

    def _remember(self) -> None:
        """A pack that a killed run had put in place went out; the first content counts."""
        for entry in read_register(self.register):
            key = (entry.mark.strip().casefold(), entry.revision.strip().casefold())
            self.issued.setdefault(key, entry.content_hash)

    def look(self) -> None:
        """What must hold whatever was done."""
        self._remember()
        for entry in read_register(self.register):
            kept = self.issued[entry.mark.strip().casefold(), entry.revision.strip().casefold()]
            assert entry.content_hash == kept, f"{entry.line}: other content"
            folder = self.folder / folder_of(entry)
            aside = folder.with_name(f".{folder.name}.old")  # killed between two moves
            folder = folder if folder.exists() else aside
            assert listed(folder).keys() >= {"schedule.json", "t.csv"}, f"{folder} is not there"
            there = (folder / "schedule.json").read_bytes()
            assert there == kept.encode(), f"{folder} holds other content"
        for photo in self.folder.glob("*/photo.jpg"):
            assert (photo.parent / CONTENTS).is_file()


def _die_at(step: int) -> None:
    calls = 0

    def dying(move: Callable[..., object]) -> Callable[..., object]:
        def call(*args: object) -> object:
            nonlocal calls
            calls += 1
            if calls == step:
                os._exit(KILLED)
            return move(*args)

        return call

    os.replace, Path.rename = dying(os.replace), dying(Path.rename)  # type: ignore[assignment,method-assign]


def run(seed: int, acts: int = 25) -> Counter[str]:
    """One folder; what was done to it, counted.

    Raises:
        AssertionError: with the acts that led there.
    """
    dice = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        one = Run(Path(folder) / "out", dice)
        one.folder.mkdir()
        try:
            for _ in range(acts):
                act = dice.choices((one.issue, one.mark_up, one.lose), (6, 2, 1))[0]
                act()
                one.look()
        except (AssertionError, GirderplyError) as fault:
            raise AssertionError(f"seed {seed}: {fault}; acts: {one.acts}") from fault
        shutil.rmtree(one.folder)
    return Counter("issue, killed" if "killed" in a else a.split()[0] for a in one.acts)


def main() -> int:
    """Run many; 0 when nothing was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    failed, tried = 0, Counter[str]()
    for seed in range(asked.seed, asked.seed + asked.count):
        try:
            tried += run(seed)
        except AssertionError as fault:
            failed += 1
            print(fault)
    print(f"{asked.count} folders, {failed} failed; tried: {dict(sorted(tried.items()))}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
