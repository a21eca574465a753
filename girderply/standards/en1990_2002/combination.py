"""Partial factors of actions and the fundamental combination of one variable action."""

from __future__ import annotations

from girderply.standards.tables import load


def gamma_F(action: str, *, favourable: bool) -> float:
    """Recommended partial factor of an action; a national annex may say otherwise.

    [EN 1990:2002+A1:2005, A1.3.1, Table A1.2(B)]

    Args:
        action: one of "permanent", "variable".
        favourable: True where the action helps.

    Returns:
        gamma, no unit.

    Raises:
        RangeError: an action that the table does not have.
    """
    row = load(__package__, "table_a1_2_b").row(action=action)
    return float(row["favourable" if favourable else "unfavourable"])
