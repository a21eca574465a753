"""NDS 2018, National Design Specification for Wood Construction, chapters 11, 12 and 15.3.

Basis: inch, pound, psi as in the document; names say so (`_in`, `_lb`, `_psi`). Angles in rad.
Whoever works in N and mm converts at the call (`girderply.units.exact`). Values are
not rounded, except dowel bearing strength, which the document's tables round before use.
"""

DOCUMENT = "NDS 2018"
