"""Imports point down only, and nothing heavy is imported before it is needed."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import girderply

ROOT = Path(girderply.__file__).parent

# The layer map, top first; layers of one row do not import each other.
ROWS = (
    ("api",),
    ("cli",),
    ("desk",),
    ("papers", "exchange", "tracing"),
    ("drawing",),
    ("inspection",),
    ("schedule",),
    ("layout", "strength"),
    ("fasteners",),
    ("rules",),  # a rule set names fasteners that the catalogue knows
    ("model",),
    ("jobfile",),
    ("shapes",),
    ("bases",),  # below the job file, which takes names, durations and choices from them
    ("standards",),
    ("catalogue",),
    ("units",),
    ("verify",),  # a room apart
    ("errors",),
    ("wording",),
)
HEIGHT = {name: len(ROWS) - i for i, row in enumerate(ROWS) for name in row}
# (importer, imported) within a row or up, each with its reason.
ALLOWED: dict[tuple[str, str], str] = {}
HEAVY = {
    *("matplotlib", "scipy", "pint", "typst", "rich", "shapely", "pydantic", "jinja2"),
    *("ezdxf", "xlsxwriter", "segno", "starlette", "uvicorn", "tomlkit", "pypdf", "pyhanko"),
}
# Modules that are themselves only imported when their library is needed.
HEAVY_AT_TOP = {
    "shapely": ("model", "layout", "strength", "schedule", "inspection", "drawing", "tracing"),
    "pydantic": ("jobfile", "rules", "inspection", "desk"),
    "jinja2": ("drawing", "papers", "exchange"),
}


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def layer_of(path: Path) -> str:
    first = path.relative_to(ROOT).parts[0]
    return {"__init__.py": "", "__main__.py": "cli"}.get(first, first.removesuffix(".py"))


def imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        assert node.level == 0, "relative imports hide the layer"
        return [f"{node.module}.{alias.name}" for alias in node.names]
    return []


def all_imports(tree: ast.AST) -> list[str]:
    return [name for node in ast.walk(tree) for name in imported(node)]


def top_imports(tree: ast.Module) -> list[str]:
    """Imports that run when the module is imported: not in functions, not for type checkers."""
    names: list[str] = []
    waiting: list[ast.AST] = [*tree.body]
    while waiting:
        node = waiting.pop()
        names += imported(node)
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            waiting += node.orelse
        elif not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)):
            waiting += list(ast.iter_child_nodes(node))
    return names


def upward(layer: str, names: list[str]) -> set[tuple[str, str]]:
    parts = (name.split(".") for name in names)
    targets = {p[1] for p in parts if p[0] == "girderply" and len(p) > 1 and p[1] in HEIGHT}
    return {
        (layer, target)
        for target in targets
        if target != layer and HEIGHT[target] >= HEIGHT[layer] and (layer, target) not in ALLOWED
    }


def test_every_package_is_in_the_layer_map():
    found = {layer_of(path) for path in modules()} - {""}
    assert found == set(HEIGHT)


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_down(path):
    layer = layer_of(path)
    names = all_imports(ast.parse(path.read_text("utf-8")))
    if layer == "verify":  # a room apart: it shares nothing with what it gives an opinion on
        own = {n.split(".")[1] for n in names if n.startswith("girderply.")}
        assert own <= {"verify", "units"}
    if layer:
        assert upward(layer, names) == set()
    else:
        own = {name for name in names if name.startswith("girderply.")}
        assert all(name.startswith("girderply.api.") for name in own)


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(ROOT)))
def test_nothing_heavy_at_the_top(path):
    names = {name.split(".")[0] for name in top_imports(ast.parse(path.read_text("utf-8")))}
    heavy = {h for h in names & HEAVY if layer_of(path) not in HEAVY_AT_TOP.get(h, ())}
    assert heavy == set()


@pytest.mark.parametrize(
    ("source", "top", "everywhere"),
    [
        ("def f():\n    import scipy", [], ["scipy"]),
        (
            "if TYPE_CHECKING:\n    import scipy\nelse:\n    import pint",
            ["pint"],
            ["pint", "scipy"],
        ),
        ("class A:\n    from typst import x", ["typst.x"], ["typst.x"]),
        ("try:\n    import rich\nexcept ImportError:\n    pass", ["rich"], ["rich"]),
    ],
)
def test_the_walk_itself_sees_what_it_should(source, top, everywhere):
    tree = ast.parse(source)
    assert sorted(top_imports(tree)) == top
    assert sorted(all_imports(tree)) == everywhere


def test_the_map_itself_finds_an_import_that_points_up():
    assert upward("model", ["girderply.layout.board.Board"]) == {("model", "layout")}
    assert upward("layout", ["girderply.strength.zones.f"]) == {("layout", "strength")}
    assert upward("layout", ["girderply.layout.board", "girderply.errors.Finding"]) == set()


def test_help_imports_nothing_heavy():
    code = (
        "import sys; sys.argv = ['girderply', '--help']\n"
        "from girderply.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(sorted({m.split('.')[0] for m in sys.modules}), file=sys.stderr)"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, text=True
    )
    loaded = set(ast.literal_eval(result.stderr.splitlines()[-1]))
    assert loaded & (HEAVY | {"numpy"}) == set()
    assert "Commands" in result.stdout


def test_the_tests_have_the_rooms_of_the_package():
    """Whoever looks for the tests of a room finds them under its name."""
    tests = Path(__file__).parent
    rooms = {p.name for p in ROOT.iterdir() if p.is_dir() and (p / "__init__.py").is_file()}
    assert {p.name for p in tests.iterdir() if p.is_dir() and [*p.rglob("test_*.py")]} == rooms
