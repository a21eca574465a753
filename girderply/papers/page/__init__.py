"""What every sheet is made of: blocks, furniture, charts, and how they become files."""
