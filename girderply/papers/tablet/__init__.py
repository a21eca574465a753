"""The inspector's tick-off: one HTML file for a tablet without network."""
