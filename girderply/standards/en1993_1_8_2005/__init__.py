"""EN 1993-1-8:2005, design of steel joints: bolts in tension."""

DOCUMENT = "EN 1993-1-8:2005"
