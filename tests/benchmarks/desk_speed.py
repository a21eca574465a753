"""How soon a change of a field is seen on the desk in a real Chromium, and what memory it costs.

PYTHONPATH=tests/support python tests/benchmarks/desk_speed.py [--changes 100]

For the two-ply and the six-ply sample: from the change until findings and drawing are painted, ms,
half of the changes and 95 of 100; then the memory of the server's process over many more changes.
Nothing else may run meanwhile.
"""

from __future__ import annotations

import argparse
import resource
import shutil
import tempfile
from pathlib import Path

import numpy as np
from browser import chromium
from desk_hands import hands
from desk_server import served

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
LIMITS = {"two-ply-howe": 250, "six-ply": 800}
CHANGE = """async (n) => {
  const { edit, store } = await import('/static/store.js');
  const path = ['loads', 0, 'permanent'];
  const times = [];
  for (let i = 0; i < n; i += 1) {
    const before = store.state.turn;
    const start = performance.now();
    edit({ path, value: `${(0.8 + (i % 40) * 0.005).toFixed(3)} kN` });
    await new Promise((done) => {
      const look = () => {
        const shown = Number(document.documentElement.dataset.painted);
        if (store.state.turn > before && shown === store.state.turn) done();
        else requestAnimationFrame(look);
      };
      look();
    });
    times.push(performance.now() - start);
  }
  return times;
}"""


def main() -> None:
    """Print the times of both samples, and the growth of memory."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--changes", type=int, default=100)
    count = words.parse_args().changes
    with tempfile.TemporaryDirectory() as home, chromium() as browser:
        folder = Path(home)
        for name in LIMITS:
            shutil.copy(SAMPLES / f"{name}.toml", folder)
        with served(folder) as desk, hands(browser, desk) as h:
            for name, limit in LIMITS.items():
                h.page.goto(f"{desk.known.origin}/girder/{name}.toml")
                h.settled()
                h.js(CHANGE, 5)
                before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
                half, most = np.percentile(h.js(CHANGE, count), (50, 95))
                grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 - before
                print(
                    f"{name}: {count} changes, half within {half:.0f} ms, 95 of 100 within "
                    f"{most:.0f} ms (limit {limit}); memory grew by {grown:.1f} MB"
                )


if __name__ == "__main__":
    main()
