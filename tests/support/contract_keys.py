"""The stable keys of schedule.json, typed from the documented contract; "" is the top."""

from __future__ import annotations

from typing import Any

KEYS = {
    "": "schema generator job basis content_hash girder members joints plates loads runs "
    "fasteners stages totals checks findings assumed brackets",
    "generator": "name version libraries",
    "job": "number revision",
    "basis": "standard rules",
    "girder": "mark quantity plies ply_thickness_mm length_mm height_mm mass_kg",
    "members": "id role depth_mm length_mm hook_end far_end outline",
    "joints": "id x y members",
    "plates": "joint outline assumed",
    "loads": "id chord face x_mm design_N plies_reached combination",
    "runs": "id member stage first_mm step_mm marks rows row_offsets_mm parity left_out single",
    "fasteners": "id kind spec member joint x_mm y_mm station_mm offset_mm row stage face "
    "from_ply to_ply interfaces purpose load run",
    "stages": "number title action counts",
    "brackets": "load chord face station width height flush_edge flush_offset assumed",
    "totals": "nails screws bolts washers nuts by_spec mass_kg",
    "checks": "id subject demand resistance unit utilisation ok clause mode",
    "findings": "code severity where message clause",
    "assumed": "key what value where why on_girder confirmed",
}


def missing_keys(contract: dict[str, Any]) -> set[tuple[str, str]]:
    """(part, key) of every stable key that is not there, in every item of every list."""
    missing = set()
    for part, keys in KEYS.items():
        at = contract[part] if part else contract
        for item in at if isinstance(at, list) else [at]:
            missing |= {(part, key) for key in keys.split() if key not in item}
    return missing
