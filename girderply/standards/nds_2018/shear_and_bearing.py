"""Members beside a connection and over a bearing: 3.4.3.3, 3.10, and their design values."""

from __future__ import annotations

from girderply.standards import guards
from girderply.standards.tables import load

# K_cr of deformation under lasting load, 3.5.2, Eq. (3.5-1); values from memory.
K_CR_SEASONED = 1.5  # dry when made and in use
K_CR_UNSEASONED = 2.0  # wet when made or in use
C_M_SHEAR = 0.97  # of F_v above 19 % moisture, Supplement Table 4A; value from memory
C_M_ACROSS = 0.67  # of F_c_perp above 19 % moisture, Supplement Table 4A; value from memory


def F_v_psi(species: str) -> float:
    """Reference shear design value along the grain.

    [NDS 2018, Supplement Tables 4A, 4B]

    Args:
        species: one of the groups of the table.

    Returns:
        F_v, psi.

    Raises:
        RangeError: a species that the table does not have.
    """
    return float(load(__package__, "table_4a").row(species=species)["F_v_psi"])


def F_c_perp_psi(species: str) -> float:
    """Reference compression design value across the grain.

    [NDS 2018, Supplement Tables 4A, 4B]

    Args:
        species: one of the groups of the table.

    Returns:
        F_c_perp, psi.

    Raises:
        RangeError: a species that the table does not have.
    """
    return float(load(__package__, "table_4a").row(species=species)["F_c_perp_psi"])


def V_r_lb(F_v_psi: float, b_in: float, d_in: float, d_e_in: float, to_end_in: float) -> float:
    """Adjusted design shear of a member at a connection across its grain.

    [NDS 2018, 3.4.3.3, Eq. (3.4-6), (3.4-7)]

    Args:
        F_v_psi: adjusted shear design value along the grain, psi.
        b_in: width of the member, in.
        d_in: its depth, in.
        d_e_in: depth less the distance from the unloaded edge to the nearest fastener, in;
            0 to d_in.
        to_end_in: from the connection to the nearer end of the member, in.

    Returns:
        V_r', lb: nearer to an end than 5 d the square of d_e/d counts besides.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(F_v_psi=F_v_psi, b_in=b_in, d_in=d_in)
    guards.within(0.0, d_in, d_e_in=d_e_in)
    guards.not_negative(to_end_in=to_end_in)
    near = (d_e_in / d_in) ** 2 if to_end_in < 5 * d_in else 1.0
    return 2 / 3 * F_v_psi * b_in * d_e_in * near


def C_b(l_b_in: float, to_end_in: float) -> float:
    """Bearing area factor.

    [NDS 2018, 3.10.4, Eq. (3.10-2)]

    Args:
        l_b_in: length of the bearing along the grain, in.
        to_end_in: from the bearing to the nearer end of the member, in.

    Returns:
        C_b, no unit: 1 for bearings of 6 in and more, or nearer to an end than 3 in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(l_b_in=l_b_in)
    guards.not_negative(to_end_in=to_end_in)
    return (l_b_in + 0.375) / l_b_in if l_b_in < 6.0 and to_end_in >= 3.0 else 1.0


def P_perp_lb(F_c_perp_psi: float, b_in: float, l_b_in: float, C_b: float) -> float:
    """Adjusted design load across the grain over a bearing.

    [NDS 2018, 3.10.2]

    Args:
        F_c_perp_psi: adjusted compression design value across the grain, psi.
        b_in: width of the bearing, in.
        l_b_in: its length along the grain, in.
        C_b: bearing area factor, no unit.

    Returns:
        The load, lb.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(F_c_perp_psi=F_c_perp_psi, b_in=b_in, l_b_in=l_b_in, C_b=C_b)
    return F_c_perp_psi * b_in * l_b_in * C_b
