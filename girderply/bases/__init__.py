"""One object per design basis, behind one protocol; what judges is asked, never known by name.

A basis is a document with its choices: EN 1995-1-1 with partial factors, NDS with allowable
stresses. Each answers the same questions (`protocol.Basis`), and `registry` knows them by the name
that a job gives. The clauses themselves are pure functions in `girderply.standards`.
"""
