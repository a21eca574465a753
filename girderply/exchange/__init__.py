"""Files other programs read: the JSON contract, tables, and how they are written whole."""
