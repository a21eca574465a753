"""Clauses that are done, read from the code, and where each is tested; prints them as a table.

python tests/support/clause_table.py
"""

from __future__ import annotations

import csv
import importlib
import inspect
import pkgutil
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from girderply import standards

ROOT = Path(__file__).parents[2]
SOURCE = re.compile(r"^\s*\[([^\]]+)\]\s*$", re.MULTILINE)
NOT_DONE = Path(__file__).with_name("clauses_not_done.csv")


def functions() -> Iterator[tuple[str, str, str]]:
    """Module, name and source line of every public clause function."""
    for info in pkgutil.walk_packages(standards.__path__, "girderply.standards."):
        if info.ispkg or info.name.count(".") < 3:
            continue
        module = importlib.import_module(info.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == info.name and not name.startswith("_"):
                found = SOURCE.search(function.__doc__ or "")
                yield info.name, name, found.group(1) if found else ""


Words = dict[str, Counter[str]]  # path -> how often each word stands in the file


def words_of(folder: str, pattern: str, above: Path) -> Words:
    """The words of every file of a folder, by its path from `above`."""
    return {
        str(p.relative_to(above)): Counter(re.findall(r"\w+", p.read_text(encoding="utf-8")))
        for p in sorted((ROOT / folder).rglob(pattern))
    }


def tests_of(name: str, texts: Words) -> list[str]:
    """Test files that use a function by its name."""
    return [path for path, words in texts.items() if name in words]


def users_of(name: str, module: str, sources: Words) -> str:
    """The first module of the product outside its own file that uses a function."""
    own = module.replace(".", "/") + ".py"
    found = [path for path, words in sources.items() if path != own and name in words]
    outside = [path for path in found if "standards/" not in path] or found
    if outside:
        return outside[0].removeprefix("girderply/").removesuffix(".py")
    return "its own module" if sources[own][name] > 1 else "not used yet"


@cache
def rows() -> list[tuple[str, str, str, str, str, str]]:
    """Document, clause, function, state, user, where tested; sorted by document and clause."""
    sources = words_of("girderply", "*.py", ROOT)
    texts = words_of("tests", "test_*.py", ROOT / "tests")
    table = []
    for module, name, source in functions():
        document, _, clause = source.partition(", ")
        # A function that only its own module calls is tested through the others of that module.
        where = tests_of(name, texts) or tests_of(module.rpartition(".")[2], texts)
        short = ", ".join(where[:2]) + (f" and {len(where) - 2} more" if len(where) > 2 else "")
        function = f"`{module.split('.', 2)[2]}.{name}`"
        user = users_of(name, module, sources)
        table.append((document, clause, function, "done", user, short))
    with NOT_DONE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            table.append((row["document"], row["clause"], row["what"], "not done", "", row["why"]))
    return sorted(table, key=lambda r: (r[0], _natural(r[1]), r[2]))


def _natural(clause: str) -> list[tuple[int, str]]:
    """Sorts 8.2.2 before 8.10."""
    return [
        (int(part), "") if part.isdigit() else (0, part)
        for part in re.findall(r"\d+|[A-Za-z]+", clause)
    ]


def markdown() -> str:
    """The table as it stands on the page."""
    lines = [
        "| document | clause, equation | function | state | used by | tested in, or why not |",
        "|---|---|---|---|---|---|",
    ]
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows()]
    return "\n".join(lines)


if __name__ == "__main__":
    print(markdown())
