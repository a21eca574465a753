"""A firm's own file on the desk: what it is called, and what it has in stock.

`firm.toml` beside the jobs. It is no job: it says which nails and bolts are offered, and what a
new girder begins with.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import Field, ValidationError

from girderply.catalogue.catalogue_types import Bolt, Nail
from girderply.desk.amend import Edit
from girderply.desk.folder import FIRM as FILE
from girderply.desk.folder import Folder, NotOnDeskError
from girderply.errors import GirderplyError, JobError
from girderply.jobfile.fields import Name, Table
from girderply.jobfile.job import Saw
from girderply.jobfile.job_form import SawWord
from girderply.jobfile.logo import read_logo
from girderply.jobfile.schema_fastening import ScrewTable
from girderply.units.short_text import reason
from girderply.wording import Language, english


class FirmError(GirderplyError, ValueError):
    """A firm's file that cannot be used."""


class FirmFile(Table):
    """What may stand in `firm.toml`."""

    name: Name = Field(description="Name of the firm.")
    logo: Name | None = Field(None, description="File with its mark, beside this one.")
    rules: Name | None = Field(None, description="Rule set of new girders.")
    language: Language | None = Field(None, description="Language of their papers.")
    units: Literal["metric", "imperial"] | None = Field(None, description="Their unit system.")
    paper: Literal["A4", "A3", "letter", "tabloid"] | None = Field(
        None, description="One size of paper for all sheets of new girders."
    )
    counting: Literal["blind", "open"] | None = Field(
        None, description="Whether their tablets ask before they show what is due."
    )
    photos: Literal["asked", "offered"] | None = Field(
        None, description="Whether their tablets ask for photos of hold points and faults."
    )
    saw: list[SawWord] | None = Field(
        None, max_length=len(Saw), description="What the plant's saw may do: holes, nails ..."
    )
    nails: list[Name] = Field([], max_length=200, description="Nails in stock.")
    bolts: list[Name] = Field([], max_length=200, description="Bolts in stock.")
    screws: list[ScrewTable] = Field(
        [], max_length=50, description="Screws in stock, each by its own declaration."
    )


@dataclass(frozen=True, slots=True)
class Firm:
    """A firm as its file says; nothing in stock means everything that the catalogue knows.

    Attributes:
        file: what it says, None without one. screws: in stock, as tables of a job file hold them.
    """

    file: FirmFile | None = None
    screws: tuple[Mapping[str, Any], ...] = ()

    @property
    def name(self) -> str:
        """What it is called; empty without a file."""
        return self.file.name if self.file else ""

    @property
    def units(self) -> str | None:
        """Unit system of new girders, where it is said."""
        return self.file.units if self.file else None

    def nails(self) -> list[str]:
        """Names of the nails that are offered."""
        from girderply import catalogue

        return list(self.file.nails if self.file else []) or _keys(catalogue.nails())

    def bolts(self) -> list[str]:
        """Names of the bolts that are offered."""
        from girderply import catalogue

        stock = self.file.bolts if self.file else []
        return list(stock) or _keys(catalogue.bolts())

    def begins(self) -> Iterator[Edit]:
        """What a new girder of this firm begins with."""
        if self.file is None:
            return
        yield Edit(("job", "prepared_by"), "set", self.file.name)
        if self.file.logo:
            yield Edit(("job", "logo"), "set", self.file.logo)
        if self.file.language:
            yield Edit(("job", "language"), "set", self.file.language)
        if self.file.paper:
            yield Edit(("job", "paper"), "set", self.file.paper)
        if self.file.counting:
            yield Edit(("job", "counting"), "set", self.file.counting)
        if self.file.photos:
            yield Edit(("job", "photos"), "set", self.file.photos)
        if self.file.saw is not None:
            yield Edit(("job", "saw"), "set", list(self.file.saw))
        if self.file.rules:
            yield Edit(("fastening", "rules"), "set", self.file.rules)


def _keys(known: Iterable[Nail | Bolt]) -> list[str]:
    return [each.key for each in known]


def read_firm(folder: Folder) -> Firm:
    """The firm of a folder; one without a name where there is no file.

    Raises:
        FirmError: the file cannot be used; says why.
    """
    try:
        return firm_of(folder, folder.read(FILE))
    except NotOnDeskError:
        return Firm()


def firm_of(folder: Folder, text: str | None) -> Firm:
    """The firm that a text of such a file makes; one without a name where there is none.

    Args:
        folder: that its logo lies in.
        text: of the file.

    Raises:
        FirmError: it cannot be used; says why.
    """
    if text is None:
        return Firm()
    try:
        data = tomllib.loads(text)
        file = FirmFile.model_validate(data)
        if file.logo:
            read_logo(folder.root, file.logo, "logo")
        return Firm(file, tuple(data.get("screws", ())))
    except JobError as fault:
        raise FirmError(f"{FILE}: logo: {english(fault.findings[0].message)}") from None
    except ValidationError as fault:
        said = "; ".join(
            f"{'.'.join(map(str, e['loc']))}: {reason(e['msg'])}" for e in fault.errors()
        )
        raise FirmError(f"{FILE}: {said}") from None
    except ValueError as fault:
        raise FirmError(f"{FILE} is not TOML: {fault}") from None
