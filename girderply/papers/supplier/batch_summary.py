"""The summary of a batch: one line per job as CSV, and as one HTML page that sorts offline.

Lengths are in mm and masses in kg: the jobs of one batch may be in different unit systems.
"""

from __future__ import annotations

import base64
import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal, get_args
from urllib.parse import quote

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing.resources import template_folder
from girderply.errors import Severity
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.wording import english

if TYPE_CHECKING:
    from jinja2 import Template

State = Literal["good", "not for assembly", "failed"]
STATES = get_args(State)
PICTURE = (150.0, 56.0)  # px, at most

CSV_HEADS = (
    *("job file", "state", "reason", "job", "girder", "revision", "title", "quantity", "plies"),
    *("length (mm)", "height (mm)", "mass of one (kg)", "nails", "screws", "bolts"),
    *("hardest check", "used (%)", "errors", "warnings", "pack", "redone", "content hash"),
)


@dataclass(frozen=True, slots=True)
class Line:
    """What a batch says of one job; only `job_file`, `state` and `reason` for one without a pack.

    Attributes:
        job_file: as it was named. state: one of `STATES`. reason: why it is not good, in words.
        length, height: mm. mass: of one girder, kg. used: utilisation of the hardest check, or
            None; infinity for one without resistance. hardest: its id.
        pack: folder name beside the summary. redone: False where the pack was kept.
        picture: SVG path data of the members in a box of `PICTURE` px.
    """

    job_file: str
    state: State
    reason: str = ""
    job: str = ""
    girder: str = ""
    revision: str = ""
    title: str = ""
    quantity: int = 0
    plies: int = 0
    length: float = 0.0
    height: float = 0.0
    mass: float = 0.0
    nails: int = 0
    screws: int = 0
    bolts: int = 0
    hardest: str = ""
    used: float | None = None
    errors: int = 0
    warnings: int = 0
    pack: str = ""
    redone: bool = True
    content_hash: str = ""
    picture: str = ""

    @property
    def percent(self) -> str:
        """Utilisation in whole percent, rounded up so that what is over stays over."""
        if self.used is None:
            return ""
        return str(math.ceil(100 * self.used - 1e-6)) if math.isfinite(self.used) else "no limit"

    @property
    def link(self) -> str:
        """Address of the PDF beside the summary, or empty."""
        return f"{quote(self.pack)}/yard.pdf" if self.pack else ""


def line_of(job_file: str, schedule: Schedule, pack: str, *, redone: bool) -> Line:
    """The line of a job whose pack is on disk."""
    info, girder = schedule.job.info, schedule.girder
    kinds = schedule.fasteners.kind
    hardest = max(schedule.checks, key=lambda c: c.utilisation, default=None)
    severities = [f.severity for f in schedule.findings]
    return Line(
        job_file=job_file,
        state="not for assembly" if schedule.failed else "good",
        reason=first_reason(schedule),
        job=info.number,
        girder=girder.mark,
        revision=info.revision,
        title=info.title,
        quantity=girder.quantity,
        plies=girder.plies,
        length=round(girder.length, 1),
        height=round(girder.height, 1),
        mass=round(schedule.masses.total, 1),
        nails=int((kinds == FastenerKind.NAIL).sum()),
        screws=int((kinds == FastenerKind.SCREW).sum()),
        bolts=int((kinds == FastenerKind.BOLT).sum()),
        hardest=hardest.id if hardest else "",
        used=hardest.utilisation if hardest else None,
        errors=severities.count(Severity.ERROR),
        warnings=severities.count(Severity.WARNING),
        pack=pack,
        redone=redone,
        content_hash=schedule.content_hash,
        picture=picture(schedule),
    )


def first_reason(schedule: Schedule) -> str:
    """The first error of a girder that is not for assembly, and how many more there are."""
    wrong = [f for f in schedule.findings if f.severity is Severity.ERROR]
    if not wrong:
        return ""
    place, message = english(wrong[0].where), english(wrong[0].message)
    where = "" if message.startswith(place) else f"{place}: "
    more = f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else ""
    return f"{where}{message}{more}"


def picture(schedule: Schedule) -> str:
    """SVG path data of the members, y downward, to tenths of a pixel inside `PICTURE`."""
    girder = schedule.girder
    left = min(float(m.outline[:, 0].min()) for m in girder.members)
    top = max(float(m.outline[:, 1].max()) for m in girder.members)
    scale = min(PICTURE[0] / max(girder.length, 1.0), PICTURE[1] / max(girder.height, 1.0))
    paths = []
    for member in girder.members:
        points = [((x - left) * scale, (top - y) * scale) for x, y in member.outline.tolist()]
        paths.append("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z")
    return "".join(paths)


def csv_rows(lines: Sequence[Line]) -> list[tuple[str | int | float, ...]]:
    """The lines as cells under `CSV_HEADS`."""
    return [
        (
            *(x.job_file, x.state, x.reason, x.job, x.girder, x.revision, x.title, x.quantity),
            *(
                x.plies,
                x.length,
                x.height,
                x.mass,
                x.nails,
                x.screws,
                x.bolts,
                x.hardest,
                x.percent,
            ),
            *(x.errors, x.warnings, x.pack, "yes" if x.redone else "no", x.content_hash),
        )
        if x.pack
        else (x.job_file, x.state, x.reason, *[""] * (len(CSV_HEADS) - 3))
        for x in lines
    ]


def summary_html(lines: Sequence[Line], missing: int = 0) -> str:
    """One page without anything fetched; a click on a heading sorts.

    Args:
        lines: of the jobs that are done.
        missing: how many more jobs the batch has that are not done.
    """
    style, script = _source("summary.css"), _source("summary.js")
    policy = (
        f"default-src 'none'; style-src '{_digest(style)}'; script-src '{_digest(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    counts = {state: sum(x.state == state for x in lines) for state in STATES}
    return _template().render(
        lines=lines,
        counts=counts,
        missing=missing,
        kept=sum(not x.redone for x in lines),
        box=PICTURE,
        policy=policy,
        style=style,
        script=script,
        cautions=[english(words) for words in cautions.scope()],
    )


def _source(name: str) -> str:
    return Path(template_folder() / "batch" / name).read_text("utf-8")


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


@cache
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(template_folder() / "batch"),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("summary.html")
