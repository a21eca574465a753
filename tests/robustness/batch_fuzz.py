"""Folders of jobs as people leave them, made into packs, spoilt, and made again with --resume.

    PYTHONPATH=tests/support python tests/robustness/batch_fuzz.py --count 100 [--seed 1]

Each run is one folder: good jobs, spoilt ones, twins, files that are no jobs, links that lead
nowhere, names that would steer a terminal; and one output folder, in which packs are marked up,
damaged or in the way. The oracle knows nothing of the batch: it reads the summary and the files.
Packs hold the data of a job and no sheets, and the work is done in this process, so that a folder
takes a second. Prints what was tried; exit 1 on a failure.
"""

from __future__ import annotations

import argparse
import contextlib
import csv
import hashlib
import io
import os
import random
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from dataclasses import dataclass, field
from pathlib import Path
from unittest.mock import patch

import fuzz

from girderply.cli import batch_run, main, pack
from girderply.exchange.pack_files import data_files

QUICK = Path(__file__).parents[2] / "sample_jobs" / "two-ply-imperial.toml"
SHALLOW = QUICK.with_name("refused-shallow.toml")
NAMES = ("a", "B", "ü", "two words", "-x", "\x1b[31mred", "line\nbreak", "n" * 120, "\u202eback")
MARK = b"counted by hand"


class _Here:
    """Works in this process what processes would."""

    def submit(self, work: Callable[..., object], *words: object) -> Future[object]:
        future: Future[object] = Future()
        future.set_result(work(*words))
        return future

    def shutdown(self, **_: object) -> None:
        """Nothing to end."""


def numbered(text: str, number: str) -> str:
    return re.sub(r'(?m)^number = ".*"', f'number = "{number}"', text)


def _good(path: Path, dice: random.Random) -> None:
    path.write_text(numbered(QUICK.read_text("utf-8"), f"N-{dice.randint(1, 6)}"), "utf-8")


def _same_but_for_case(path: Path, dice: random.Random) -> None:
    path.write_text(numbered(QUICK.read_text("utf-8"), f"n-{dice.randint(1, 6)}"), "utf-8")


def _refused(path: Path, _: random.Random) -> None:
    path.write_bytes(SHALLOW.read_bytes())


def _spoilt(path: Path, dice: random.Random) -> None:
    job = fuzz.case(dice.randrange(10**6))
    path.write_bytes(job if isinstance(job, bytes) else job.encode("utf-8", "replace"))


def _empty(path: Path, _: random.Random) -> None:
    path.write_bytes(b"")


def _no_text(path: Path, dice: random.Random) -> None:
    path.write_bytes(dice.randbytes(300))


def _a_folder(path: Path, _: random.Random) -> None:
    path.mkdir()


def _to_nowhere(path: Path, _: random.Random) -> None:
    path.symlink_to(path.with_name("gone.toml"))


def _to_itself(path: Path, _: random.Random) -> None:
    path.symlink_to(path)


KINDS = (
    *(_good, _good, _good, _same_but_for_case, _refused, _spoilt, _empty, _no_text),
    *(_a_folder, _to_nowhere, _to_itself),
)


