"""EN 1995-1-1:2004 + AC:2006 + A1:2008 + A2:2014, timber structures, general rules.

Basis: N, mm, N/mm2, kg/m3, rad. One module per subject, one pure function per clause; symbols
keep the standard's case. The text itself was not at hand: what each table file is worth stands
in its header, and the published examples that the functions reproduce are in `tests/published`.
"""

DOCUMENT = "EN 1995-1-1:2004+A2:2014"
