"""What a fastener is has one home; its words are those of the files."""

from __future__ import annotations

import ast
import json
from pathlib import Path

import numpy as np
import pytest

import girderply
from girderply.catalogue.fastener_kind import FastenerKind

ROOT = Path(girderply.__file__).parent
APART = {"verify"}  # imports none of the others, and reads the words of the file


def compared(tree: ast.AST) -> list[tuple[int, object]]:
    """Line and text of every comparison for equality with a text."""
    return [
        (node.lineno, side.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.Eq | ast.NotEq)
        for side in (node.left, *node.comparators)
        if isinstance(side, ast.Constant)
    ]


def test_the_words_are_those_of_schedule_json():
    assert json.dumps([*FastenerKind]) == '["nail", "screw", "bolt"]'
    assert f"{FastenerKind.BOLT}" == "bolt"
    assert np.array([*FastenerKind]).tolist() == ["nail", "screw", "bolt"]


@pytest.mark.parametrize("kind", FastenerKind)
def test_a_column_is_compared_with_it(kind):
    column = np.array(["bolt", "nail", "screw", "nail"])
    assert (column == kind).tolist() == [k == str(kind) for k in column.tolist()]


def test_nobody_else_compares_with_the_words():
    words = {str(kind) for kind in FastenerKind}
    found = [
        f"{path.relative_to(ROOT)}:{line}"
        for path in sorted(ROOT.rglob("*.py"))
        if path.relative_to(ROOT).parts[0] not in APART
        for line, text in compared(ast.parse(path.read_text("utf-8")))
        if text in words
    ]
    assert found == []
    assert compared(ast.parse("a.kind == 'bolt'")) == [(1, "bolt")]
