"""Writing whole: after any fault the old is there as it was, and nothing half beside it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from girderply.errors import OutputError
from girderply.exchange import atomic
from girderply.exchange.atomic import write_bytes, write_folder, write_text


def tree(folder: Path) -> dict[str, bytes]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()
    }


def test_file_is_replaced_and_nothing_else_left(tmp_path):
    target = tmp_path / "a.json"
    target.write_text("old")
    write_text(target, "new\r\nline")
    assert tree(tmp_path) == {"a.json": b"new\r\nline"}


def test_failed_move_leaves_the_old_file(tmp_path, monkeypatch):
    target = tmp_path / "a.json"
    target.write_text("old")

    def refuse(*_: object) -> None:
        raise PermissionError(13, "not allowed")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(OutputError, match="not allowed"):
        write_bytes(target, b"new")
    assert tree(tmp_path) == {"a.json": b"old"}


def test_missing_folder_and_folder_as_target(tmp_path):
    with pytest.raises(OutputError, match=r"cannot write .*No such file"):
        write_bytes(tmp_path / "nowhere" / "a", b"x")
    with pytest.raises(OutputError, match="is a folder"):
        write_bytes(tmp_path, b"x")


def test_folder_drops_its_stale_files_and_keeps_those_of_people(tmp_path):
    target = tmp_path / "deep" / "pack"
    write_folder(target, {"a.txt": b"1", "sub/b.txt": b"2"})
    (target / "my notes.txt").write_bytes(b"mine")
    write_folder(target, {"a.txt": b"3"})
    found = tree(target)
    assert found.pop(atomic.CONTENTS).count(b"\n") == 1
    assert found == {"a.txt": b"3", "my notes.txt": b"mine"}
    assert [p.name for p in target.parent.iterdir()] == ["pack"]


def test_folder_of_somebody_else_is_refused(tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "1.jpg").write_bytes(b"x")
    with pytest.raises(OutputError, match="is not a pack"):
        write_folder(tmp_path / "photos", {"a": b"1"})
    assert tree(tmp_path) == {"photos/1.jpg": b"x"}


def test_file_of_people_in_the_way_of_a_new_one_stops_the_pack(tmp_path):
    write_folder(tmp_path / "p", {"a": b"1"})
    (tmp_path / "p" / "b").write_bytes(b"mine")
    with pytest.raises(OutputError, match="in the way"):
        write_folder(tmp_path / "p", {"a": b"1", "b": b"2"})
    assert tree(tmp_path / "p")["b"] == b"mine"


def test_escape_is_refused(tmp_path):
    with pytest.raises(OutputError, match="would leave the folder"):
        write_folder(tmp_path / "p", {"../x": b"1"})
    assert tree(tmp_path) == {}


@pytest.mark.parametrize("moves", [0, 1], ids=["first move fails", "second move fails"])
def test_failed_swap_leaves_the_old_folder(tmp_path, monkeypatch, moves):
    target = tmp_path / "p"
    write_folder(target, {"a": b"old"})
    real, calls = Path.rename, []

    def flaky(self: Path, to: Path) -> Path:
        calls.append(to)
        if len(calls) == moves + 1:
            raise OSError(28, "disk full")
        return real(self, to)

    monkeypatch.setattr(Path, "rename", flaky)
    with pytest.raises(OutputError, match="disk full"):
        write_folder(target, {"a": b"new"})
    assert tree(target)["a"] == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["p"]


def test_run_killed_between_the_two_moves_is_mended(tmp_path):
    target = tmp_path / "p"
    write_folder(target, {"a": b"old"})
    (target / "mine").write_bytes(b"mine")
    target.rename(tmp_path / ".p.old")
    write_folder(target, {"a": b"new"})
    assert tree(target)["a"] == b"new"
    assert tree(target)["mine"] == b"mine"
    assert [p.name for p in tmp_path.iterdir()] == ["p"]


def test_litter_of_a_run_killed_long_ago_goes_and_a_running_one_s_stays(tmp_path):
    for pid, age in (("77", 2 * atomic.LITTER_AGE), ("78", 0.0)):
        part = tmp_path / f".p.{pid}.part"
        part.mkdir()
        now = part.stat().st_mtime
        os.utime(part, (now - age, now - age))
    write_folder(tmp_path / "p", {"a": b"1"})
    assert sorted(p.name for p in tmp_path.iterdir()) == [".p.78.part", "p"]


def test_litter_of_a_run_that_ended_here_goes_at_once(tmp_path, monkeypatch):
    """By its number where it ran on this machine; another machine's number says nothing here."""
    done = subprocess.Popen([sys.executable, "-c", ""])
    done.wait()
    running, here = os.getppid(), atomic._host()
    names = [f".p.{here}-{done.pid}.part", f".p.{here}-{running}.part", f".p.other-{done.pid}.part"]
    for name in names:
        (tmp_path / name).mkdir()
    write_folder(tmp_path / "p", {"a": b"1"})
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*names[1:], "p"])
    part = atomic._beside(tmp_path / "p", "part")
    assert part.name == f".p.{here}-{os.getpid()}.part"
    monkeypatch.setattr(atomic.os, "name", "nt")  # where asking would end the process asked for
    assert not atomic._ended(tmp_path / names[0])


