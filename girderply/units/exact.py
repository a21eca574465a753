"""Inches and pounds in internal units, exact.

Source: international yard and pound agreement of 1959, and standard gravity (ISO 80000-3).
"""

MM_PER_IN = 25.4
KG_PER_LB = 0.45359237
N_PER_LB = KG_PER_LB * 9.80665  # pound-force
MPA_PER_PSI = N_PER_LB / MM_PER_IN**2
