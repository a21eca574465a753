"""Many jobs at once: what is done, kept, refused and told, and that the order never changes."""

from __future__ import annotations

import csv
import io
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from command import girderply

from girderply.cli import batch
from girderply.errors import OutputError
from girderply.exchange.batch_jobs import BatchError, job_files
from girderply.exchange.batch_kept import is_whole

SAMPLES = Path(__file__).parents[3] / "sample_jobs"
QUICK = SAMPLES / "two-ply-imperial.toml"


def numbered(folder: Path, count: int) -> list[Path]:
    """Copies of the quickest sample with numbers of their own."""
    folder.mkdir(exist_ok=True)
    text = QUICK.read_text("utf-8")
    files = []
    for n in range(count):
        files.append(folder / f"job-{n:03d}.toml")
        files[-1].write_text(re.sub(r'(?m)^number = ".*"', f'number = "N-{n:03d}"', text), "utf-8")
    return files


def rows(out: Path) -> list[dict[str, str]]:
    text = (out / "summary.csv").read_text("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def packs(out: Path) -> list[Path]:
    return sorted(p for p in out.iterdir() if p.is_dir() and not p.name.startswith("."))


def test_folders_patterns_and_files_each_once_in_order(tmp_path):
    for name in ("b.toml", "a.toml", "deep/c.toml", ".hidden/d.toml", "e.txt"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("")
    words = [str(tmp_path / "b*.toml"), str(tmp_path), str(tmp_path / "gone.toml")]
    found = [p.relative_to(tmp_path).as_posix() for p in job_files(words)]
    assert found == ["b.toml", "a.toml", "deep/c.toml", "gone.toml"]


def test_a_link_that_leads_nowhere_or_to_itself_is_a_job_that_cannot_be_read(tmp_path):
    """A job on a drive that is not connected is told, not passed over in silence."""
    jobs = tmp_path / ".season"  # what lies in a hidden folder that was named is meant
    jobs.mkdir()
    (jobs / "gone.toml").symlink_to(tmp_path / "elsewhere.toml")
    (jobs / "loop.toml").symlink_to(jobs / "loop.toml")
    (jobs / "folder.toml").mkdir()
    assert [p.name for p in job_files([str(jobs)])] == ["gone.toml", "loop.toml"]


@pytest.mark.parametrize("word", ["empty", "*.nothing"])
def test_a_word_that_means_no_job_is_told(tmp_path, word):
    (tmp_path / "empty").mkdir()
    with pytest.raises(BatchError, match="no job file there"):
        job_files([str(tmp_path / word)])


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """Four jobs: good, not TOML, not for assembly, and one of the same name as the first."""
    folder = tmp_path_factory.mktemp("season") / "jobs"
    folder.mkdir()
    shutil.copy(QUICK, folder / "1-good.toml")
    (folder / "2-broken.toml").write_text("no = toml = at all")
    shutil.copy(SAMPLES / "refused-shallow.toml", folder / "3-refused.toml")
    shutil.copy(QUICK, folder / "4-twin.toml")
    return folder


def test_one_bad_file_spoils_only_itself_and_the_order_is_that_of_the_jobs(
    capsys, tmp_path, season
):
    told = []
    for workers in (1, 2):
        out = tmp_path / str(workers)
        ran = girderply(capsys, "batch", season, "--out", out, "--workers", workers)
        assert ran.code == 2, "a job that could not be read, as README says"
        assert ran.out.split() == [str(out / "summary.csv"), str(out / "summary.html")]
        told.append(((out / "summary.csv").read_bytes(), (out / "summary.html").read_bytes()))
    assert told[0] == told[1]
    assert [r["state"] for r in rows(out)] == ["good", "failed", "not for assembly", "failed"]
    assert "not TOML" in rows(out)[1]["reason"]
    assert "1-good.toml" in rows(out)[3]["reason"]
    assert rows(out)[0]["plies"] == "2"
    assert [p.name for p in packs(out)] == sorted(r["pack"] for r in rows(out) if r["pack"])
    assert all(is_whole(p) for p in packs(out))
    assert "FAILED" in ran.err
    assert "ERROR   2 of 4 jobs have no pack of this run" in ran.err
    assert "4 of 4 jobs done: 1 good, 1 NOT FOR ASSEMBLY, 2 failed" in ran.err
    assert "Do not lift the girder" in ran.err


def test_a_summary_that_no_longer_fits_on_the_disk_hides_no_result(capsys, tmp_path, monkeypatch):
    """The summary is written before any work, and again at its end: by then the disk is full."""
    write, written = batch._write_summary, []

    def once(out: Path, done: list, count: int) -> None:
        if written:
            raise OutputError(f"cannot write {out / 'summary.csv'}: No space left on device")
        written.append(write(out, done, count))

    monkeypatch.setattr(batch, "_write_summary", once)
    (tmp_path / "broken.toml").write_text("no = toml = at all")
    ran = girderply(capsys, "batch", tmp_path / "broken.toml", "--out", tmp_path / "out")
    assert (ran.code, ran.out) == (2, "")
    assert "broken.toml: job file: the file is not TOML" in ran.err
    assert "ERROR   1 of 1 jobs have no pack of this run" in ran.err
    assert "ERROR   cannot write" in ran.err
    assert "No space left on device" in ran.err


@pytest.mark.usefixtures("made_anew")
def test_a_pack_is_the_same_as_that_of_the_pack_command(capsys, tmp_path):
    for command in ("pack", "batch"):
        assert girderply(capsys, command, QUICK, "--out", tmp_path / command).code == 0
    (one,), (two,) = packs(tmp_path / "pack"), packs(tmp_path / "batch")
    assert (one / "contents.sha256").read_bytes() == (two / "contents.sha256").read_bytes()


def test_resume_keeps_what_is_unchanged_and_redoes_the_rest(capsys, tmp_path):
    files, out = numbered(tmp_path / "jobs", 3), tmp_path / "out"
    command = ("batch", tmp_path / "jobs", "--out", out, "--workers", 2, "--resume")
    assert girderply(capsys, *command).code == 0
    assert [r["redone"] for r in rows(out)] == ["yes"] * 3
    kept = packs(out)[0] / "delivery.pdf"
    before = kept.stat().st_mtime_ns
    # line ends of another system; another title; a file of the pack that somebody changed
    files[0].write_bytes(files[0].read_bytes().replace(b"\n", b"\r\n"))
    text = files[1].read_text("utf-8")
    files[1].write_text(text.replace('title = "', 'title = "New: ', 1), "utf-8")
    damaged = packs(out)[2] / "schedule.csv"
    damaged.write_bytes(damaged.read_bytes() + b"x")
    assert girderply(capsys, *command).code == 0
    assert [r["redone"] for r in rows(out)] == ["no", "yes", "yes"]
    assert all(is_whole(p) for p in packs(out))
    assert kept.stat().st_mtime_ns == before


def started(jobs: Path, out: Path) -> subprocess.Popen[str]:
    """A batch in a process group of its own, as a terminal would start it.

    A shell that starts the tests in the background has them ignore interrupts, and what they start
    inherits that: `env` gives the batch its own answer back.
    """
    command = [
        "env",
        "--default-signal=INT",
        sys.executable,
        "-m",
        "girderply",
        "batch",
        str(jobs),
        "--out",
        str(out),
    ]
    return subprocess.Popen(
        [*command, "--workers", "2"], stderr=subprocess.PIPE, text=True, start_new_session=True,
        stdout=subprocess.DEVNULL,
    )  # fmt: skip


def wait_for_a_pack(out: Path) -> None:
    until = time.monotonic() + 240
    while not list(out.glob("*/contents.sha256")):
        assert time.monotonic() < until
        time.sleep(0.02)


def children(pid: int) -> list[int]:
    text = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    words = {int(c): Path(f"/proc/{c}/cmdline").read_text() for c in text.split()}
    return [c for c, line in words.items() if "spawn_main" in line]


def test_ctrl_c_leaves_whole_packs_and_a_summary(tmp_path):
    numbered(tmp_path / "jobs", 40)
    out = tmp_path / "out"
    run = started(tmp_path / "jobs", out)
    wait_for_a_pack(out)
    os.killpg(run.pid, signal.SIGINT)  # the terminal sends it to every process
    _, said = run.communicate(timeout=240)
    assert run.returncode == 130
    assert "Traceback" not in said
    assert "--resume goes on from here" in said
    assert 1 <= len(packs(out)) < 40
    assert all(is_whole(p) for p in packs(out))
    assert not list(out.glob(".*"))
    assert len(rows(out)) < 40
    assert "jobs are not done yet" in (out / "summary.html").read_text("utf-8")


def test_a_process_that_dies_spoils_no_other_job(tmp_path):
    numbered(tmp_path / "jobs", 4)
    out = tmp_path / "out"
    run = started(tmp_path / "jobs", out)
    wait_for_a_pack(out)
    victim = children(run.pid)[0]
    os.kill(victim, signal.SIGKILL)
    _, said = run.communicate(timeout=240)
    assert run.returncode == 0, said
    assert [r["state"] for r in rows(out)] == ["good"] * 4
    assert len(packs(out)) == 4
    assert all(is_whole(p) for p in packs(out))


def test_killed_outright_it_leaves_no_process_and_only_whole_packs(tmp_path):
    numbered(tmp_path / "jobs", 40)
    out = tmp_path / "out"
    run = started(tmp_path / "jobs", out)
    wait_for_a_pack(out)
    workers = children(run.pid)
    assert workers
    run.kill()
    run.wait()
    assert run.stderr is not None
    run.stderr.close()
    until = time.monotonic() + 10
    while any(Path(f"/proc/{c}/exe").exists() for c in workers):
        assert time.monotonic() < until, "a process of the batch lives on"
        time.sleep(0.05)
    assert all(is_whole(p) for p in packs(out))


def test_a_pack_in_another_language_is_not_kept(capsys, tmp_path):
    (job,), out = numbered(tmp_path / "jobs", 1), tmp_path / "out"
    words = ("batch", job, "--out", out, "--workers", 1, "--resume")
    girderply(capsys, *words)
    for language, kept in (("fr", 0), ("fr", 1), ("en", 0)):
        ran = girderply(capsys, *words, "--language", language)
        assert f"{kept} unchanged packs kept" in ran.err
        page = (packs(out)[0] / "tick-off.html").read_text("utf-8")
        assert f'<html lang="{language}">' in page
        assert "girders" in (out / "summary.html").read_text("utf-8").lower()