def test_what_people_changed_in_a_pack_is_kept_beside(tmp_path):
    """A filled tick-off list is the work of a person; the next pack must not write over it."""
    target = tmp_path / "p"
    files = {"tick-off.csv": b"empty", "sub/sheet.pdf": b"one"}
    assert write_folder(target, files) == ()
    (target / "tick-off.csv").write_bytes(b"filled in")
    (target / "sub" / "sheet.pdf").write_bytes(b"marked up")
    kept = write_folder(target, files | {"sub/sheet.pdf": b"two"})
    assert kept == ("sub/sheet.by-hand.pdf", "tick-off.by-hand.csv")
    found = tree(target)
    del found[atomic.CONTENTS]
    assert found == {
        "tick-off.csv": b"empty",
        "tick-off.by-hand.csv": b"filled in",
        "sub/sheet.pdf": b"two",
        "sub/sheet.by-hand.pdf": b"marked up",
    }
    (target / "tick-off.csv").write_bytes(b"filled in again")
    assert write_folder(target, files) == ("tick-off.by-hand-2.csv",)
    assert tree(target)["tick-off.by-hand.csv"] == b"filled in"
    assert tree(target)["tick-off.by-hand-2.csv"] == b"filled in again"


def test_a_linked_folder_is_renewed_where_it_is(tmp_path):
    real, link = tmp_path / "disk" / "p", tmp_path / "p"
    write_folder(real, {"a": b"1"})
    link.symlink_to(real)
    write_folder(link, {"a": b"2"})
    assert link.is_symlink()
    assert tree(real)["a"] == b"2"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["disk", "p"]
    assert [p.name for p in (tmp_path / "disk").iterdir()] == ["p"]


def test_a_link_that_leads_nowhere_is_refused_before_anything_is_written(tmp_path):
    (tmp_path / "p").symlink_to(tmp_path / "gone")
    with pytest.raises(OutputError, match="leads nowhere"):
        write_folder(tmp_path / "p", {"a": b"1"})
    assert [p.name for p in tmp_path.iterdir()] == ["p"]


def test_all_that_was_left_aside_is_put_back(tmp_path):
    for name in ("p", "q"):
        write_folder(tmp_path / name, {"a": name.encode()})
        (tmp_path / name).rename(tmp_path / f".{name}.old")
    write_folder(tmp_path / "q", {"a": b"new"})
    (tmp_path / ".mine.old").mkdir()
    atomic.recover(tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == [".mine.old", "p", "q"]
    assert tree(tmp_path / "p")["a"] == b"p"
    assert tree(tmp_path / "q")["a"] == b"new"
