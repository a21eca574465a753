"""Time of the spring model, beside PyNiteFEA 3.2 on the same model in the same run.

Run on demand, it is no test:  python tests/benchmarks/sharing_ratio.py [--large] [JOB...]

Prints for each girder: plies, fasteners, seconds of ours (median of five), seconds of PyNiteFEA
(once), the ratio, and how far the forces are apart. --large also gives the 12 m girder of 4 plies
and 1 500 fasteners to PyNiteFEA, which takes minutes. With jobs, their own girders, fasteners and
slip moduli are taken instead. Where a heel joint lies off the rafter's centreline both run the
rafter to the joint, with arms from there to its fasteners, as to those off the centreline; a very
stiff member is no rigid arm, which leaves about 1e-4.
"""

from __future__ import annotations

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import resource
import statistics
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from pynite_plies import PynitePlies
from sharing_girders import E_MODULUS, Columns, columns, truss

from girderply.bases.en1995 import BASIS as EN1995
from girderply.catalogue import timber
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.demand import combination_of, entering
from girderply.strength.sharing import Laws, laws_of, make_model, plastic, share

AT = tuple(("BC1", part) for part in np.arange(0.05, 0.96, 0.05))


def strewn(plies: int, count: int, span: float):
    """A truss with fasteners strewn evenly along all members, interface after interface."""
    girder = truss(plies, span, span / 5, at=AT)
    per = count // (plies - 1)
    whole = sum(m.length for m in girder.members)
    rows = []
    for k in range(1, plies):
        for m in girder.members:
            each = round(per * m.length / whole)
            for i in range(each):
                station = round((i + 0.2 + 0.6 * k / plies) * m.length / each, 1)
                rows.append((m.id, station, 0.0, k, k + 1))
    return girder, columns(rows)


def ours(girder, cols: Columns, laws: Laws, loads: np.ndarray):
    times = []
    for _ in range(5):
        start = time.perf_counter()
        found = share(girder, cols, laws, loads, E=E_MODULUS, merge=0.05)
        times.append(time.perf_counter() - start)
    return statistics.median(times), found


def compare(plies: int, count: int, span: float, other: bool = True) -> None:
    girder, cols = strewn(plies, count, span)
    laws = Laws(np.full(len(cols.member), 700.0), np.zeros(len(cols.member)))
    loads = np.zeros((len(girder.loads), plies))
    loads[:, 0] = 3000.0
    beside(f"{plies} plies, {span / 1000:g} m", girder, cols, laws, loads, other)


def of_job(path: str) -> None:
    """The girder of a job with its own fasteners, where they are."""
    schedule = build_schedule(read_job(path))
    girder, f = schedule.girder, schedule.fasteners
    laws = laws_of(f, schedule.nails, schedule.bolts, timber(girder.timber).rho_mean, by=EN1995)
    combination = combination_of(schedule.job.basis, "PV")
    values = [entering(v, combination.value(v) or 1000.0, girder.plies) for v in girder.loads]
    beside(Path(path).stem, girder, f, laws, np.array(values, float), True, 1e5)


def beside(name, girder, cols, laws: Laws, loads: np.ndarray, other: bool, arm=0.0) -> None:
    seconds, found = ours(girder, cols, laws, loads)
    text = f"{name}, {len(cols.member)} fasteners: ours {seconds:.3f} s"
    if other:
        start = time.perf_counter()
        theirs = PynitePlies(girder, cols, laws.modulus, E_MODULUS, arm).build(loads).solve()
        there = time.perf_counter() - start
        rows = list(zip(*np.nonzero(found.modulus), strict=True))
        apart = max(np.abs(found.force[f, k] - theirs.force(f, k)).max() for f, k in rows)
        text += f", PyNiteFEA {there:.1f} s, ratio {there / seconds:.0f}, "
        text += f"forces apart by {apart / found.force_size.max():.1e} of the largest"
    print(text, flush=True)


def raised() -> None:
    """The load raised until the transfer yields, largest girder."""
    girder, cols = strewn(4, 1500, 12000.0)
    laws = Laws(np.full(len(cols.member), 700.0), np.zeros(len(cols.member)))
    loads = np.zeros((len(girder.loads), 4))
    loads[:, 0] = 3000.0
    start = time.perf_counter()
    model = make_model(girder, cols, E_MODULUS)
    path = plastic(model, laws, loads, np.full(len(cols.member), 800.0))
    seconds = time.perf_counter() - start
    ends = f"first yield {path.first_yield:.2f}, reached {path.factor:.2f} ({path.ended_by})"
    print(f"load raised, 4 plies: {seconds:.1f} s, {len(path.factors)} steps, {ends}")


def main() -> None:
    jobs = [word for word in sys.argv[1:] if not word.startswith("-")]
    for job in jobs:
        of_job(job)
    if jobs:
        return
    compare(2, 60, 7000.0)
    compare(3, 200, 9000.0)
    compare(4, 1500, 12000.0, "--large" in sys.argv)
    raised()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"largest memory of the whole run: {peak:.0f} MB")


if __name__ == "__main__":
    main()
