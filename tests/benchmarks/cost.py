"""What things cost, as ratios; run on demand, from the top of a checkout:

    PYTHONPATH=tests/support python tests/benchmarks/cost.py [--quick]

Times are processor time of the processes measured (user and system), the least of several, so that
a busy machine changes them little; only the batch is timed by the clock as well.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from jobs_in_text import Ask, job_text
from set_out import numbers_to_read

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "two-ply-howe.toml"
# What `schedule` cannot do without: the libraries that read a job, lay out and talk.
FLOOR = "import numpy, shapely, pydantic, pint, typer, json, tomllib"
# Modules are compiled once, whatever the shell says; the first of several runs pays for it.
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def process(*words: str) -> float:
    """Processor time of one Python process, s."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *words], check=False, capture_output=True, env=ENVIRONMENT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def best(count: int, work: Callable[[], object]) -> float:
    """The least processor time of several runs in this process, s."""
    times = []
    for _ in range(count):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def schedule_process(count: int) -> None:
    """A whole `schedule` against the bare import of its libraries."""
    floor = min(process("-c", FLOOR) for _ in range(count))
    whole = min(
        process("-m", "girderply", "schedule", str(SAMPLE), "--format", "json")
        for _ in range(count)
    )
    print(f"schedule: {whole:.3f} s, imports alone {floor:.3f} s: {whole / floor:.2f} times")


def pack_against_typst() -> None:
    """A pack against typst alone on the same drawings, in a running process."""
    from girderply.cli.pack import pack_files
    from girderply.exchange.pack_files import data_files
    from girderply.jobfile.reader import read_job
    from girderply.papers.page.typeset import render_made, svg_pages
    from girderply.papers.sheets import make_sheets
    from girderply.schedule.build_schedule import build_schedule

    # typst remembers what it has set: each sample is set once, after others have warmed it up
    pack_files(build_schedule(read_job(SAMPLE.with_name("two-ply-imperial.toml"))))
    shares = {}
    start = time.process_time()
    schedule = build_schedule(read_job(SAMPLE))
    shares["schedule"] = time.process_time() - start
    sheets = make_sheets(schedule)
    shares["sheets"] = time.process_time() - start - sum(shares.values())
    svg_pages(schedule, sheets)
    shares["svg"] = time.process_time() - start - sum(shares.values())
    data_files(schedule)
    shares["data"] = time.process_time() - start - sum(shares.values())
    render_made(schedule, sheets)
    shares["pdf"] = time.process_time() - start - sum(shares.values())
    whole = sum(shares.values())
    print("  " + ", ".join(f"{k} {v:.3f} s" for k, v in shares.items()))
    print(f"pack: {whole:.3f} s, {whole / shares['pdf']:.2f} times its PDF alone")


def girder(fasteners: int) -> str:
    """A job of about so many nails: a longer girder, then closer centres and more plies.

    No girder that may be asked for has 10^5; the last ones are as many as its timber takes.
    """
    span = float(np.clip(fasteners * 25.0, 4000.0, 58_000.0))
    plies = 2 if fasteners < 20_000 else 6
    near = fasteners / (2 * (plies - 1)) / span  # nails of one chord and interface per mm
    rows = 2 if fasteners < 20_000 else 4
    pitch = float(np.clip(round(rows / near / 10) * 10, 40.0, 300.0))
    load = f"""
[[loads]]
id = "L"
chord = "BC1"
face = "front"
at = "600 mm"
to = "{span - 600} mm"
every = "{max(600.0, (span - 1200) / 400)} mm"
permanent = "10 N"
variable = "10 N"
"""
    rules = "".join(
        f'[[fastening.prescribed]]\nrole = "{role}"\nrows = {rows}\npitch = "{pitch} mm"\n'
        for role in ("top chord", "bottom chord")
    )
    ask = Ask(
        kind="parallel chord", span=span, pitch=None, height=1500.0, plies=plies,
        panels=max(2, 2 * round(span / 4000)), top=245.0, bottom=245.0, loads=load,
        extra="design_to_load = false",
    )  # fmt: skip
    return job_text(ask) + (rules if fasteners > 4000 else "")


def growth(count: int, most: float) -> None:
    """Layout and checks per fastener, and the exponent of growth."""
    from girderply.jobfile.reader import parse_job
    from girderply.model.build_girder import build_girder
    from girderply.schedule.design import design
    from girderply.schedule.look_up import make_brief

    found = []
    for wish in 10.0 ** np.arange(2.0, most + 0.1, 0.5):
        job = parse_job(girder(int(wish)))
        brief = make_brief(job, build_girder(job)[0])
        n = len(design(brief).layout.fasteners)
        took = best(count, lambda brief=brief: design(brief))
        found.append((n, took))
        print(f"  {n:7d} fasteners: {1000 * took:8.1f} ms, {1e6 * took / n:6.1f} us each")
    n, took = np.log(np.array(found)).T
    print(f"growth: fasteners to the power of {np.polyfit(n, took, 1)[0]:.2f}")


def samples(count: int) -> None:
    """Layout and checks of the samples per 1,000 fasteners, and what is read to set a nail out."""
    from girderply.jobfile.reader import read_job
    from girderply.model.build_girder import build_girder
    from girderply.schedule.build_schedule import build_schedule
    from girderply.schedule.contract import to_contract
    from girderply.schedule.design import design
    from girderply.schedule.look_up import make_brief

    fasteners, seconds, nails, numbers = 0, 0.0, 0, 0
    for path in sorted(SAMPLE.parent.glob("*.toml")):
        job = read_job(path)
        brief = make_brief(job, build_girder(job)[0])
        fasteners += len(design(brief).layout.fasteners)
        seconds += best(count, lambda brief=brief: design(brief))
        document = json.loads(json.dumps(to_contract(build_schedule(job))))
        own = numbers_to_read(document)
        nails, numbers = nails + own[0], numbers + own[1]
        print(f"  {path.stem}: {own[0]} nails, {own[1]} numbers, {own[1] / own[0]:.2f} a nail")
    print(f"samples: {1e6 * seconds / fasteners:.0f} ms for 1,000 fasteners laid out and checked")
    print(f"set-out: {numbers} numbers for {nails} nails, {numbers / nails:.3f} a nail (goal 0.12)")


def batch(jobs: int) -> None:
    """Two processes against one, by the clock; and the most memory of one process."""
    text = SAMPLE.read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder, "jobs")
        source.mkdir()
        for n in range(jobs):
            job = re.sub(r'(?m)^number = ".*"', f'number = "N-{n}"', text)
            (source / f"{n:04d}.toml").write_text(job, "utf-8")
        took = {}
        for workers in (1, 2):
            words = ["batch", str(source), "--out", f"{folder}/{workers}"]
            start = time.perf_counter()
            cpu = process("-m", "girderply", *words, "--workers", str(workers))
            took[workers] = time.perf_counter() - start
            print(
                f"  {jobs} jobs, {workers} processes: {took[workers]:.1f} s, processor {cpu:.1f} s"
            )
    load = os.getloadavg()[0]
    print(
        f"batch: 2 processes {took[1] / took[2]:.2f} times as fast (load of the machine {load:.1f})"
    )
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"memory: {peak:.0f} MB at most in one process")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    quick = parser.parse_args().quick
    count = 3 if quick else 7
    schedule_process(count)
    pack_against_typst()
    samples(count)
    growth(2 if quick else 3, 4.0 if quick else 5.0)
    batch(6 if quick else 40)


if __name__ == "__main__":
    main()
