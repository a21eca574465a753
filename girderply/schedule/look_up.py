"""From a job to what the layout works from: rule set, nail, bolt and washer looked up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import TypeVar

from girderply import catalogue, rules
from girderply.catalogue.catalogue_types import Bolt, Screw, Timber, Washer
from girderply.catalogue.screwing import declared_screw
from girderply.errors import CatalogueError, Finding, JobError, RuleSetError, Severity
from girderply.jobfile.job import Job, UnitSystem
from girderply.layout.bracket_bolts import bracket_bolt
from girderply.layout.brief import Brief
from girderply.model.girder import Girder
from girderply.rules.rule_set import IMPERIAL, METRIC, PlyRule, RuleSet

T = TypeVar("T")
STEP_METRIC, STEP_IMPERIAL = 5.0, 6.35  # mm; 1/4 in
RHO_SHARE = 0.85  # of the mean density where a timber has no characteristic value


def looked_up(key: str, find: Callable[[], T]) -> T:
    """Run a look-up; what is not known becomes a finding at this key of the job file.

    Raises:
        JobError: the name is not known, or the file cannot be used.
    """
    try:
        return find()
    except (CatalogueError, RuleSetError) as fault:
        text = str(fault.args[0]) if fault.args else str(fault)
        raise JobError([Finding("not-known", Severity.ERROR, key, text)]) from fault


def refuse_unknown_members(job: Job, girder: Girder) -> None:
    """Refuse a pattern prescribed for a member that the girder does not have.

    Raises:
        JobError: with every such name and the nearest right one.
    """
    ids = [m.id for m in girder.members]
    findings = []
    for number, given in enumerate(job.fastening.prescribed, 1):
        for name in given.members:
            if name not in ids:
                where = f"fastening.prescribed[{number}].members"
                text = f'the girder has no member "{name}"; it has {", ".join(ids)}'
                near = get_close_matches(name, ids, n=1)
                tip = f'did you mean "{near[0]}"?' if near else ""
                findings.append(Finding("unknown-member", Severity.ERROR, where, text, tip=tip))
        if given.nail is not None:
            looked_up(f"fastening.prescribed[{number}].nail", partial(catalogue.nail, given.nail))
    if findings:
        raise JobError(findings)


def make_brief(job: Job, girder: Girder) -> Brief:
    """Look up everything that the layout needs.

    Raises:
        JobError: a rule set, nail, bolt, washer or timber is not known, or the rule set does not
            speak of this number of plies.
    """
    rule_set = read_rules(job)
    ply_rule, faces = rule_for(rule_set, girder.plies), job.assembly.faces
    nail_key = job.fastening.nail or ply_rule.nail
    screw = _screw(job)
    nailed = any(s.fastens for s in ply_rule.stages)
    if nail_key is None and screw is None and nailed:
        text = f"rule set {rule_set.name} names no nail for {girder.plies} plies: name one"
        raise JobError([Finding("nail-missing", Severity.ERROR, "fastening.nail", text)])
    bolt, washer, hole = _bolt(job, rule_set)
    timber = looked_up("girder.timber", lambda: catalogue.timber(girder.timber))
    every = [timber, *other_timbers(girder, timber)]
    brief = Brief(
        job=job,
        girder=girder,
        rules=rule_set,
        ply_rule=rules.from_one_face(ply_rule, faces) if faces != "both" else ply_rule,
        nail=(screw or looked_up("fastening.nail", lambda: catalogue.nail(nail_key or "")))
        if nailed
        else None,
        bolt=bolt,
        washer=washer,
        hole=hole,
        rho_k=max(t.rho_k or RHO_SHARE * t.rho_mean for t in every),
    )
    for number, load in enumerate(job.loads, 1):
        if load.bracket is not None and load.bracket.bolts:
            looked_up(f"loads[{number}].bracket.bolt", partial(bracket_bolt, brief, load.bracket))
    return brief


def other_timbers(girder: Girder, timber: Timber) -> list[Timber]:
    """Timbers of members that are of another one; none is lighter, so that no check is kinder.

    Raises:
        JobError: one is not known, or lighter, or cannot be compared.
    """
    own = {m.id: m.timber for m in girder.members if m.timber}
    found = {
        i: looked_up(f"girder.timbers.{i}", partial(catalogue.timber, name))
        for i, name in own.items()
    }
    wrong = [_lighter(i, t, timber) for i, t in found.items() if not _as_good(t, timber)]
    if wrong:
        raise JobError(wrong)
    return list(found.values())


def _as_good(one: Timber, least: Timber) -> bool:
    """Whether a fastener in it is at least as strong as in the other, by every measure of both."""
    pairs = [(getattr(one, n), getattr(least, n)) for n in ("rho_k", "G", "rho_mean", "E_mean")]
    return all(b is None or (a is not None and a >= b) for a, b in pairs)


def _lighter(member: str, one: Timber, girder_s: Timber) -> Finding:
    message = (
        f"{one.key} is not as dense and stiff as {girder_s.key} throughout; fasteners are judged "
        "by the girder's timber"
    )
    tip = f'name the lightest as the girder\'s: timber = "{one.key}", and the better by member'
    return Finding("timber-lighter", Severity.ERROR, f"girder.timbers.{member}", message, tip=tip)


def _screw(job: Job) -> Screw | None:
    """The screw that takes the place of every nail, or None."""
    wanted = job.fastening.screw
    if wanted is None:
        return None
    for spec in job.fastening.screws:
        if spec.key == wanted:
            return declared_screw(spec)
    known = ", ".join(s.key for s in job.fastening.screws) or "none"
    text = f'screw "{wanted}" is not declared in this job; declared: {known}'
    raise JobError([Finding("not-known", Severity.ERROR, "fastening.screw", text)])


def read_rules(job: Job) -> RuleSet:
    """The job's rule set, by name or from its file, with the job's own changes."""
    asked = job.fastening
    if asked.rules_file is not None:
        path = Path(job.folder) / asked.rules_file
        found = looked_up("fastening.rules_file", lambda: rules.load_rule_file(path))
    else:
        found = looked_up("fastening.rules", lambda: rules.load_rule_set(asked.rules))
    if (job.info.units is UnitSystem.IMPERIAL) != found.imperial:
        found = _in_units_of(job, found)
    return looked_up("fastening.overrides", lambda: rules.apply_overrides(found, asked.overrides))


def _in_units_of(job: Job, rule_set: RuleSet) -> RuleSet:
    """The rule set with what a tape of this job's unit system can show."""
    imperial = job.info.units is UnitSystem.IMPERIAL
    usual, own = IMPERIAL if imperial else METRIC, rule_set.setting_out
    return replace(
        rule_set,
        station_step=STEP_IMPERIAL if imperial else STEP_METRIC,
        setting_out=replace(
            own, ladder=usual.ladder, first_step=usual.first_step, beside=usual.beside
        ),
    )


