"""Strength classes of EN 338:2016, Table 1; value from memory, fv, fc90, E, G, rho as in a public
table that was read."""

import pytest

from girderply.standards.en338_2016.classes import strength_class


@pytest.mark.parametrize(
    ("name", "f_c_90_k", "E_0_mean", "rho_k", "rho_mean"),
    [("C16", 2.2, 8000, 310, 370), ("C24", 2.5, 11000, 350, 420), ("C30", 2.7, 12000, 380, 460)],
)
def test_rows_typed_again(name, f_c_90_k, E_0_mean, rho_k, rho_mean):
    found = strength_class(name)
    assert (found.f_c_90_k, found.E_0_mean) == (f_c_90_k, E_0_mean)
    assert (found.rho_k, found.rho_mean) == (rho_k, rho_mean)
