"""The register: what it takes, what it refuses, and what a kill leaves."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from hand_girder import hand_schedule, with_revision
from supplier import hostile, reworded, sample

from girderply.errors import OutputError
from girderply.exchange.atomic import listed, write_folder
from girderply.exchange.register import Entry, Made, RegisterError, deliver, read_register
from girderply.exchange.register import issuing as register_issue
from girderply.exchange.register.issuing import SUPERSEDED
from girderply.exchange.register.lock import locked
from girderply.exchange.register.store import folder_of, kept_path
from girderply.schedule.contract import content_hash
from girderply.schedule.types import Schedule

FILES = {"pack.pdf": b"%PDF-1", "order.csv": b"x"}


def issue(path: Path, schedule: Schedule, files: Mapping[str, bytes], wait: float = 5.0) -> Entry:
    """Issue one pack without papers."""
    return deliver(path, [Made(schedule, files)], wait=wait)[0].entry


def made(revision: str = "A", **changes) -> Schedule:
    """The hand-made girder at a revision, its hash as the builder would give it."""
    schedule = replace(with_revision(hand_schedule(), revision), **changes)
    return replace(schedule, content_hash=content_hash(schedule))


@pytest.fixture
def path(tmp_path):
    return tmp_path / "out" / "register.jsonl"


def test_first_issue_says_all_that_is_needed(path):
    entry = issue(path, made(), FILES)
    values = json.loads(path.read_text("utf-8"))
    assert (values["job"], values["mark"], values["revision"]) == ("R-12", "G7", "A")
    assert values["date"] == "2025-03-01"
    assert values["content_hash"] == made().content_hash
    assert values["counts"] == {"4.0 x 100": 2, "M12 x 145": 1}
    assert values["files"]["pack.pdf"] == hashlib.sha256(b"%PDF-1").hexdigest()
    assert values["for_assembly"] is False, "check C2 of the hand-made girder fails"
    assert values["previous"] == "0" * 64
    assert entry.changes == ("First issue.",)
    assert read_register(path) == [entry]


def test_same_content_again_changes_nothing(path):
    first = issue(path, made(), FILES)
    before = path.read_bytes()
    assert issue(path, made(), dict(reversed(FILES.items()))) == first
    assert path.read_bytes() == before


def test_other_content_under_the_same_letter_is_refused_with_both_hashes(path):
    issue(path, made(), FILES)
    before = path.read_bytes()
    other = made(stages=made().stages[:1])
    with pytest.raises(RegisterError, match="revision A of R-12 G7 was issued") as caught:
        issue(path, other, FILES)
    assert made().content_hash[:12] in str(caught.value)
    assert other.content_hash[:12] in str(caught.value)
    assert "raise the revision" in caught.value.tip
    assert path.read_bytes() == before
    assert not kept_path(path, other.content_hash).exists()


@pytest.mark.parametrize("letter", ["a", " A", "\uff21"])
def test_a_letter_that_reads_the_same_is_the_same(path, letter):
    issue(path, made(), FILES)
    with pytest.raises(RegisterError, match="was issued on 2025-03-01 with other content"):
        issue(path, made(letter), FILES)


def test_a_revision_without_a_date_was_issued_and_no_word_is_missing(path):
    info = replace(made().job.info, date="")
    undated = made(job=replace(made().job, info=info))
    issue(path, undated, FILES)
    with pytest.raises(RegisterError, match="G7 was issued with other content: issued"):
        issue(path, made(job=undated.job, findings=()), FILES)


def test_an_older_revision_cannot_be_replaced_either(path):
    issue(path, made("A"), FILES)
    issue(path, made("B"), FILES)
    with pytest.raises(RegisterError, match="revision A"):
        issue(path, made("A", findings=()), FILES)
    assert [e.revision for e in read_register(path)] == ["A", "B"]


def test_same_content_in_other_files_is_a_line_of_its_own(path):
    first = issue(path, made(), FILES)
    again = issue(path, made(), FILES | {"pack.pdf": b"%PDF-2"})
    assert again.changes == ("Same content; files written anew: pack.pdf.",)
    assert again.previous == first.hash
    assert issue(path, made(), FILES | {"pack.pdf": b"%PDF-2"}) == again


def test_girders_of_one_delivery_share_a_register_and_not_their_revisions(path):
    issue(path, made(), FILES)
    other = reworded(made(stages=()), mark="G8")
    entry = issue(path, replace(other, content_hash=content_hash(other)), FILES)
    assert entry.changes == ("First issue.",)
    assert len(read_register(path)) == 2


def test_a_real_girder_and_its_next_revision(path):
    issue(path, sample("two-ply-howe"), FILES)
    entry = issue(path, _next(sample("two-ply-howe")), FILES)
    assert entry.changes[0] == "Since revision A:"
    assert entry.changes[1].startswith("Nothing in the girder or its fastening")


def _next(schedule: Schedule) -> Schedule:
    raised = replace(with_revision(schedule, "B"), content_hash="")
    return replace(raised, content_hash=content_hash(raised))


def test_words_of_a_job_stay_in_their_line(path):
    entry = issue(path, hostile(sample("two-ply-howe")), {"a b": b""})
    assert path.read_text("utf-8").count("\n") == 1
    assert read_register(path) == [entry]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"quantity":2', '"quantity":3', "line 2 does not follow"),
        ('"quantity":2', '"quantity":true', "line 1 is no entry"),
        ('{"changes"', '[{"changes"', "line 1 is no entry"),
        ('"mark":"G7"', '"mark": "G7"', "line 1 is no entry"),
        ('"job"', '"jobs"', "line 1 is no entry"),
    ],
)
def test_a_changed_line_is_noticed(path, old, new, words):
    issue(path, made("A"), FILES)
    issue(path, made("B"), FILES)
    text = path.read_text("utf-8").replace(old, new, 1)
    path.write_text(text, "utf-8")
    with pytest.raises(RegisterError, match=words):
        issue(path, made("C"), FILES)
    assert path.read_text("utf-8") == text


def test_a_lost_line_and_a_cut_line_are_noticed(path):
    for letter in "ABC":
        issue(path, made(letter), FILES)
    lines = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text(lines[0] + lines[2], "utf-8")
    with pytest.raises(RegisterError, match="line 2 does not follow"):
        read_register(path)
    path.write_text("".join(lines)[:-40], "utf-8")
    with pytest.raises(RegisterError, match="line 3 is no entry"):
        read_register(path)
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(RegisterError, match="not UTF-8"):
        read_register(path)


@pytest.mark.parametrize("harm", ["gone", "changed", "cut", "another thing"])
def test_where_the_kept_schedule_is_lost_the_counts_still_tell(path, harm):
    issue(path, made(), FILES)
    kept = kept_path(path, made().content_hash)
    text = kept.read_text("utf-8")
    kept.unlink()
    if harm != "gone":
        changed = text.replace('"station_mm": 127.0', '"station_mm": 137.0')
        assert changed != text
        kept.write_text({"changed": changed, "cut": text[:-9]}.get(harm, "[]"), "utf-8")
    f = made().fasteners
    fewer = made("B", fasteners=f.select(f.kind == "nail"))
    words = issue(path, fewer, FILES).changes
    assert words[1].startswith("The schedule of that revision is not beside the register")
    assert words[2:] == ("M12 x 145: 0 instead of 1.",)


KILLED = """
import os, sys
from pathlib import Path
sys.path[:0] = {paths!r}
from test_register_issue import FILES, issue, made

