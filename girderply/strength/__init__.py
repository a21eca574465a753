"""What must pass between plies, what fasteners carry there, and the checks of one by the other."""
