"""Shears at the interfaces of a stack, for the tests of its limit."""

from __future__ import annotations

from girderply.errors import RangeError


def one_face_pattern(plies: int) -> tuple[float, ...]:
    """Shear at interface k for a unit load on ply 1 shared equally: (n - k)/n, k = 1..n-1."""
    return tuple((plies - k) / plies for k in range(1, plies))


def shears_of(resultants: tuple[float, ...]) -> tuple[float, ...]:
    """Interface shears of ply resultants: running sums, without the last, which must be zero.

    Args:
        resultants: (n,) what each ply puts into the fastener, any force unit.

    Raises:
        RangeError: the resultants are not in equilibrium.
    """
    sums = [0.0]
    for r in resultants:
        sums.append(sums[-1] + r)
    if not abs(sums[-1]) <= 1e-9 * max(abs(r) for r in resultants):
        raise RangeError(f"ply resultants must sum to zero, got {resultants}")
    return tuple(sums[1:-1])
