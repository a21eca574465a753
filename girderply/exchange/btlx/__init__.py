"""BTLx out: parts with holes, marks and texts for the plant's saw."""
