"""Jobs as text, made from a few numbers; lengths are given in mm and written in either system."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Ask:
    """What a test wants; lengths in mm, forces in N."""

    kind: str = "howe"
    span: float = 9600.0
    pitch: float | None = 22.5
    height: float | None = None
    panels: int | None = 6
    heel: float | None = None
    plies: int = 2
    thickness: float = 38.0
    top: float = 145.0
    bottom: float = 195.0
    web: float = 95.0
    imperial: bool = False
    standard: str = "EN 1995-1-1"
    timber: str = "C24"
    rules: str = "common-practice"
    nail: str | None = None
    hook_ends: dict[str, str] = field(default_factory=dict)
    loads: str = ""
    extra: str = ""

    def length(self, mm: float) -> str:
        """A length of this job's unit system that is exactly so many mm."""
        return f'"{mm / 25.4!r} in"' if self.imperial else f'"{mm!r} mm"'


def job_text(ask: Ask) -> str:
    """A whole job file."""
    rise = f'pitch = "{ask.pitch} deg"' if ask.pitch else f"height = {ask.length(ask.height or 0)}"
    panels = f"panels = {ask.panels}" if ask.panels else ""
    heel = f"heel_height = {ask.length(ask.heel)}" if ask.heel else ""
    nail = f'nail = "{ask.nail}"' if ask.nail else ""
    hooks = "\n".join(f'{member} = "{end}"' for member, end in ask.hook_ends.items())
    return f"""
[job]
number = "T-1"
title = "Test"
revision = "A"
date = "2026-11-25"
units = "{"imperial" if ask.imperial else "metric"}"
[girder]
mark = "G1"
plies = {ask.plies}
ply_thickness = {ask.length(ask.thickness)}
timber = "{ask.timber}"
[girder.shape]
kind = "{ask.kind}"
span = {ask.length(ask.span)}
{rise}
{panels}
{heel}
[girder.sections]
top_chord = {ask.length(ask.top)}
bottom_chord = {ask.length(ask.bottom)}
web = {ask.length(ask.web)}
[girder.hook_ends]
{hooks}
[basis]
standard = "{ask.standard}"
[fastening]
rules = "{ask.rules}"
{nail}
{ask.extra}
{ask.loads}
"""
