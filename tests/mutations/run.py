"""Which faults would no test notice? One-line mutations, named, each against the tests of its room.

    python tests/mutations/run.py [--only WORD] [--list]

Every entry of mutations.toml says which words of which file are replaced by which, and which tests
are meant to fail then. The tree is copied, so nothing of the checkout is touched. What survives is
printed last, and the exit code is 1. Run on demand: some minutes for the whole list.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
LIST = Path(__file__).with_name("mutations.toml")
LONGEST = 600.0  # s, for the tests of one mutation; a mutant that hangs is noticed too


@dataclass(frozen=True)
class Mutation:
    """One fault: `old` stands once in `file` and is replaced by `new`; `tests` should fail."""

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]


def mutations() -> list[Mutation]:
    """The list, in its order."""
    with LIST.open("rb") as file:
        rows = tomllib.load(file)["mutation"]
    return [Mutation(**(row | {"tests": tuple(row["tests"])})) for row in rows]


@contextmanager
def copied() -> Iterator[Path]:
    """A copy of the checkout that python imports the package from."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in ("girderply", "templates", "tests", "sample_jobs"):
            shutil.copytree(ROOT / name, root / name, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy2(ROOT / "pyproject.toml", root)
        for page in ("README.md", "DEVELOPERS.md"):
            shutil.copy2(ROOT / page, root)
        (root / "girderply" / "templates").symlink_to(root / "templates")
        yield root


@contextmanager
def mutated(root: Path, mutation: Mutation) -> Iterator[None]:
    """The copy with one fault in it."""
    path = root / mutation.file
    text = path.read_text("utf-8")
    if text.count(mutation.old) != 1:
        raise SystemExit(f"{mutation.name}: its words stand {text.count(mutation.old)} times")
    path.write_text(text.replace(mutation.old, mutation.new), "utf-8")
    try:
        yield
    finally:
        path.write_text(text, "utf-8")


def noticed(root: Path, tests: tuple[str, ...]) -> bool:
    """Whether a test fails; `-m` puts the copy before the installed package."""
    words = ("-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests)
    try:
        run = subprocess.run(
            [sys.executable, *words], cwd=root, capture_output=True, timeout=LONGEST, check=False
        )
    except subprocess.TimeoutExpired:
        return True
    if run.returncode not in (0, 1):
        sys.stderr.buffer.write(run.stdout[-2000:] + run.stderr[-2000:])
        raise SystemExit(f"pytest could not run {' '.join(tests)}")
    return run.returncode == 1


def main() -> int:
    """Run them; 0 when none survives."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="mutations whose name holds this word")
    parser.add_argument("--list", action="store_true", help="names alone")
    asked = parser.parse_args()
    chosen = [m for m in mutations() if asked.only in m.name]
    if asked.list:
        print(*(m.name for m in chosen), sep="\n")
        return 0
    survivors = []
    with copied() as root:
        for number, mutation in enumerate(chosen, 1):
            with mutated(root, mutation):
                dead = noticed(root, mutation.tests)
            print(f"{number:3} {'noticed ' if dead else 'SURVIVES'} {mutation.name}", flush=True)
            survivors += [] if dead else [mutation.name]
    print(f"{len(chosen) - len(survivors)} noticed, {len(survivors)} survive: {survivors}")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
