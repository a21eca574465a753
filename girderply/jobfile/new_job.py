"""Writes a new job file: short, commented for a supplier's detailer, and readable as it is."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypedDict, Unpack

from girderply.bases.registry import basis_of, spec_of, usual
from girderply.errors import JobError
from girderply.jobfile.new_assumed import invented
from girderply.jobfile.new_text import HEADER, TEXT
from girderply.jobfile.paths import error
from girderply.jobfile.reader import parse_job
from girderply.shapes.all_shapes import shapes
from girderply.units.parse import quantity
from girderply.units.short_text import did_you_mean, one_of, shown
from girderply.units.show import half_up

Value = str | float
"""A quantity: text with its unit, or a number in the unit system of the new job."""


class NewOptions(TypedDict, total=False):
    """What may be said about a new job besides shape and span; the rest gets usual values."""

    units: str
    plies: int
    number: str
    title: str
    mark: str
    timber: str
    timbers: dict[str, str]
    ply_thickness: Value
    pitch: Value
    height: Value
    flat_height: Value
    heel_height: Value
    overhang: Value
    panels: int
    panel_lengths: list[Value]
    web_pattern: str
    top_chord: Value
    bottom_chord: Value
    web: Value
    web_depths: dict[str, Value]
    load_every: Value
    load_permanent: Value
    load_variable: Value


@dataclass(frozen=True, slots=True)
class _Usual:
    """Usual values of a unit system: common practice, no source."""

    unit: str
    size: float  # mm in one unit
    step: float  # mm, to which lengths worked out here are rounded
    ply: str
    chord: str
    web: str
    timber: str
    pitch: str
    bearing: float
    every: str
    permanent: str
    variable: str
    bracket: float


_USUAL: Final = {
    "metric": _Usual("mm", 1.0, 5.0, "38 mm", "195 mm", "95 mm", "C24", "22.5 deg", 140.0,
                     "600 mm", "0.8 kN", "1.2 kN", 100.0),
    "imperial": _Usual("in", 25.4, 6.35, "1.5 in", "7.25 in", "3.5 in", "Spruce-Pine-Fir", "6:12",
                       5.5 * 25.4, "24 in", "180 lbf", "270 lbf", 3.5 * 25.4),
}  # fmt: skip


def new_job(kind: str, span: Value, **options: Unpack[NewOptions]) -> str:
    """Write a commented job file for a girder of a trade shape.

    Args:
        kind: trade name of the shape, such as "howe".
        span: out to out of the bottom chord: "9.6 m", or a number in the job's unit system.
        **options: `NewOptions`: `units` ("metric" unless said), `plies` (2), pitch or height,
            panels or their lengths, member depths, load spacing and forces, as text with
            units or numbers.

    Returns:
        TOML that `parse_job` reads as it is. Where a load force is not given, an example stands
        there and the job is marked demo.

    Raises:
        JobError: with every finding, as when the file itself is read.
    """
    system = options.get("units", "metric")
    if system not in _USUAL:
        message = f"{shown(system)} is not one of {one_of(_USUAL)}"
        tip = did_you_mean(system, _USUAL)
        raise JobError([error("unknown-choice", ("job", "units"), message, tip)])
    text = _Writer(kind, span, options, system).text()
    parse_job(text)
    return text


@dataclass(frozen=True, slots=True)
class _Writer:
    kind: str
    span: Value
    options: NewOptions
    system: str

    @property
    def usual(self) -> _Usual:
        return _USUAL[self.system]

    def text(self) -> str:
        parts = [HEADER, self._table("job", self._job()), self._table("girder", self._girder())]
        parts.append(self._table("girder.shape", self._shape()))
        parts.append(self._table("girder.sections", self._sections()))
        parts += [self._table("[girder.bearings]", b) for b in self._bearings()]
        parts.append(self._table("[loads]", self._loads()))
        parts.append(self._table("loads.bracket", self._bracket()))
        parts.append(self._table("basis", self._basis()))
        parts.append(self._table("fastening", self._fastening()))
        return "\n".join(parts)

    def _table(self, name: str, values: dict[str, object]) -> str:
        lines = [*TEXT.get((name, ""), "").splitlines(), f"[{name}]"]
        for key, value in values.items():
            comment = TEXT.get((name, key), "") + self._instead(name, key)
            if isinstance(value, list):  # many lines: the comment stands above
                lines += [f"# {line}" for line in comment.splitlines()]
                comment = ""
            entry = f"{key} = {_toml(value)}"
            lines.append(f"{entry:<36} # {comment}" if comment else entry)
        return "\n".join(lines) + "\n"

    def _instead(self, name: str, key: str) -> str:
        """Which other key may stand in the place of this one."""
        shape = shapes().get(self.kind) if name == "girder.shape" else None
        groups = shape.needs if shape else ()
        others = [k for g in groups if key in g for k in g if k != key]
        return "".join(f"; or {k} = ... instead" for k in others)

    def _job(self) -> dict[str, object]:
        o = self.options
        title = f"{self.kind.capitalize()} girder, span {self.span}"
        example = "load_permanent" not in o or "load_variable" not in o
        return {
            "number": o.get("number", "new"),
            "title": o.get("title", title),
            "revision": "0",
            "units": self.system,
            "truss_designer": "",
            "demo": example,
            "assumed": invented(o, self._shape(), self._basis()),
        }

    def _girder(self) -> dict[str, object]:
        o, usual = self.options, self.usual
        return {
            "mark": o.get("mark", "G1"),
            "quantity": 1,
            "plies": o.get("plies", 2),
            "ply_thickness": o.get("ply_thickness", usual.ply),
            "timber": o.get("timber", usual.timber),
            **({"timbers": o["timbers"]} if o.get("timbers") else {}),
        }

    def _shape(self) -> dict[str, object]:
        o = self.options
        shape = shapes().get(self.kind)
        needs = shape.needs if shape else ()
        values: dict[str, object] = {"kind": self.kind, "span": self.span}
        values |= {k: o[k] for k in ("pitch", "height", "flat_height") if k in o}
        for group in needs:
            if not values.keys() & set(group):
                values[group[0]] = self._usual_size(group[0], values)
        if "panel_lengths" in o:
            values["panel_lengths"] = _Row(o["panel_lengths"])
        if "panels" in o or (shape and not shape.panels and "panel_lengths" not in o):
            values["panels"] = o.get("panels", self._panels())
        return values | {k: o[k] for k in ("heel_height", "overhang", "web_pattern") if k in o}

    def _usual_size(self, key: str, given: Mapping[str, object]) -> str:
        """A usual pitch, height or height of the flat top."""
        if key == "pitch":
            return self.usual.pitch
        if key == "height":
            return self._rounded(self._span() / 8)
        pitch = quantity(given["pitch"], "slope", self.system, "girder.shape.pitch")
        return self._rounded(0.3 * self._span() * math.tan(pitch))

    def _panels(self) -> int:
        """Panels of about 1.6 m, an even number, so that the middle is a joint."""
        return max(4, 2 * int(half_up(self._span() / 3200)))

    def _sections(self) -> dict[str, object]:
        o, usual = self.options, self.usual
        return {
            "top_chord": o.get("top_chord", usual.chord),
            "bottom_chord": o.get("bottom_chord", usual.chord),
            "web": o.get("web", usual.web),
            **({"members": o["web_depths"]} if o.get("web_depths") else {}),
        }

    def _bearings(self) -> list[dict[str, object]]:
        width = self.usual.bearing
        centres = (width / 2, self._span() - width / 2)
        return [{"x": self._exact(x), "width": self._exact(width)} for x in centres]

    def _loads(self) -> dict[str, object]:
        o, usual = self.options, self.usual
        every = o.get("load_every", usual.every)
        step = quantity(every, "length", self.system, "loads[1].every")
        return {
            "id": "T1",
            "chord": "BC1",
            "face": "front",
            "at": every,
            "to": self._exact(max(self._span() - step, step)),
            "every": every,
            "permanent": o.get("load_permanent", usual.permanent),
            "variable": o.get("load_variable", usual.variable),
            "plies_reached": 1,
            "what": "Supported truss",
        }

    def _bracket(self) -> dict[str, object]:
        depth = self._sections()["bottom_chord"]
        mm = quantity(depth, "length", self.system, "girder.sections.bottom_chord")
        return {"width": self._exact(self.usual.bracket), "height": self._rounded(0.8 * mm)}

    def _basis(self) -> dict[str, object]:
        spec = spec_of(usual(self.system))
        own = [option for option in basis_of(spec).options if not option.recommended]
        return {
            "standard": spec.standard,
            **{option.key: option.default for option in own},
            "variable_duration": spec.variable_duration,
        }

    def _fastening(self) -> dict[str, object]:
        imperial = self.system == "imperial"
        rules = "north-american-built-up" if imperial else "common-practice"
        return {"rules": rules, "transfer_by": "nail", "order_allowance": 0.05}

    def _span(self) -> float:
        return quantity(self.span, "length", self.system, "girder.shape.span")

    def _exact(self, mm: float) -> str:
        return f"{half_up(mm / self.usual.size, 4).normalize():f} {self.usual.unit}"

    def _rounded(self, mm: float) -> str:
        step = self.usual.step
        return self._exact(max(float(half_up(mm / step)), 1.0) * step)


class _Row(list[Value]):
    """A list that stands in one line."""


def _toml(value: object) -> str:
    """A TOML value; text as a basic string, which escapes as JSON does."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, list | dict):
        return _several(value)
    if isinstance(value, float):
        return "nan" if math.isnan(value) else repr(value)
    return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007f")


def _several(values: list[object] | dict[str, object]) -> str:
    if isinstance(values, dict):
        return "{ " + ", ".join(f"{_toml(k)} = {_toml(v)}" for k, v in values.items()) + " }"
    if isinstance(values, _Row):
        return f"[{', '.join(map(_toml, values))}]"
    return "[\n" + "".join(f"  {_toml(v)},\n" for v in values) + "]"
