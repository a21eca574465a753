"""What every output says in plain words, whatever the girder is."""

from __future__ import annotations

from girderply.jobfile.job import AssemblySpec
from girderply.wording import Said, said

_LYING = AssemblySpec()


def scope(assembly: AssemblySpec = _LYING) -> tuple[Said, ...]:
    """What these instructions are and are not; on every output."""
    return (
        said("cautions.scope_fastening"),
        said("cautions.scope_code"),
        until(assembly),
        said("cautions.scope_upright" if assembly.upright else "cautions.scope_people"),
        said("cautions.scope_cut"),
    )


def until(assembly: AssemblySpec) -> Said:
    """What may not be done with the girder before it is inspected."""
    return said("cautions.scope_stand" if assembly.upright else "cautions.scope_lift")


def demo() -> Said:
    """Where the values of a job are invented."""
    return said("cautions.demo")


def plates_assumed() -> Said:
    """Where nail plates were estimated."""
    return said("cautions.plates_assumed")


def not_for_assembly() -> Said:
    """Where a check failed or a finding is an error."""
    return said("cautions.not_for_assembly")


def assumed_values() -> Said:
    """Stamp of every sheet while a value that nobody has given is not confirmed."""
    return said("cautions.assumed_values")


def see_on_girder() -> Said:
    """Heading of the list that yard and inspector look at on the girder itself."""
    return said("cautions.see_on_girder")


def short() -> Said:
    """The cautions in one breath, on every sheet but the first of a document."""
    return said("cautions.short")