def rule_for(rule_set: RuleSet, plies: int) -> PlyRule:
    """How the rule set puts so many plies together, whatever can be reached."""
    for rule in rule_set.ply_rules:
        if rule.plies == plies:
            return rule
    known = ", ".join(str(r.plies) for r in rule_set.ply_rules)
    text = f"rule set {rule_set.name} has nothing for {plies} plies; it speaks of {known}"
    raise JobError([Finding("plies-not-covered", Severity.ERROR, "girder.plies", text)])


def _bolt(job: Job, rule_set: RuleSet) -> tuple[Bolt | None, Washer | None, float]:
    """Bolt, washer and hole: the job's, else the rule set's; none where neither names one."""
    rule, asked = rule_set.bolts, job.fastening
    key = asked.bolt or (rule.bolt if rule else None)
    if key is None:
        return None, None, 0.0
    bolt = looked_up("fastening.bolt", lambda: catalogue.bolt(key))
    usual = rule if rule is not None and catalogue.bolt(rule.bolt).key == bolt.key else None
    washer_key = asked.washer or (usual.washer if usual else None)
    if washer_key is None:
        fitting = [w.key for w in catalogue.washers() if w.bolt == bolt.key]
        if not fitting:
            text = f"no washer is known for {bolt.key}: name one"
            raise JobError([Finding("washer-missing", Severity.ERROR, "fastening.washer", text)])
        washer_key = fitting[0]
    washer = looked_up("fastening.washer", lambda: catalogue.washer(washer_key))
    if washer.bolt != bolt.key:
        text = f"washer {washer.key} is for {washer.bolt}, the bolt is {bolt.key}"
        raise JobError([Finding("washer-does-not-fit", Severity.ERROR, "fastening.washer", text)])
    return bolt, washer, usual.hole if usual else bolt.hole
