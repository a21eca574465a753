"""Fasteners as they are set out and driven: runs of marks along a member."""
