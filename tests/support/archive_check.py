"""What a tagged PDF for the archive must have and must not, looked up in its structure.

After ISO 19005-2 level A and ISO 32000-1, 14.7 and 14.8 (clauses from memory). It is no validator.
"""

from __future__ import annotations

from collections.abc import Iterator

import pikepdf

_TELLING = ("/Figure", "/Formula")
_FILES = ("/FontFile", "/FontFile2", "/FontFile3")


def tags_of(document: pikepdf.Pdf) -> list[pikepdf.Dictionary]:
    """Elements of the structure tree, in reading order."""
    return list(_below(document.Root.StructTreeRoot))


def _children(element: pikepdf.Object) -> list[pikepdf.Dictionary]:
    kids = element.get("/K", [])
    every = list(kids) if isinstance(kids, pikepdf.Array) else [kids]
    return [k for k in every if isinstance(k, pikepdf.Dictionary) and "/S" in k]


def _below(element: pikepdf.Object) -> Iterator[pikepdf.Dictionary]:
    for child in _children(element):
        yield child
        yield from _below(child)


def faults_of_archive(document: pikepdf.Pdf) -> list[str]:
    """What is missing, or there and not allowed."""
    root = document.Root
    found = []
    meta = document.open_metadata()
    if (meta.get("pdfaid:part"), meta.get("pdfaid:conformance")) not in {("2", "A"), ("3", "A")}:
        found.append("no part and level in the metadata")
    if not root.get("/MarkInfo", {}).get("/Marked", False) or "/StructTreeRoot" not in root:
        return [*found, "no tags"]
    if not str(root.get("/Lang", "")):
        found.append("no language")
    intents = root.get("/OutputIntents", [])
    if not any(i.S == "/GTS_PDFA1" and "/DestOutputProfile" in i for i in intents):
        found.append("no output intent")
    if document.is_encrypted:
        found.append("it is encrypted")
    found += _objects(document)
    for element in tags_of(document):
        found += _element(element)
    return found


def _objects(document: pikepdf.Pdf) -> Iterator[str]:
    if any(key in document.Root for key in ("/OpenAction", "/AA")):
        yield "an action or a script"
    for thing in document.objects:
        if not isinstance(thing, pikepdf.Dictionary):
            continue
        if thing.get("/S") in ("/JavaScript", "/Launch") or "/JS" in thing:
            yield "an action or a script"
        if thing.get("/Type") == "/FontDescriptor" and not any(k in thing for k in _FILES):
            yield "a font that is not inside"


def _element(element: pikepdf.Dictionary) -> Iterator[str]:
    kind = str(element.S)
    if kind in _TELLING and not str(element.get("/Alt", "")).strip():
        yield f"{kind} without a text"
    if kind == "/Table":
        kinds = {str(e.S) for e in _below(element)}
        if not kinds >= {"/TR", "/TD"}:
            yield "a table without rows"
        groups = {str(c.S) for c in _children(element)}
        if "/THead" in groups and "/TH" not in kinds:
            yield "a table without heads"
    if kind == "/TR" and not {str(c.S) for c in _children(element)} <= {"/TH", "/TD"}:
        yield "something else than cells in a row"
    if kind == "/TH" and not any("/Scope" in a for a in _attributes(element)):
        yield "a head that does not say whose it is"


def faults_of_reading(table: pikepdf.Dictionary) -> Iterator[str]:
    """What a table lacks for who hears it: heads, a row in as many cells as every other."""
    if "/TH" not in {str(e.S) for e in _below(table)}:
        yield "a table without heads"
    rows = [len(_children(e)) for e in _below(table) if e.S == "/TR"]
    if len(set(rows)) > 1:
        yield f"rows of {sorted(set(rows))} cells"


def _attributes(element: pikepdf.Dictionary) -> list[pikepdf.Object]:
    given = element.get("/A", [])
    return list(given) if isinstance(given, pikepdf.Array) else [given]
