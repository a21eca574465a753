"""The schedule: everything that is decided about one girder, and what it is made from."""
