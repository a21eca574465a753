"""What every output says in plain words, whatever the girder is."""

from __future__ import annotations

from girderply.jobfile.job import AssemblySpec
from girderply.wording import Phrase, phrase

_LYING = AssemblySpec()


def scope(assembly: AssemblySpec = _LYING) -> tuple[Phrase, ...]:
    """What these instructions are and are not; on every output."""
    return (
        phrase("cautions.scope_fastening"),
        phrase("cautions.scope_code"),
        until(assembly),
        phrase("cautions.scope_upright" if assembly.upright else "cautions.scope_people"),
        phrase("cautions.scope_cut"),
    )


def until(assembly: AssemblySpec) -> Phrase:
    """What may not be done with the girder before it is inspected."""
    return phrase("cautions.scope_stand" if assembly.upright else "cautions.scope_lift")


def demo() -> Phrase:
    """Where the values of a job are invented."""
    return phrase("cautions.demo")


def plates_assumed() -> Phrase:
    """Where nail plates were estimated."""
    return phrase("cautions.plates_assumed")


def not_for_assembly() -> Phrase:
    """Where a check failed or a finding is an error."""
    return phrase("cautions.not_for_assembly")


def assumed_values() -> Phrase:
    """Stamp of every sheet while a value that nobody has given is not confirmed."""
    return phrase("cautions.assumed_values")


def see_on_girder() -> Phrase:
    """Heading of the list that yard and inspector look at on the girder itself."""
    return phrase("cautions.see_on_girder")


def short() -> Phrase:
    """The cautions in one breath, on every sheet but the first of a document."""
    return phrase("cautions.short")
