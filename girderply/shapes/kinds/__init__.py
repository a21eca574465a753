"""One file per trade shape, each with its `SHAPE`; the registry finds them by themselves."""
