"""Same job, same bytes: packs made under different hash seeds, in different places."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_jobs"


def pack(job: Path, home: Path, seed: str) -> dict[str, bytes]:
    home.mkdir(parents=True)
    subprocess.run(
        [sys.executable, "-m", "girderply", "pack", str(job), "--out", "out"],
        cwd=home,
        env=os.environ | {"PYTHONHASHSEED": seed},
        capture_output=True,
        check=True,
    )
    return {p.relative_to(home).as_posix(): p.read_bytes() for p in home.rglob("*") if p.is_file()}


@pytest.mark.parametrize(
    ("stem", "seeds"),
    [("two-ply-howe", ("0", "1", "4711")), ("two-ply-imperial", ("0", "4711"))],
)
def test_hash_seeds(stem, seeds, tmp_path):
    first, *others = (
        pack(SAMPLES / f"{stem}.toml", tmp_path / f"at-{seed}", seed) for seed in seeds
    )
    assert any(name.endswith("yard.pdf") for name in first)
    for other in others:
        assert other.keys() == first.keys()
        assert [name for name in first if first[name] != other[name]] == []
