"""A batch on a local Dask cluster of two workers, one of them killed: same packs, same bytes.

Resumed after that, what is missing is made, what a killed worker left half made goes.
"""

from __future__ import annotations

import os
import shutil
import signal
import threading
import time

import pytest
from command import girderply
from made_schedules import SAMPLES

from girderply.exchange.atomic import _host

NAMES = ("two-ply-screwed", "three-ply-pratt")


def _bytes(folder):
    """All but summaries."""
    return {
        p.relative_to(folder).as_posix(): p.read_bytes()
        for p in sorted(folder.rglob("*"))
        if p.is_file() and not p.relative_to(folder).parts[0].startswith("summary.")
    }


@pytest.fixture
def jobs(tmp_path):
    folder = tmp_path / "jobs"
    folder.mkdir()
    for name in NAMES:
        (folder / f"{name}.toml").write_bytes((SAMPLES / f"{name}.toml").read_bytes())
    (folder / "broken.toml").write_text("nothing here is a job", "utf-8")
    return folder


@pytest.mark.filterwarnings("ignore")
def test_two_workers_one_killed_make_the_packs_that_one_machine_makes(capsys, jobs, tmp_path):
    from distributed import LocalCluster

    here, there = tmp_path / "here", tmp_path / "there"
    usual = girderply(capsys, "batch", jobs, "--out", here, "--workers", 2)
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        killed = next(iter(cluster.workers.values())).pid  # its nanny soon has another process

        def kill_when_something_is_written():
            for _ in range(600):
                if there.is_dir() and any(p.is_dir() for p in there.iterdir()):
                    break
                time.sleep(0.1)
            os.kill(killed, signal.SIGKILL)

        killer = threading.Thread(target=kill_when_something_is_written)
        killer.start()
        ran = girderply(
            capsys, "batch", jobs, "--out", there, "--scheduler", cluster.scheduler_address
        )
        killer.join()
        lost = max(p for p in there.iterdir() if (p / "schedule.json").is_file())
        shutil.rmtree(lost)  # its worker was killed while it wrote this one
        (there / f".{lost.name}.{_host()}-{killed}.part").mkdir(exist_ok=True)
        again = girderply(
            capsys, "batch", jobs, "--out", there, "--scheduler", cluster.scheduler_address,
            "--resume",
        )  # fmt: skip
    assert again.code == usual.code
    assert [p.name for p in there.iterdir() if p.name.startswith(".")] == []
    assert ran.code == usual.code != 0, ran.err
    assert _bytes(there) == _bytes(here)
    assert len(list(there.glob("[!.]*/schedule.json"))) == len(NAMES)
    assert "broken.toml" in ran.err


def test_no_scheduler_is_said(capsys, jobs, tmp_path, monkeypatch):
    import girderply.cli.batch_cluster as cluster

    monkeypatch.setattr(cluster, "WAIT", "1s")
    ran = girderply(
        capsys, "batch", jobs, "--out", tmp_path / "out", "--scheduler", "tcp://127.0.0.1:9"
    )
    assert ran.code == 2
    assert "no scheduler answers at tcp://127.0.0.1:9" in ran.err
