"""The second opinion as a whole: what is wrong with a schedule.json, in words."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from girderply.verify import measure
from girderply.verify.across import splitting
from girderply.verify.keeping import keeping
from girderply.verify.passing import Chord

Plain = dict[str, Any]
NOT_MEASURED: Final = (
    "how the plies share the load", "splitting beyond half of what hangs there", "bearings",
    "fixings of brackets", "the rule set's own limits",
)  # fmt: skip
NOT_BY_NDS: Final = ("group action", "shear at connections")
MOST: Final = 20  # of one kind that are told; the rest are counted


@dataclass(frozen=True, slots=True)
class Disagreement:
    """One thing that the second engine finds otherwise: what was measured, and what was found."""

    what: str
    text: str


@dataclass(frozen=True, slots=True)
class Verification:
    """What came of it.

    Attributes:
        measured: what was looked at, with the number of things.
        disagreements: empty where the second engine agrees.
        for_assembly: what the file itself says.
        not_measured: what is taken from the first engine as it is.
    """

    measured: dict[str, int]
    disagreements: tuple[Disagreement, ...]
    for_assembly: bool
    not_measured: tuple[str, ...] = NOT_MEASURED

    @property
    def agrees(self) -> bool:
        """Nothing was found otherwise."""
        return not self.disagreements


def verify_file(path: Path) -> Verification:
    """Verify a pack's folder or its schedule.json.

    Raises:
        OSError: cannot be read. ValueError: is no schedule.json.
    """
    path = path / "schedule.json" if path.is_dir() else path
    data = json.loads(path.read_text("utf-8"))
    schema = str(data.get("schema", "")) if isinstance(data, dict) else ""
    if not schema.startswith("girderply.schedule/"):
        raise ValueError(f"{path} is no schedule.json")
    return verify(data)


def verify(data: Plain) -> Verification:
    """Measure a schedule again.

    Args:
        data: schedule.json, read.
    """
    found: list[Disagreement] = []
    measured = {what: len(data.get(what, ())) for what in ("fasteners", "checks", "loads")}
    for what, look in LOOKS.items():
        try:
            said = list(look(data))
        except (KeyError, TypeError, ValueError, ZeroDivisionError, IndexError) as fault:
            said = [f"cannot be measured: {type(fault).__name__} {fault}"]
        found += [Disagreement(what, text) for text in said[:MOST]]
        found += [Disagreement(what, f"and {n} more") for n in (len(said) - MOST,) if n > 0]
    by_nds = str(data.get("basis", {}).get("standard", "")).startswith("NDS")
    left = NOT_MEASURED + NOT_BY_NDS * by_nds
    return Verification(measured, tuple(found), bool(data.get("for_assembly")), left)


def _limits(data: Plain) -> Iterator[str]:
    frames = {m["id"]: measure.Frame(m) for m in data["members"]}
    yield from measure.places(data, frames)
    yield from measure.spacing(data, frames)


def _transfer(data: Plain) -> Iterator[str]:
    """Only of a girder that is said to hold: one that is refused has said so already."""
    if not data["for_assembly"]:
        return
    for member in data["members"]:
        chord = Chord(data, member["id"], measure.Frame(member))
        if chord.loads:
            yield from chord.objections()


def _assembly(data: Plain) -> Iterator[str]:
    """What stands is not turned over; what people cannot reach gets no nail, nut or bent point."""
    said = data.get("assembly") or {}
    if said.get("way") == "upright":
        yield from (
            f"stage {s['number']}: turned over, though the plies stand"
            for s in data["stages"]
            if s["turn_over_before"]
        )
    face = said.get("faces", "both")
    if face == "both" or not data["for_assembly"]:
        return
    for f in data["fasteners"]:
        if f["face"] != face or f["kind"] == "bolt" or f["clench"]:
            yield f"{f['id']}: cannot be done from the {face} face alone"


def _checks(data: Plain) -> Iterator[str]:
    """Each check's own arithmetic, and the verdict that they make together."""
    for c in data["checks"]:
        used = c["demand"] / c["resistance"] if c["resistance"] else None
        if used is not None and abs(used - c["utilisation"]) > 2e-3 * max(1.0, used):
            yield f"{c['id']}: {used:.3f} of its resistance is used, it says {c['utilisation']}"
        if c["ok"] != (c["demand"] <= c["resistance"] * (1 + 2e-6) + 1e-3):
            yield f"{c['id']}: {c['demand']} against {c['resistance']} is not as it says"
    wrong = any(not c["ok"] for c in data["checks"])
    wrong = wrong or any(f["severity"] == "error" for f in data["findings"])
    if wrong == data["for_assembly"]:
        yield "a check or a finding says otherwise than the verdict"


def _hash(data: Plain) -> Iterator[str]:
    """The content hash, made again from what the file says."""
    body = {k: v for k, v in data.items() if k not in ("generator", "content_hash")}
    text = json.dumps(body, sort_keys=True, separators=(",", ":"), allow_nan=False)
    if hashlib.sha256(text.encode("ascii")).hexdigest() != data["content_hash"]:
        yield "the file was changed after it was made: its content has another hash"


LOOKS: Final[dict[str, Callable[[Plain], Iterator[str]]]] = {
    "content": _hash,
    "counts": measure.counts,
    "runs": measure.runs,
    "lengths": measure.lengths,
    "limits": _limits,
    "assembly": _assembly,
    "checks": _checks,
    "shares": keeping,
    "transfer": _transfer,
    "splitting": splitting,
}
