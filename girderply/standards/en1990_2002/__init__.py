"""EN 1990:2002+A1:2005, basis of structural design: partial factors and one combination."""

DOCUMENT = "EN 1990:2002+A1:2005"
