"""NDS 2018, National Design Specification for Wood Construction, chapters 11, 12 and 15.3.

Basis: inch, pound, psi as in the document; names say so (`_in`, `_lb`, `_psi`). Angles in rad.
Whoever works in N and mm converts at the call (`MM_PER_IN`, `N_PER_LB`, `MPA_PER_PSI`). Values are
not rounded, except dowel bearing strength, which the document's tables round before use.
"""

MM_PER_IN = 25.4
N_PER_LB = 4.4482216152605
MPA_PER_PSI = N_PER_LB / MM_PER_IN**2
DOCUMENT = "NDS 2018"