step, calls = int(sys.argv[2]), 0

def stopping(move):
    def call(*args):
        global calls
        calls += 1
        if calls == step and sys.argv[3] == "before":
            os._exit(9)
        done = move(*args)
        if calls == step:
            os._exit(9)
        return done
    return call

os.replace, Path.rename = stopping(os.replace), stopping(Path.rename)
issue(Path(sys.argv[1]), made("B"), FILES)
"""
# The moves of an issue into their places: what the register will be, the kept schedule, the pack,
# the register, its head.
STEPS = [(k, moment) for k in range(1, 6) for moment in ("before", "after")]


@pytest.mark.parametrize(("step", "moment"), STEPS)
def test_a_kill_between_the_steps_loses_nothing(path, step, moment):
    """Whatever was killed: the register names what lies there, and the same again ends it."""
    first = issue(path, made("A"), FILES)
    code = KILLED.format(paths=[p for p in sys.path if p])
    run = subprocess.run([sys.executable, "-c", code, path, str(step), moment], check=False)
    assert run.returncode == 9
    for entry in read_register(path):
        assert listed(path.parent / folder_of(entry)) == dict(entry.files)
    assert read_register(path)[0] == first
    again = issue(path, made("B"), FILES)
    assert [e.revision for e in read_register(path)] == ["A", "B"]
    assert again.changes[0] == "Since revision A:"
    assert again.supersedes == "A"
    assert not path.with_suffix(".next").exists()


def test_a_disk_that_is_full_for_the_second_pack(path, monkeypatch):
    """The first went out and is in the register; the second is in neither place."""
    real = register_issue.write_folder

    def full(target: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
        if "-G8-" in target.name:
            raise OutputError(f"cannot write {target}: No space left on device")
        return real(target, files)

    packs = [Made(made(), FILES), Made(reworded(made(), mark="G8"), FILES)]
    monkeypatch.setattr(register_issue, "write_folder", full)
    with pytest.raises(OutputError, match="No space left"):
        deliver(path, packs, lambda head: {"note.txt": head.encode()})
    assert [e.mark for e in read_register(path)] == ["G7"]
    assert not (path.parent / "note.txt").exists()
    monkeypatch.undo()
    deliver(path, packs, lambda head: {"note.txt": head.encode()})
    assert [e.mark for e in read_register(path)] == ["G7", "G8"]


def test_the_delivery_s_own_files_belong_to_the_register(path):
    packs = [Made(made(), FILES)]
    deliver(path, packs, lambda head: {"note.txt": head.encode()})
    entry, papers = (json.loads(line) for line in path.read_text("utf-8").splitlines())
    head = (path.parent / "note.txt").read_text("utf-8")
    assert head == read_register(path)[0].hash == papers["previous"]
    assert papers["papers"] == {"note.txt": hashlib.sha256(head.encode()).hexdigest()}
    assert papers["packs"] == [folder_of(read_register(path)[0])]
    assert entry["mark"] == "G7"
    before = path.read_bytes()
    deliver(path, packs, lambda head: {"note.txt": head.encode()})
    assert path.read_bytes() == before


@pytest.mark.parametrize("without", ["head", "packs", "nothing"])
def test_a_lost_end_is_noticed(path, without):
    """The last line cut off whole leaves a chain that follows; head and packs tell."""
    issue(path, made("A"), FILES)
    issue(path, made("B"), FILES)
    lines = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text(lines[0], "utf-8")
    if without == "head":
        path.with_suffix(".head").unlink()
    if without == "packs":
        shutil.rmtree(path.parent / "R-12-G7-rev-B")
    with pytest.raises(RegisterError, match=r"knows 2 lines, there are 1|issued as its entry 2"):
        issue(path, made("C"), FILES)
    assert path.read_text("utf-8") == lines[0]


@pytest.mark.parametrize("left", ["pack", "schedules"])
def test_a_register_that_is_gone_is_no_first_issue(path, left):
    issue(path, made("A"), FILES)
    path.unlink()
    path.with_suffix(".head").unlink()
    if left == "schedules":
        shutil.rmtree(path.parent / "R-12-G7-rev-A")
    else:
        shutil.rmtree(kept_path(path, "x").parent)
    with pytest.raises(RegisterError, match=r"is gone"):
        issue(path, made("A"), FILES)
    assert not path.exists()


def test_superseded_packs_say_so_and_nothing_of_them_is_lost(path):
    issue(path, made("A"), FILES)
    old = path.parent / "R-12-G7-rev-A"
    (old / "tick-off.csv").write_text("filled in")
    issue(path, made("B"), FILES)
    words = (old / SUPERSEDED).read_text("utf-8")
    assert "revision A is no longer" in words
    assert "revision B takes its place" in words
    assert (old / "tick-off.csv").read_text() == "filled in"
    assert (old / "pack.pdf").read_bytes() == FILES["pack.pdf"]
    assert not (path.parent / "R-12-G7-rev-B" / SUPERSEDED).exists()
    assert read_register(path)[1].supersedes == "A"


@pytest.mark.parametrize(
    ("one", "two"),
    [(("G1.2", "A"), ("G1-2", "A")), (("G1", "A"), ("G1", "A.")), (("G", "A"), ("G", "A b"))],
)
def test_what_shared_a_folder_has_two(path, one, two):
    """The first pack was gone after the second, and the register named both."""
    for mark, revision in (one, two):
        issue(path, reworded(made(revision), mark=mark), {**FILES, "mark": mark.encode()})
    entries = read_register(path)
    assert len({folder_of(e) for e in entries}) == 2
    for entry in entries:
        assert listed(path.parent / folder_of(entry)) == dict(entry.files)


def test_a_pack_of_other_content_that_was_never_issued_is_not_written_over(path):
    write_folder(path.parent / "R-12-G7-rev-A", {"schedule.json": b"{}"})
    with pytest.raises(OutputError, match="never issued"):
        issue(path, made("A"), {**FILES, "schedule.json": b"{ }"})
    assert (path.parent / "R-12-G7-rev-A" / "schedule.json").read_bytes() == b"{}"
    assert read_register(path) == []


HOLDER = """
import sys
from pathlib import Path
from girderply.exchange.register.lock import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.readline()
"""


def test_two_runs_at_once(path):
    """The second says who holds the register; when the first is killed, the way is free."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, path],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as holder:
        assert holder.stdout
        assert holder.stdout.readline() == "held\n"
        with pytest.raises(RegisterError, match=f"held by another run .process {holder.pid}."):
            issue(path, made(), FILES, wait=0.1)
        assert not path.exists()
        holder.kill()
    assert issue(path, made(), FILES, wait=5.0).revision == "A"


def test_many_runs_at_once_lose_no_line(path):
    code = (
        f"import sys; sys.path[:0] = {[p for p in sys.path if p]!r}\n"
        "from pathlib import Path\n"
        "from test_register_issue import FILES, issue, made\n"
        "issue(Path(sys.argv[1]), made(sys.argv[2]), FILES, wait=30)\n"
    )
    runs = [subprocess.Popen([sys.executable, "-c", code, path, r]) for r in "KLM"]
    assert [run.wait(60) for run in runs] == [0, 0, 0]
    assert sorted(e.revision for e in read_register(path)) == ["K", "L", "M"]


def test_the_lock_is_freed_after_a_fault(path):
    with pytest.raises(KeyError, match="x"), locked(path):
        raise KeyError("x")
    with locked(path, wait=0.0):
        assert path.parent.is_dir()


def test_a_place_that_cannot_be_written(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="cannot write"):
        issue(tmp_path / "file" / "register.jsonl", made(), FILES)
    os.mkdir(tmp_path / "register.jsonl")
    with pytest.raises(OutputError, match="cannot write"):
        issue(tmp_path / "register.jsonl", made(), FILES)
