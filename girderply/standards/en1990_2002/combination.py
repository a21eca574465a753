"""Partial factors of actions and the fundamental combination of one variable action."""

from __future__ import annotations

from girderply.standards import guards
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


def E_d(G_k: float, Q_k: float, gamma_G: float, gamma_Q: float) -> float:
    """Design value of a permanent and one variable action together.

    [EN 1990:2002+A1:2005, 6.4.3.2(3), Eq. (6.10)]

    Args:
        G_k: permanent action, N, with its sign.
        Q_k: variable action, N, with its sign.
        gamma_G: partial factor of the permanent action, no unit.
        gamma_Q: partial factor of the variable action, no unit.

    Returns:
        E_d, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.finite(G_k=G_k, Q_k=Q_k)
    guards.not_negative(gamma_G=gamma_G, gamma_Q=gamma_Q)
    return gamma_G * G_k + gamma_Q * Q_k
