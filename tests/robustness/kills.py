"""Kills pack, issue and batch at random moments, and looks at what they leave behind.

python tests/robustness/kills.py --count 60 --seed 1

After every kill whatever stands under a pack's name is whole: each file that contents.sha256 names
is there with its hash. The register names no revision that is not on the disk. The same command,
run again, ends well. What a killed run left half made must not be taken for a pack.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
JOBS = [SAMPLES / "two-ply-screwed.toml", SAMPLES / "two-ply-howe.toml"]
COMMANDS = ("pack", "issue", "batch")
LONGEST = 300.0  # s for a run that is not killed


def command(name: str, out: Path) -> list[str]:
    jobs = JOBS[1:] if name == "pack" else JOBS
    return [sys.executable, "-m", "girderply", name, *map(str, jobs), "--out", str(out)]


def whole(out: Path) -> list[str]:
    """What is wrong with what stands there."""
    faults = []
    for listed in out.rglob("contents.sha256"):
        if any(part.startswith(".") for part in listed.relative_to(out).parts):
            continue
        for line in listed.read_text("utf-8").splitlines():
            digest, _, name = line.partition("  ")
            path = listed.parent / name.lstrip("*")
            if not path.is_file():
                faults.append(f"{path} is not there")
            elif hashlib.sha256(path.read_bytes()).hexdigest() != digest:
                faults.append(f"{path} is not what its list says")
    register = out / "register.jsonl"
    if register.exists():
        entries = [json.loads(x) for x in register.read_text("utf-8").splitlines()]
        for entry in (e for e in entries if "mark" in e):
            packs = [p for p in out.glob(f"*{entry['mark']}*") if (p / "schedule.json").is_file()]
            if not packs:
                faults.append(f"{entry['mark']} is in the register and not on the disk")
    return faults


def one(name: str, out: Path, after: float) -> str:
    """Run a command, kill it after so many seconds, and say what came of it."""
    run = subprocess.Popen(
        command(name, out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        start_new_session=True,
    )  # fmt: skip
    try:
        code = run.wait(after)
    except subprocess.TimeoutExpired:
        run.send_signal(signal.SIGKILL)
        run.wait()
        return "killed"
    return f"ended with {code}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    rng, seen, bad = random.Random(asked.seed), Counter[str](), 0
    with tempfile.TemporaryDirectory() as folder:
        usual = {}
        for name in COMMANDS:
            began = time.monotonic()
            subprocess.run(command(name, Path(folder) / "usual"), check=False, timeout=LONGEST,
                           capture_output=True)  # fmt: skip
            usual[name] = time.monotonic() - began
            shutil.rmtree(Path(folder) / "usual")
        for number in range(asked.count):
            name, out = rng.choice(COMMANDS), Path(folder) / f"out-{number % 6}"
            told = one(name, out, rng.uniform(0.2, 1.05) * usual[name])
            faults = whole(out) if out.exists() else []
            if number % 6 == 5 and not faults:  # what was left behind is taken up again
                again = subprocess.run(command(name, out), check=False, timeout=LONGEST,
                                       capture_output=True, text=True)  # fmt: skip
                faults += whole(out)
                kept = "was issued and stays as it is" in again.stderr
                if again.returncode and not kept:
                    faults.append(f"run again: {again.returncode} {again.stderr[-300:]}")
            seen[f"{name} {told}"] += 1
            bad += bool(faults)
            for fault in faults:
                print(f"kill {number} of {name}: {fault}", flush=True)
    print(dict(seen), f"{bad} with faults")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
