"""The files of a delivery of one or several girders, beside the packs of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule

NOTE, LABELS, WORKBOOK = "delivery-note.pdf", "bundle-labels.pdf", "delivery.xlsx"


def delivery_files(schedules: Sequence[Schedule], head: str = "") -> dict[str, bytes]:
    """Name -> content: delivery note, bundle labels, workbook, and one DXF per girder.

    A girder's drawing is named after its pack. Nothing is written.

    Args:
        schedules: of the girders, in the order of the note.
        head: sha256 of the delivery's last entry in the register, for the note; empty for none.

    Raises:
        DeliveryError: no girder, the same one twice, or girders in different unit systems.
        OutputError: a page template could not be laid out.
    """
    from girderply.exchange.dxf_out import dxf_bytes
    from girderply.exchange.pack_files import pack_name
    from girderply.exchange.xlsx_out import xlsx_bytes
    from girderply.papers.supplier.delivery_note import delivery_pdf
    from girderply.papers.supplier.labels import labels_pdf
    from girderply.schedule.total import delivery_units

    delivery_units(schedules)
    packs = [pack_name(s) for s in schedules]
    return {
        NOTE: delivery_pdf(schedules, packs, head),
        LABELS: labels_pdf(schedules),
        WORKBOOK: xlsx_bytes(schedules),
        **{f"{pack}.dxf": dxf_bytes(s) for pack, s in zip(packs, schedules, strict=True)},
    }
