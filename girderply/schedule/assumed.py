"""The ledger of what was assumed: what nobody has said, what stands for it, and why it matters.

What a job leaves open is not silent: every value that the tool puts in its place, and every value
that `girderply new` wrote, stands here until the job confirms it by its key. Until then every
sheet is stamped and nothing is issued.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job, LoadSpec
from girderply.layout.brief import Brief
from girderply.model.hung import ASSUMED_WIDTH
from girderply.schedule.balance import balance
from girderply.strength.sharing.shares import factor, share_limit
from girderply.units.short_text import did_you_mean
from girderply.wording import Said, Words, joined, numeral, said
from girderply.wording.words import duration_words, face_words, field_words

NAMED = 6  # loads that one line names
_WRITTEN = "assumed.written"
_WRITTEN_LOAD = "assumed.written_load"


@dataclass(frozen=True, slots=True)
class Assumption:
    """One value that nobody has given.

    Attributes:
        key: of the job file, by which the job confirms it, such as "girder.plates".
        what: what it is. value: what stands for it. where: on the girder or in the job.
        why: why it matters that it is right.
        on_girder: whether yard and inspector can see it on the girder itself.
        confirmed: whether the job has confirmed it.
    """

    key: str
    what: Words
    value: Words
    where: Words
    why: Words
    on_girder: bool
    confirmed: bool = False

    @property
    def usual(self) -> bool:
        """Whether it is a usual value that `girderply new` wrote, and not one of the tool's own."""
        return isinstance(self.what, Said) and self.what.key in (_WRITTEN, _WRITTEN_LOAD)

    @property
    def subject(self) -> Said:
        """What a usual value belongs to: the girder, a load, the design."""
        return _field_of(self.key)[0]

    @property
    def named(self) -> Said:
        """Its bare name and its value; of a load without the load's name."""
        return said("assumed.named", what=_field_of(self.key)[1], value=self.value)


def ledger(brief: Brief) -> tuple[Assumption, ...]:
    """Everything assumed about one girder, confirmed or not; each key once."""
    found: dict[str, Assumption] = {}
    parts = (
        _of_girder(brief), _of_loads(brief), _of_basis(brief), _of_cases(brief),
        _of_assembly(brief),
    )  # fmt: skip
    for one in (*(one for part in parts for one in part), *_of_new(brief.job)):
        found.setdefault(one.key, one)
    confirmed = brief.job.info.confirmed
    return tuple(replace(one, confirmed=one.key in confirmed) for one in found.values())


def ledger_findings(job: Job, entries: tuple[Assumption, ...]) -> Iterator[Finding]:
    """What is still open, and confirmations of what is not assumed."""
    known = [one.key for one in entries]
    for i, key in enumerate(job.info.confirmed, 1):
        if key not in known:
            text = said("assumed.confirms_nothing", key=key)
            tip = did_you_mean(key, known)
            where = f"job.confirmed[{i}]"
            yield Finding("confirms-nothing", Severity.WARNING, where, text, tip=tip)
    still = [one for one in entries if not one.confirmed]
    if still:
        names = joined(said("sheet.semicolon"), named_shortly(still, [x.what for x in still]))
        text = said("assumed.open", n=len(still), names=names)
        keys = ", ".join(f'"{one.key}"' for one in still)
        how = said("assumed.how_to_confirm", keys=keys)
        yield Finding("values-assumed", Severity.WARNING, "job.confirmed", text, tip=how)


def named_shortly(entries: Sequence[Assumption], told: Sequence[Words]) -> Iterator[Words]:
    """What was assumed, in a line: of usual values their number alone.

    Args:
        entries: of a ledger.
        told: each as it is named where it is told alone.
    """
    yield from (words for one, words in zip(entries, told, strict=True) if not one.usual)
    count = sum(one.usual for one in entries)
    if count:
        yield said("assumed.usual_count", n=count)


