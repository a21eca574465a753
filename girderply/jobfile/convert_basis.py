"""From [basis] and the load cases of a job file to plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from girderply.bases import registry
from girderply.bases.spec import BasisSpec, Case, Kind
from girderply.jobfile.job import LoadSpec
from girderply.jobfile.schema_basis import BasisTable, CaseTable


def basis_spec(t: BasisTable, system: str) -> BasisSpec:
    """What a job says to its basis, filled up with what the basis takes as usual.

    Args:
        t: checked, alone and together with the rest.
        system: "metric" or "imperial", which has its usual basis.
    """
    values = t.model_dump(exclude={"cases"})
    said = {key: value for key, value in values.items() if value is not None}
    reach = said.pop("reach", None)
    spec = registry.spec_of(said.pop("standard", registry.usual(system)), **said)
    kinds = {kind.name: kind for kind in registry.basis_of(spec).kinds} if t.cases else {}
    return replace(spec, reach=reach, cases=tuple(_case(c, kinds[c.kind]) for c in t.cases))


def _case(t: CaseTable, kind: Kind) -> Case:
    return Case(
        id=t.id,
        kind=t.kind,
        permanent=kind.permanent,
        duration=t.duration or kind.duration,
        factor=kind.factor if t.factor is None else t.factor,
        group=t.group or "",
        what=t.what,
        left_open=tuple(k for k in ("duration", "factor") if getattr(t, k) is None),
    )


def in_cases(load: LoadSpec, values: Mapping[str, float], basis: BasisSpec) -> LoadSpec:
    """A load with its cases in the job's order, and what they come to as parts.

    Args:
        load: without values.
        values: by case, N, downward positive.
        basis: the cases of the job.
    """
    given = [(case, values[case.id]) for case in basis.cases if case.id in values]
    variable = [value for case, value in given if not case.permanent]
    return replace(
        load,
        cases=tuple((case.id, value) for case, value in given),
        permanent=sum(value for case, value in given if case.permanent),
        variable=sum(value for value in variable if value > 0),
        uplift=-sum(value for value in variable if value < 0),
    )
