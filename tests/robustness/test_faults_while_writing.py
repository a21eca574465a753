"""Killed, out of space, not allowed, or two at once: the old pack or the new one, never a mix."""

from __future__ import annotations

import errno
import fcntl
import os
import random
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from command import girderply

from girderply.errors import OutputError
from girderply.exchange import atomic
from girderply.exchange.atomic import write_folder
from girderply.exchange.batch_kept import is_whole

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "two-ply-imperial.toml"
KILLS = 50
# Writes one version of a pack after the other for ever: every file says its version.
WRITER = """
import itertools, sys
from pathlib import Path
from girderply.exchange.atomic import write_folder
for n in itertools.count(int(sys.argv[2])):
    files = {f"drawings/{k}.svg": b"%d " % n * 3000 for k in range(6)}
    write_folder(Path(sys.argv[1]), files | {"schedule.json": b"%d " % n})
    print(n, flush=True)
"""


def versions(folder: Path) -> set[bytes]:
    """The versions that the files of a pack are of."""
    files = [p for p in folder.rglob("*") if p.is_file() and p.name != atomic.CONTENTS]
    return {word for p in files for word in p.read_bytes().split()}


def writer(target: Path, start: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", WRITER, str(target), str(start)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def test_killed_at_fifty_moments_leaves_one_whole_pack(tmp_path):
    target, rng = tmp_path / "pack", random.Random(7)
    write_folder(target, {"schedule.json": b"0 "})
    (target / "note of the yard.txt").write_bytes(b"")
    at_work = 0
    for n in range(KILLS):
        run = writer(target, 1000 * (n + 1))
        assert run.stdout is not None
        assert run.stdout.readline()  # it is at work
        time.sleep(rng.uniform(0.0, 0.03))
        run.send_signal(signal.SIGKILL)
        run.wait()
        run.stdout.close()
        # Killed between its two moves, the old pack waits beside for the next run.
        there = target if target.exists() else tmp_path / ".pack.old"
        assert is_whole(there)
        assert len(versions(there)) == 1
        assert (there / "note of the yard.txt").exists()
        # That one is left shows that the run was killed at work and not between two packs.
        at_work += any(tmp_path.glob(".pack.*.part"))
    assert at_work > KILLS / 5
    write_folder(target, {"schedule.json": b"last "})
    assert versions(target) == {b"last"}
    assert (target / "note of the yard.txt").exists()
    assert [p.name for p in tmp_path.iterdir()] == ["pack"]  # nothing is left of any of them


def test_two_runs_on_one_folder_never_mix(tmp_path):
    target = tmp_path / "pack"
    runs = [writer(target, 1), writer(target, 1_000_000)]
    until = time.monotonic() + 20
    seen: list[set[str]] = [set(), set()]
    try:
        for run, lines in zip(runs, seen, strict=True):
            assert run.stdout is not None
            while len(lines) < 20:
                assert time.monotonic() < until
                line = run.stdout.readline()
                assert line, "a run ended by itself"
                lines.add(line)
        assert [run.poll() for run in runs] == [None, None]
    finally:
        for run in runs:
            run.send_signal(signal.SIGKILL)
            run.wait()
            assert run.stdout is not None
            run.stdout.close()
    there = target if target.exists() else tmp_path / ".pack.old"
    assert is_whole(there)
    assert len(versions(there)) == 1


def test_what_is_there_is_looked_at_only_while_nobody_else_can_move_it(tmp_path, monkeypatch):
    """Else the folder may be gone between two looks, or be taken for somebody else's."""
    target, looks, real = tmp_path / "pack", [], atomic._foreign_files
    write_folder(target, {"a": b"old"})

    def looked(folder: Path) -> list[str]:
        other = os.open(folder.parent, os.O_RDONLY)
        try:
            with pytest.raises(BlockingIOError):
                fcntl.flock(other, fcntl.LOCK_EX | fcntl.LOCK_NB)
        finally:
            os.close(other)
        looks.append(folder)
        return real(folder)

    monkeypatch.setattr(atomic, "_foreign_files", looked)
    write_folder(target, {"a": b"new"})
    assert looks == [target, target]


def test_a_list_that_vanishes_is_no_list(tmp_path):
    assert atomic.listed(tmp_path) == {}
    assert atomic.listed(tmp_path / "gone") == {}
    (tmp_path / "contents.sha256").mkdir()
    assert atomic.listed(tmp_path) == {}


@pytest.mark.parametrize("nth", range(1, 9))
def test_disk_full_at_any_file_leaves_the_old_pack(tmp_path, monkeypatch, nth):
    target = tmp_path / "pack"
    write_folder(target, {f"{k}": b"old" for k in range(6)} | {"schedule.json": b"old"})
    calls, real = [], os.fsync

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) == nth:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left on device"):
        write_folder(target, {f"{k}": b"new" for k in range(6)} | {"schedule.json": b"new"})
    assert versions(target) == {b"old"}
    assert is_whole(target)
    assert [p.name for p in tmp_path.iterdir()] == ["pack"]


def test_a_real_limit_of_the_system_is_told_and_nothing_is_left(tmp_path):
    """No file may grow beyond 60 kB, which the PDF does."""
    ran = subprocess.run(
        [sys.executable, "-m", "girderply", "pack", str(SAMPLE), "--out", str(tmp_path / "out")],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000)),
    )
    assert ran.returncode == 2
    assert "File too large" in ran.stderr
    assert "Traceback" not in ran.stderr
    assert list((tmp_path / "out").iterdir()) == []


@pytest.mark.parametrize("command", ["pack", "batch"])
def test_a_place_that_takes_no_files_is_told_before_any_work(capsys, command):
    """/proc refuses new folders even to the administrator."""
    ran = girderply(capsys, command, SAMPLE, "--out", "/proc/no-place")
    assert ran.code == 2
    assert "cannot write /proc/no-place" in ran.err


def test_a_lock_that_is_never_freed_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(atomic, "LOCK_WAIT", 0.1)
    with (
        atomic._alone(tmp_path / "a"),
        pytest.raises(OutputError, match="is being written by another run"),
    ):
        write_folder(tmp_path / "b", {"x": b"1"})
    assert list(tmp_path.iterdir()) == []