def folded(entries: Sequence[Assumption]) -> tuple[Assumption, ...]:
    """A ledger in fewer lines: usual values of one thing that matter for one reason are one.

    Args:
        entries: of a ledger; the first of those that are one gives its key.
    """
    groups: dict[Hashable, list[Assumption]] = {}
    for one in entries:
        subject = one.subject if one.usual else one.key
        groups.setdefault((one.usual, subject, one.why, one.confirmed), []).append(one)
    return tuple(_as_one(group) for group in groups.values())


def _as_one(group: Sequence[Assumption]) -> Assumption:
    first = group[0]
    if not first.usual:
        return first
    values = joined(said("sheet.semicolon"), [one.named for one in group])
    return replace(first, what=first.subject, value=values)


def _of_girder(brief: Brief) -> Iterator[Assumption]:
    """Plates and bearings that the model has put in."""
    girder, show = brief.girder, brief.show
    made = [p.joint for p in girder.plates if p.assumed]
    if made:
        yield Assumption(
            "girder.plates",
            said("assumed.plates"),
            said("assumed.plates_value", count=len(made), all=len(girder.plates)),
            said("assumed.at_joints", joints=", ".join(made)),
            said("assumed.why_plates"),
            on_girder=True,
        )
    if not brief.job.girder.bearings:
        at = joined(", ", (show.span(b.x) for b in girder.bearings))
        yield Assumption(
            "girder.bearings",
            said("assumed.bearings"),
            said("assumed.bearings_value", width=show.small(girder.bearings[0].width)),
            said("assumed.from_left", stations=at),
            said("assumed.why_bearings"),
            on_girder=True,
        )


def _of_loads(brief: Brief) -> Iterator[Assumption]:
    """Brackets that nobody has described, and how far their fixings are said to reach."""
    for load in brief.job.loads:
        if load.face == "top":
            continue
        if load.bracket is None:
            yield Assumption(
                f"loads.{load.id}.bracket",
                said("assumed.bracket", load=load.id),
                said("assumed.bracket_value", width=brief.show.small(ASSUMED_WIDTH)),
                _place(load),
                said("assumed.why_bracket"),
                on_girder=True,
            )
        if load.plies_reached > 1 and not _has_fixings(load):
            yield Assumption(
                f"loads.{load.id}.plies_reached",
                said("assumed.plies_reached", load=load.id),
                said("assumed.plies_reached_value", n=load.plies_reached),
                _place(load),
                said("assumed.why_plies_reached"),
                on_girder=True,
            )


def _has_fixings(load: LoadSpec) -> bool:
    b = load.bracket
    return b is not None and (b.fixing is not None or bool(b.bolts))


def _place(load: LoadSpec) -> Said:
    return said("assumed.on_chord", chord=load.chord, face=face_words(load.face))


def _of_basis(brief: Brief) -> Iterator[Assumption]:
    """What the standard asks for and the job has left open."""
    job, show = brief.job, brief.show
    basis, where = job.basis, said("assumed.in_job")
    hung = any(x.face != "top" for x in job.loads)
    if basis.reach is None and hung:
        yield Assumption(
            "basis.reach", said("assumed.reach"), show.span(brief.rules.zone_reach), where,
            said("assumed.why_reach"), on_girder=False,
        )  # fmt: skip
    limit = share_limit(job.fastening)
    if job.fastening.by_computed and hung and limit is not None:
        yield Assumption(
            "fastening.design_by", said("assumed.design_by"),
            said("assumed.design_by_value", limit=factor(1.0 + limit)), where,
            said("assumed.why_design_by"), on_girder=False,
        )  # fmt: skip
    options = dict(basis.options)
    if "service_class" in options and not job.says("basis.service_class"):
        yield Assumption(
            "basis.service_class", said("assumed.service_class"), f"{options['service_class']}",
            where, said("assumed.why_climate"), on_girder=False,
        )  # fmt: skip
    if "moisture" in brief.basis.girder_keys and not job.says("girder.moisture"):
        yield Assumption(
            "girder.moisture", said("assumed.moisture"), said("assumed.dry"), where,
            said("assumed.why_climate"), on_girder=True,
        )  # fmt: skip
    parts = not basis.cases and any(x.variable for x in job.loads)
    if parts and not job.says("basis.variable_duration"):
        yield Assumption(
            "basis.variable_duration", said("assumed.duration"),
            duration_words(basis.variable_duration), where, said("assumed.why_duration"),
            on_girder=False,
        )  # fmt: skip


