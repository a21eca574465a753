"""Which field and which part of the drawing a finding means."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from girderply.desk.decided import Decided
from girderply.errors import Finding
from girderply.wording import Voice

Plain = dict[str, Any]
_STEP = re.compile(r'\.?(?:([\w-]+)|"([^"]*)")|\[(\d+)\]')
_BY_MEMBER = (["hook_ends"], ["timbers"], ["sections", "members"])
"""Tables of the girder that hold a value by the name of a member."""
_BY_CODE: Mapping[str, list[str | int]] = {
    "nail-too-long": ["fastening", "nail"],
    "nail-too-short": ["fastening", "nail"],
    "predrilling-needed": ["girder", "predrilled"],
    "threaded-rod": ["fastening", "bolt"],
}
"""Fields behind what a finding names that is no part of the girder: a stage, a spec."""
_NAMED = (("members", "id"), ("nodes", "id"), ("plates", "joint"))
_TOPS = ("job", "girder", "designer", "loads", "basis", "fastening", "assembly")


def place_of(voice: Voice, finding: Finding, decided: Decided) -> Plain:
    """Path of the field and names of what is lit; either may be empty.

    Returns:
        `path`: keys and places from the top of the file; `lit`: "member:TC1", "joint:J3",
        "load:0" and so on.
    """
    where = voice.told(finding.where)
    path = field_path(where, decided.data)
    lit = _lit_by_path(path, decided) if path else _lit_by_name(where, decided)
    if not path and not lit:
        path = _BY_CODE.get(finding.code) or _path_by_name(where, decided.data)
    return {"path": path, "lit": lit}


def field_path(where: str, data: Mapping[str, Any]) -> list[str | int]:
    """Where in the file a key path leads, as far as its tables are known; empty for a name."""
    parts: list[str | int] = []
    for key, quoted, number in _STEP.findall(where):
        parts.append(int(number) - 1 if number else key or quoted)
    if not parts or parts[0] not in _TOPS:
        return []
    if parts[0] == "loads" and len(parts) > 1 and isinstance(parts[1], str):
        return _named_load(where, data)
    if parts[:2] == ["girder", "members"] and len(parts) > 2 and isinstance(parts[2], str):
        found = _path_by_name(parts[2], data)
        return [*found, *parts[3:]] if found[:2] == parts[:2] else []
    return parts


def _path_by_name(where: str, data: Mapping[str, Any]) -> list[str | int]:
    """Row of the file that holds the first part of a name; the shape where there are no rows."""
    girder = data.get("girder")
    girder = girder if isinstance(girder, Mapping) else {}
    for name in where.split(", "):
        for table, key in _NAMED:
            rows = girder.get(table)
            for n, row in enumerate(rows if isinstance(rows, list) else []):
                if isinstance(row, Mapping) and row.get(key) == name:
                    return ["girder", table, n]
    return ["girder", "shape"] if "shape" in girder and where else []


def _named_load(where: str, data: Mapping[str, Any]) -> list[str | int]:
    """`loads.T1.at` by the load's name, which may hold dots: the longest name that fits."""
    rest = where.removeprefix("loads.")
    entries = data.get("loads")
    names = [
        (str(entry.get("id", f"L{n}")), n - 1)
        for n, entry in enumerate(entries if isinstance(entries, list) else [], 1)
        if isinstance(entry, Mapping)
    ]
    fitting = [(name, n) for name, n in names if rest == name or rest.startswith(name + ".")]
    fitting += [(name, n) for name, n in names if re.fullmatch(re.escape(name) + r"-\d+", rest)]
    if not fitting:
        return ["loads"]
    name, number = max(fitting, key=lambda f: len(f[0]))
    tail = rest[len(name) + 1 :] if rest.startswith(name + ".") else ""
    return ["loads", number, *(tail.split(".") if tail else [])]


def _lit_by_path(path: list[str | int], decided: Decided) -> list[str]:
    entry = _entry(decided.data, path[:3])
    if path[0] == "loads" and len(path) > 1:
        return [f"load:{path[1]}"]
    kind = path[1] if len(path) > 1 else ""
    if kind == "plates" and isinstance(entry, Mapping):
        return [f"joint:{entry.get('joint', '')}"]
    if kind in ("members", "nodes") and isinstance(entry, Mapping):
        return [f"{'member' if kind == 'members' else 'joint'}:{entry.get('id', '')}"]
    if kind == "bearings" and len(path) > 2:
        return [f"bearing:{path[2]}"]
    if path[1:-1] in _BY_MEMBER:
        return [f"member:{path[-1]}"]
    return _lit_by_role(path, decided)


def _lit_by_role(path: list[str | int], decided: Decided) -> list[str]:
    """Every member that takes its depth from the field of its role."""
    if decided.schedule is None or path[1:-1] != ["sections"]:
        return []
    role = str(path[-1]).replace("_", " ")
    return [f"member:{m.id}" for m in decided.schedule.girder.members if m.role == role]


def _entry(data: Any, path: list[str | int]) -> Any:
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _lit_by_name(where: str, decided: Decided) -> list[str]:
    schedule = decided.schedule
    if schedule is None:
        return []
    check = next((c for c in schedule.checks if c.id == where), None)
    names = {where, *where.split(", ")}
    if check is not None:
        names |= {check.about, *check.about.split("+"), *check.id.split()}
    girder = schedule.girder
    lit = [f"member:{m.id}" for m in girder.members if m.id in names]
    lit += [f"joint:{j.id}" for j in girder.joints if j.id in names]
    lit += [f"hung:{h.id}" for h in girder.loads if h.id in names]
    f = schedule.fasteners
    return lit + [f"fastener:{name}" for name in f.id[[n in names for n in f.id.tolist()]].tolist()]
