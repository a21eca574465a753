"""Spoils the sample jobs a great many times and looks for tracebacks, warnings and hangs.

Run on demand, from the top of a checkout:

    PYTHONPATH=tests/support python tests/robustness/fuzz.py --count 100000 --workers 2

Every try is one seed: `--seed S --count 1` repeats it. Prints each kind of failure once with its
seed as soon as it is met, the tally after every few thousand tries, so that a run that is cut off
has still said what it tried, and at the end the rate. Exit 1 on a failure.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import signal
import sys
import time
import traceback
import warnings
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from job_lines import BASE, MEMBERS
from job_mutations import spoilt_bytes, spoilt_values

from girderply.errors import GirderplyError, JobError
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
SLOW = 10  # s of this process; the samples take a tenth of one
CHUNK = 200
EVERY = 2_000  # tries between two lines of progress


@dataclass
class Tally:
    """What came of the tries; failures by the place they came from: one trace, every seed."""

    reached: Counter[str] = field(default_factory=Counter)
    failures: dict[str, str] = field(default_factory=dict)
    seeds: dict[str, list[int]] = field(default_factory=dict)
    slowest: tuple[float, int] = (0.0, -1)
    changes: Counter[str] = field(default_factory=Counter)

    def add(self, other: Tally) -> None:
        self.reached += other.reached
        self.changes += other.changes
        self.failures = other.failures | self.failures
        for kind, seeds in other.seeds.items():
            self.seeds.setdefault(kind, []).extend(seeds)
        self.slowest = max(self.slowest, other.slowest)


class TooSlowError(Exception):
    """A job that takes longer than any job may."""


def texts() -> list[str]:
    return [BASE, MEMBERS, *(p.read_text("utf-8") for p in SAMPLES)]


def case(seed: int, changes: Counter[str] | None = None) -> str | bytes:
    """The spoilt job of a seed; `changes` counts what was done to it."""
    rng = random.Random(seed)
    text = rng.choice(texts())
    if rng.random() >= 0.15:
        return spoilt_values(text, rng, changes)
    if changes is not None:
        changes["spoil the bytes"] += 1
    return spoilt_bytes(text, rng)


def tried(seed: int, drawn: float, changes: Counter[str] | None = None) -> str:
    """How far a job came: unread, unbuilt, refused, good; anything unexpected is raised.

    Args:
        seed: of the case. drawn: share of the schedules that are drawn and written as well.
        changes: what was done to the job is counted here.
    """
    job = case(seed, changes)
    try:
        text = job.decode("utf-8-sig") if isinstance(job, bytes) else job
    except UnicodeDecodeError:
        return "not UTF-8"
    try:
        parsed = parse_job(text)
    except JobError as fault:
        if not fault.findings:
            raise ValueError("a refusal without a finding") from fault
        return "unread"
    try:
        schedule = build_schedule(parsed)
    except GirderplyError as fault:
        return f"unbuilt ({type(fault).__name__})"
    if random.Random(seed).random() < drawn:
        from girderply.exchange.pack_files import data_files, pack_name
        from girderply.papers import render_pdf, render_svg, sheet_names

        pack_name(schedule)
        data_files(schedule)
        for name in sheet_names(schedule):
            render_svg(schedule, name)
        render_pdf(schedule)
        return "drawn"
    return "refused" if schedule.failed else "good"


def _ring(*_: object) -> None:
    raise TooSlowError


def run(seeds: range, drawn: float) -> Tally:
    """Try every seed; a failure never stops the rest."""
    tally = Tally()
    warnings.simplefilter("error")
    signal.signal(signal.SIGVTALRM, _ring)
    for seed in seeds:
        start = time.process_time()
        signal.setitimer(signal.ITIMER_VIRTUAL, SLOW)
        try:
            tally.reached[tried(seed, drawn, tally.changes)] += 1
        except Exception as fault:  # noqa: BLE001 - reason: any exception is what is looked for
            # Why everything: whatever is no GirderplyError is a find; it is counted and shown with
            # its seed, and the run goes on to the next one.
            where = traceback.extract_tb(fault.__traceback__)[-1]
            kind = f"{type(fault).__name__} at {Path(where.filename).name}:{where.lineno}"
            if isinstance(fault, TooSlowError):
                kind = "TooSlowError"
            tally.reached["FAILED"] += 1
            tally.failures.setdefault(kind, traceback.format_exc(limit=-6))
            tally.seeds.setdefault(kind, []).append(seed)
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        tally.slowest = max(tally.slowest, (time.process_time() - start, seed))
    return tally


def _work(job: tuple[range, float]) -> Tally:
    return run(*job)


def _came(tally: Tally) -> str:
    """How far the tries came, in one line."""
    how_far = ", ".join(f"{k}: {v}" for k, v in sorted(tally.reached.items()))
    return f"{tally.reached.total()} tries: {how_far}"


def _done(tally: Tally) -> str:
    """What was done to the jobs: kinds of damage, and how many keys of a job it came to."""
    kinds = {k: v for k, v in sorted(tally.changes.items()) if not k.startswith("key ")}
    keys = Counter({k[4:]: v for k, v in tally.changes.items() if k.startswith("key ")})
    often = ", ".join(f"{k} {v}" for k, v in keys.most_common(8))
    return f"tried: {kinds}; {len(keys)} keys, most often {often}"


def main() -> int:
    """Parse the command line, try, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--drawn", type=float, default=0.02)
    parser.add_argument("--minutes", type=float, default=60.0, help="stop after so many")
    parser.add_argument("--show", action="store_true", help="print the job of the seed")
    args = parser.parse_args()
    if args.show:
        print(case(args.seed))
    last = args.seed + args.count
    work = [(range(s, min(s + CHUNK, last)), args.drawn) for s in range(args.seed, last, CHUNK)]
    total, start = Tally(), time.perf_counter()
    with multiprocessing.get_context("spawn").Pool(args.workers) as pool:
        for tally in pool.imap(_work, work):
            for kind in sorted(tally.failures.keys() - total.failures.keys()):
                print(f"--- {kind} (seed {tally.seeds[kind][0]})", flush=True)
                print(tally.failures[kind], flush=True)
            total.add(tally)
            took = time.perf_counter() - start
            if total.reached.total() % EVERY == 0:
                print(f"{took:.0f} s: {_came(total)}", flush=True)
            if took > 60 * args.minutes:
                break
    tries = total.reached.total()
    for kind, seeds in sorted(total.seeds.items()):
        print(f"{kind}: seeds {', '.join(map(str, seeds))}")
    print(_came(total))
    print(_done(total))
    print(f"slowest: {total.slowest[0]:.1f} s (seed {total.slowest[1]})")
    print(f"{tries} tries in {took:.0f} s: {tries / took:.0f} a second, {args.workers} workers")
    return 1 if total.failures else 0


if __name__ == "__main__":
    sys.exit(main())
