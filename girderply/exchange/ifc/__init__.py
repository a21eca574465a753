"""IFC4 out: the girder, its plies, members, plates and fasteners for building models."""
