"""Same girders, same bytes: every file of a delivery under other hash seeds and time zones."""

from __future__ import annotations

import os
import subprocess
import sys

from supplier import SAMPLES

CODE = """
import hashlib, sys
from pathlib import Path
from girderply.cli.delivery import delivery_files
from girderply.exchange.register import Made, deliver
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
made = [build_schedule(read_job(Path(p))) for p in sys.argv[2:]]
files = delivery_files(made)
deliver(
    Path(sys.argv[1]),
    [Made(schedule, files) for schedule in made],
    lambda head: delivery_files(made, head),
)
files["register"] = Path(sys.argv[1]).read_bytes()
for name, data in files.items():
    print(name, hashlib.sha256(data).hexdigest())
"""


def hashes(folder, seed: str, zone: str) -> dict[str, str]:
    jobs = [SAMPLES / "two-ply-howe.toml", SAMPLES / "refused-shallow.toml"]
    run = subprocess.run(
        [sys.executable, "-c", CODE, folder / seed / "register.jsonl", *jobs],
        env=os.environ | {"PYTHONHASHSEED": seed, "TZ": zone},
        capture_output=True,
        check=True,
        text=True,
    )
    return dict(line.split() for line in run.stdout.splitlines())


def test_hash_seeds_and_time_zones(tmp_path):
    first = hashes(tmp_path, "0", "UTC")
    assert len(first) == 6
    other = hashes(tmp_path, "4711", "Asia/Tokyo")
    assert [n for n in first if first[n] != other.get(n)] == []


DXF = """
import hashlib, sys
sys.path[:0] = {paths!r}
from hand_girder import hand_schedule
from girderply.exchange.dxf_out import dxf_bytes
print(hashlib.sha256(dxf_bytes(hand_schedule())).hexdigest())
"""


def test_classes_of_a_dxf_come_in_one_order():
    """The library lists classes from a set; left alone, seeds 4 and 7 gave other bytes than 0."""
    code = DXF.format(paths=[p for p in sys.path if p])
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code],
            env=os.environ | {"PYTHONHASHSEED": seed},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in ("0", "4", "7")
    ]
    said = {run.communicate(timeout=60)[0] for run in runs}
    assert len(said) == 1
    assert len(said.pop().strip()) == 64