@dataclass
class Run:
    """One folder of jobs and one of packs, and what an outsider remembers of them."""

    folder: Path
    dice: random.Random
    tried: Counter[str] = field(default_factory=Counter)
    kept: set[bytes] = field(default_factory=set)

    @property
    def out(self) -> Path:
        return self.folder / "out"

    def fill(self) -> None:
        """Jobs of many kinds; at least one of them is there."""
        jobs = self.folder / "jobs"
        jobs.mkdir()
        for n in range(self.dice.randint(1, 5)):
            kind = self.dice.choice(KINDS)
            self.tried[kind.__name__.strip("_")] += 1
            kind(jobs / f"{self.dice.choice(NAMES)}{n}.toml", self.dice)

    def run(self, *, resume: bool) -> None:
        """Make the packs and look at what stands; the disk may be too small for them."""
        words = ["girderply", "batch", "jobs", "--out", "out", *(["--resume"] * resume)]
        said, product, code = io.StringIO(), io.StringIO(), 0
        with (
            contextlib.chdir(self.folder),
            contextlib.redirect_stderr(said),
            contextlib.redirect_stdout(product),
            patch.object(sys, "argv", words),
            patch.object(pack, "pack_files", data_files),
            patch.object(batch_run, "_pool", lambda _: _Here()),
        ):
            try:
                main()
            except SystemExit as left:
                code = int(left.code or 0)
        self.tried[f"exit {code}"] += 1
        self.look(code, said.getvalue())

    def look(self, code: int, said: str) -> None:
        """What must hold whatever lay there.

        Raises:
            AssertionError: with what does not.
        """
        assert "Traceback" not in said, said
        assert "itself is at fault" not in said, said
        assert ("ERROR" in said) == (code == 2), f"exit {code}: {said}"
        assert "\x1b" not in said
        assert "\u202e" not in said
        if not (self.out / "summary.csv").exists():
            assert code == 2
            return
        states = [row["state"] for row in self._rows()]
        worst = 2 if "failed" in states else 1 if "not for assembly" in states else 0
        assert code == worst, f"exit {code} of {states}"
        assert code or states
        jobs = {os.path.realpath(p) for p in self.folder.glob("jobs/*") if self._is_job(p)}
        assert len(states) == len(jobs), "a job is passed over, or told twice"
        for row in self._rows():
            assert (row["state"] == "failed") == (not row["pack"]), row
            if row["pack"]:
                assert self._is_whole(self.out / row["pack"]), row["pack"]
        there = {p.read_bytes() for p in self.out.rglob("*") if p.is_file()}
        assert self.kept <= there, "what somebody wrote by hand is gone"
        assert not list(self.out.glob(".*")), "something half made is left behind"

    def _rows(self) -> list[dict[str, str]]:
        text = (self.out / "summary.csv").read_text("utf-8-sig")
        return list(csv.DictReader(io.StringIO(text, newline="")))

    def _write(self, path: Path) -> None:
        by_hand = MARK + bytes(f"{self.dice.random()}", "ascii")
        if path.exists():
            self.kept.discard(path.read_bytes())  # written over by the same hand
        path.write_bytes(by_hand)
        self.kept.add(by_hand)

    def _by_hand(self, folder: Path) -> bool:
        return any(p.read_bytes() in self.kept for p in folder.rglob("*") if p.is_file())

    @staticmethod
    def _is_job(path: Path) -> bool:
        return path.is_symlink() or path.is_file()

    @staticmethod
    def _is_whole(folder: Path) -> bool:
        lines = (folder / "contents.sha256").read_text("utf-8").splitlines()
        pairs = (line.split("  ", 1) for line in lines)
        return bool(lines) and all(
            hashlib.sha256((folder / name.lstrip("*")).read_bytes()).hexdigest() == digest
            for digest, name in pairs
        )

    def meddle(self) -> None:
        """Somebody writes into a pack, damages one, or puts something in its way."""
        packs = sorted(p.parent for p in self.out.glob("*/contents.sha256"))
        for folder in packs:
            act = self.dice.choice(("none", "mark up", "damage", "in the way", "photo"))
            self.tried[act] += 1
            if act in ("mark up", "photo"):
                self._write(folder / {"mark up": "order.csv", "photo": "photo.jpg"}[act])
            elif act == "damage":
                (folder / "schedule.json").unlink()
            elif act == "in the way" and not self._by_hand(folder):
                for path in sorted(folder.rglob("*"), reverse=True):
                    path.unlink()
                folder.rmdir()
                self._write(folder)


@contextlib.contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as name:
        yield Path(os.path.realpath(name))


def run(seed: int) -> Counter[str]:
    """One folder, made, meddled with and made again; what was tried.

    Raises:
        AssertionError: with the seed.
    """
    dice = random.Random(seed)
    with _folder() as folder:
        one = Run(folder, dice)
        one.fill()
        try:
            one.run(resume=dice.random() < 0.3)
            for _ in range(2):
                one.meddle() if one.out.exists() else None
                one.run(resume=dice.random() < 0.7)
        except (AssertionError, OSError) as fault:
            raise AssertionError(f"seed {seed}: {fault}; {dict(one.tried)}") from fault
    return one.tried


def many() -> int:
    """Run many; 0 when nothing was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    tried, failed = Counter[str](), 0
    for seed in range(asked.seed, asked.seed + asked.count):
        try:
            tried += run(seed)
        except AssertionError as fault:
            failed += 1
            print(f"--- {fault}", flush=True)
    print(f"{asked.count} folders, {failed} with faults; tried: {dict(sorted(tried.items()))}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(many())
