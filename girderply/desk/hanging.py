"""Hung loads as a person has them: pasted from a spreadsheet, or said in a line.

    every 600 from 600 to 9000, front, 1.1 kN + 1.6 kN
    at 4800, back, 3.0 kN + 2.0 kN, Hip truss
    2.4 kN/m + 3.1 kN/m every 600 from 600 to 9000, front

Permanent comes before variable. A force per length is what falls to one place: times `every`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from girderply.desk.amounts import force_text, length_text, parsed, pointed
from girderply.jobfile.job import Job
from girderply.units.exact import MM_PER_IN, N_PER_LB
from girderply.units.parse import QuantityError
from girderply.wording import Voice

Plain = dict[str, Any]
MOST_LINES: Final = 600

_NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
_WORDS: Final = {
    "every": "every", "tous les": "every", "toutes les": "every", "@": "every",
    "from": "at", "de": "at", "at": "at", "à partir de": "at", "en": "at",
    "to": "to", "à": "to", "jusqu'à": "to", "until": "to",
}  # fmt: skip
_PLACES = "|".join(sorted(map(re.escape, _WORDS), key=len, reverse=True))
_FORCES_OF = r"(?:kN|N|lbf|lb|kip|plf)\b"
_PART = r"(?:[ -]\d+/\d+|/\d+)?"
_LENGTH = rf"{_NUMBER}{_PART}\s*(?:mm|cm|m|inches|inch|in|feet|foot|ft|\"|')?"
_INCHES = rf"(?:[\s-]*{_NUMBER}{_PART}\s*(?:inches|inch|in|\"))?"
_PLACE = re.compile(
    rf"(?<!\w)({_PLACES})\s*({_LENGTH}{_INCHES})(?![\w/]|\s*{_FORCES_OF})", re.IGNORECASE
)
_FORCE = re.compile(
    rf"({_NUMBER})\s*(kN/m|N/mm|plf|lbf?/ft|kN|N|lbf|lb|kip)(?![\w/])", re.IGNORECASE
)
_FACES: Final = {"front": "front", "avant": "front", "back": "back", "arrière": "back",
                 "arriere": "back", "top": "top", "dessus": "top"}  # fmt: skip
_PER_LENGTH: Final = {"kn/m": 1.0, "n/mm": 1.0, "plf": N_PER_LB / (12 * MM_PER_IN),
                      "lbf/ft": N_PER_LB / (12 * MM_PER_IN),
                      "lb/ft": N_PER_LB / (12 * MM_PER_IN)}  # fmt: skip
_HEADS: Final = {
    "id": "id", "name": "id", "mark": "id", "nom": "id", "repère": "id",
    "chord": "chord", "member": "chord", "membrure": "chord", "barre": "chord",
    "face": "face", "side": "face",
    "at": "at", "x": "at", "position": "at", "station": "at", "first": "at", "à": "at",
    "to": "to", "last": "to", "every": "every", "spacing": "every", "entraxe": "every",
    "permanent": "permanent", "dead": "permanent", "g": "permanent", "permanente": "permanent",
    "variable": "variable", "live": "variable", "snow": "variable", "q": "variable",
    "neige": "variable", "uplift": "uplift", "wind": "uplift", "soulèvement": "uplift",
    "design": "design", "calcul": "design", "what": "what", "truss": "what", "ferme": "what",
    "plies reached": "plies_reached", "plies": "plies_reached",
}  # fmt: skip
_LENGTHS, _FORCES = ("at", "to", "every"), ("permanent", "variable", "uplift", "design")
_UNHEADED: Final = ("at", "permanent", "variable", "face")


@dataclass
class Hung:
    """What was read: entries for the job file, and lines that could not be read."""

    entries: list[Plain] = field(default_factory=list)
    faults: list[Plain] = field(default_factory=list)


class _LineError(ValueError):
    """A line that cannot be read; says why."""


def read_loads(voice: Voice, text: str, job: Job, chord: str) -> Hung:
    """Read loads from lines or from cells of a spreadsheet.

    Args:
        voice: that tells it.
        text: as typed or pasted.
        job: its unit system is that of bare numbers.
        chord: that they hang on where a line names none.
    """
    found = Hung()
    heads: Sequence[str] | None = None
    for number, line in enumerate(text.splitlines()[:MOST_LINES], 1):
        if not line.strip():
            continue
        cells = _cells(line)
        if len(cells) > 1 and heads is None and _headed(cells):
            heads = _headed(cells)
            continue
        try:
            entry = (
                _from_cells(voice, cells, heads, job)
                if len(cells) > 1
                else _from_line(voice, line, job)
            )
        except (_LineError, QuantityError) as fault:
            found.faults.append({"line": number, "text": line.strip()[:120], "said": str(fault)})
        else:
            found.entries.append({"chord": chord, "face": "front"} | entry)
    return found


def _cells(line: str) -> list[str]:
    """Cells of a row: tabs from a spreadsheet, semicolons from its file; else one."""
    for sign in ("\t", ";"):
        if sign in line:
            return [c.strip().strip('"').strip() for c in line.split(sign)]
    return [line]


def _headed(cells: Sequence[str]) -> list[str] | None:
    """What the columns are, where this row says so; columns not known are passed over."""
    names = [_HEADS.get(re.sub(r"\s*[(\[].*", "", c).strip().casefold(), "") for c in cells]
    return names if "at" in names else None


def _from_cells(voice: Voice, cells: Sequence[str], heads: Sequence[str] | None, job: Job) -> Plain:
    named = dict(zip(heads or _UNHEADED, cells, strict=False))
    values = {k: v for k, v in named.items() if k and v}
    if "at" not in values:
        raise _LineError(voice.phrase("desk.hang_no_place"))
    return dict(_values(voice, values, job))


def _values(voice: Voice, values: Mapping[str, str], job: Job) -> Iterator[tuple[str, Any]]:
    system = str(job.info.units)
    for key, said in values.items():
        if key in _LENGTHS:
            yield key, length_text(parsed(pointed(said), "length", job), system)
        elif key in _FORCES:
            yield key, force_text(parsed(pointed(said), "force", job), system)
        elif key == "face":
            yield key, _face(voice, said)
        elif key == "plies_reached" and said.isdigit():
            yield key, int(said)
        else:
            yield key, said


def _face(voice: Voice, said: str) -> str:
    found = _FACES.get(said.strip().casefold())
    if found is None:
        raise _LineError(voice.phrase("desk.hang_no_face", said=said))
    return found


def _from_line(voice: Voice, line: str, job: Job) -> Plain:
    """A line such as "every 600 from 600 to 9000, front, 1.1 kN + 1.6 kN"."""
    system = str(job.info.units)
    rest = line
    entry: Plain = {}
    for match in _PLACE.finditer(line):
        key = _WORDS[match[1].casefold()]
        if key in entry:
            raise _LineError(voice.phrase("desk.hang_not_understood", said=match[0]))
        entry[key] = length_text(parsed(pointed(match[2]), "length", job), system)
        rest = rest.replace(match[0], ",", 1)
    if list(entry) == ["to"]:  # "à 4800" alone: the same word as in "de 600 à 9000"
        entry = {"at": entry["to"]}
    if "at" not in entry:
        raise _LineError(voice.phrase("desk.hang_no_place"))
    forces = list(_FORCE.finditer(rest))
    every = parsed(entry["every"], "length", job) if "every" in entry else None
    for key, match in zip(("permanent", "variable"), forces, strict=False):
        entry[key] = force_text(_force(voice, match, every, job), system)
        rest = rest.replace(match[0], ",", 1)
    return entry | _words(voice, rest)


def _words(voice: Voice, rest: str) -> Plain:
    """Face and what hangs, of what is left; nothing is passed over."""
    found: Plain = {}
    for word in filter(None, (w.strip(" +") for w in rest.split(","))):
        key = "face" if word.casefold() in _FACES else "what"
        if key in found or not word[0].isalpha():
            raise _LineError(voice.phrase("desk.hang_not_understood", said=word))
        found[key] = _FACES.get(word.casefold(), word)
    return found


def _figure(voice: Voice, said: str) -> float:
    """The number before a unit.

    Raises:
        _LineError: its comma may part thousands.
    """
    try:
        return float(pointed(said))
    except ValueError:
        raise _LineError(voice.phrase("desk.hang_not_understood", said=said)) from None


def _force(voice: Voice, match: re.Match[str], every: float | None, job: Job) -> float:
    """N, of one place."""
    value, unit = _figure(voice, match[1]), match[2].casefold()
    if unit not in _PER_LENGTH:
        return parsed(pointed(match[0]), "force", job)
    if every is None:
        raise _LineError(voice.phrase("desk.hang_no_spacing", said=match[0]))
    return value * _PER_LENGTH[unit] * every
