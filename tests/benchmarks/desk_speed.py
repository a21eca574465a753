"""How soon a change of a field is seen on the desk in a real Chromium, and what memory it costs.

PYTHONPATH=tests/support python tests/benchmarks/desk_speed.py [--changes 100] [--rest 0]

The desk runs as the command, on one core with all that it does beside the pages. For the two-ply
and the six-ply sample: from the change until findings and drawing are painted, and (with `--rest`)
until the shares of the plies are in, ms, half of the changes and 95 of 100; the processor time of
the server for one change; the same as a share of a whole decision, which is timed in this process
between the changes, so that what else runs tells on both; then the memory of the server's process
and of the page over these changes. What else runs on the machine is printed beside it.
"""

from __future__ import annotations

import argparse
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from browser import chromium
from playwright.sync_api import Page

from girderply.desk.decided import decide

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
BATCH = 20  # changes between two looks at a whole decision
LIMITS = {"two-ply-howe": 250, "six-ply": 800}
CHANGE = """async ([n, rest]) => {
  const { edit, store } = await import('/static/store.js');
  const path = ['loads', 0, 'permanent'];
  const times = { painted: [], whole: [] };
  const until = (there) => new Promise((done) => {
    const look = () => (there() ? done() : requestAnimationFrame(look));
    look();
  });
  for (let i = 0; i < n; i += 1) {
    const before = store.state.turn;
    const start = performance.now();
    edit({ path, value: `${(0.8 + (i % 40) * 0.005).toFixed(3)} kN` });
    await until(() => store.state.turn > before
      && Number(document.documentElement.dataset.painted) === store.state.turn);
    times.painted.push(performance.now() - start);
    if (!rest) continue;
    await until(() => store.state.whole);
    times.whole.push(performance.now() - start);
    await new Promise((done) => setTimeout(done, rest));
  }
  return times;
}"""


@contextmanager
def desk(folder: Path) -> Iterator[tuple[int, str]]:
    """The command on one core: its process, and its first address."""
    core = min(os.sched_getaffinity(0))
    command = ["-m", "girderply", "desk", str(folder), "--no-open"]
    server = subprocess.Popen([sys.executable, *command], stdout=subprocess.PIPE, text=True)
    os.sched_setaffinity(server.pid, {core})
    assert server.stdout is not None
    try:
        line = next(text for text in server.stdout if "http" in text)
        yield server.pid, next(w for w in line.split() if w.startswith("http"))
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(20)


def resident(pid: int) -> float:
    """What a process holds now, MB."""
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    return int(next(text for text in lines if text.startswith("VmRSS")).split()[1]) / 1024


def heap(page: Page) -> float:
    """What the page holds after its rubbish is collected, MB."""
    line = page.context.new_cdp_session(page)
    line.send("HeapProfiler.collectGarbage")
    return float(line.send("Runtime.getHeapUsage")["usedSize"]) / 2**20


def busy(pid: int) -> float:
    """Processor time that a process has used, s."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def whole(name: str, count: int = 5) -> list[float]:
    """Time of a whole decision in this process, ms each."""
    text, times = (SAMPLES / f"{name}.toml").read_text(), []
    for _ in range(count):
        begun = time.perf_counter()
        decide(text, SAMPLES)
        times.append(1000 * (time.perf_counter() - begun))
    return times


def changed(page: Page, pid: int, name: str, count: int, rest: int) -> None:
    """Make the changes of one sample and print what they took."""
    page.evaluate(CHANGE, [10, 1])
    whole(name)
    before = resident(pid), heap(page)
    painted: list[float] = []
    shares: list[float] = []
    yardstick: list[float] = []
    used = 0.0
    for done in range(0, count, BATCH):
        yardstick += whole(name)
        page.wait_for_timeout(300)
        at = busy(pid)
        times = page.evaluate(CHANGE, [min(BATCH, count - done), rest])
        used += busy(pid) - at
        painted += times["painted"]
        shares += times["whole"]
    after = resident(pid), heap(page)
    most, usual = np.percentile(painted, 95), np.median(yardstick)
    print(f"{name}: {count} changes, {rest} ms between them")
    print(f"  painted: {told(painted)} (limit {LIMITS[name]})")
    if shares:
        print(f"  shares in: {told(shares)}")
    print(f"  processor of the server: {1000 * used / count:.0f} ms a change")
    print(
        f"  whole decision in this run: {told(yardstick)}; painted at 95: {most / usual:.2f} of it"
    )
    print(
        f"  server {before[0]:.0f} -> {after[0]:.0f} MB, page {before[1]:.1f} -> {after[1]:.1f} MB"
    )


def told(times: list[float]) -> str:
    """Half of them, and 95 of 100."""
    half, most = np.percentile(times, (50, 95))
    return f"half within {half:.0f} ms, 95 of 100 within {most:.0f} ms"


def main() -> None:
    """Print the times of both samples, and the growth of memory."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--changes", type=int, default=100)
    words.add_argument("--rest", type=int, default=0, help="ms after each change; 0: none at all")
    words.add_argument("--only", choices=LIMITS, nargs="+", help="of the samples")
    said = words.parse_args()
    with tempfile.TemporaryDirectory() as home, chromium() as browser:
        for name in LIMITS:
            shutil.copy(SAMPLES / f"{name}.toml", home)
        with desk(Path(home)) as (pid, address):
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.set_default_timeout(0)
            page.goto(address)
            for name in said.only or LIMITS:
                page.goto(f"{address.partition('/enter')[0]}/girder/{name}.toml")
                page.wait_for_function("() => document.documentElement.dataset.painted")
                changed(page, pid, name, said.changes, said.rest)
    print(f"load of the machine (1 min): {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


if __name__ == "__main__":
    main()