def _of_assembly(brief: Brief) -> Iterator[Assumption]:
    """How a girder that is too long to be turned is put together; what people can reach."""
    job, where = brief.job, said("assumed.in_job")
    if balance(brief.girder).long and not job.says("assembly.way"):
        yield Assumption(
            "assembly.way", said("assumed.way"), said("assumed.way_value"), where,
            said("assumed.why_way"), on_girder=False,
        )  # fmt: skip
    if job.assembly.upright and not job.says("assembly.faces"):
        yield Assumption(
            "assembly.faces", said("assumed.faces"), said("assumed.faces_value"), where,
            said("assumed.why_faces"), on_girder=True,
        )  # fmt: skip


def _of_cases(brief: Brief) -> Iterator[Assumption]:
    """Durations and combination factors of variable cases that the job leaves to the kind."""
    basis, where = brief.job.basis, said("assumed.in_job")
    for case in basis.cases:
        if case.permanent:
            continue
        if "duration" in case.left_open:
            yield Assumption(
                f"basis.cases.{case.id}.duration", said("assumed.case_duration", case=case.id),
                duration_words(case.duration), where, said("assumed.why_duration"),
                on_girder=False,
            )  # fmt: skip
        if "factor" in case.left_open and brief.basis.case_factors:
            yield Assumption(
                f"basis.cases.{case.id}.factor", said("assumed.case_factor", case=case.id),
                numeral(case.factor), where, said("assumed.why_case_factor"), on_girder=False,
            )  # fmt: skip


# --- values that `girderply new` wrote --------------------------------------------------------

_ON_PAPER = ("permanent", "variable", "uplift", "design", "service_class", "variable_duration")
_WHY = {
    "permanent": "why_loads",
    "variable": "why_loads",
    "uplift": "why_loads",
    "design": "why_loads",
    "timber": "why_timber",
    "bearings": "why_bearings",
    "bracket": "why_bracket",
    "plies_reached": "why_plies_reached",
    "service_class": "why_climate",
    "variable_duration": "why_duration",
    "plates": "why_plates",
}


def _of_new(job: Job) -> Iterator[Assumption]:
    """Values that the job itself calls assumed."""
    values = dict(job.given)
    for key in job.info.assumed:
        last = key.rpartition(".")[2]
        yield Assumption(
            key,
            _field(key),
            values.get(key, ""),
            said("assumed.in_job"),
            said(f"assumed.{_WHY.get(last, 'why_geometry')}"),
            on_girder=last not in _ON_PAPER,
        )


def _field(key: str) -> Said:
    """What a value that `new` wrote is: by its name in the forms, never by its key."""
    table, first = key.split(".")[:2]
    name = _field_of(key)[1]
    if table == "loads":
        return said(_WRITTEN_LOAD, what=name, load=first)
    return said(_WRITTEN, what=name)


def _field_of(key: str) -> tuple[Said, Words]:
    """What a value belongs to, and its name in the forms."""
    table, *between, last = key.split(".")
    if table == "loads":
        load, *inner = between
        return said("assumed.usual_load", load=load), field_words("_".join([table, *inner]), last)
    subject = said("assumed.usual_girder" if table == "girder" else "assumed.usual_design")
    return subject, field_words("_".join([table, *between]), last)
