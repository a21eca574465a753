"""Papers for the supplier: cover, order list, labels, delivery note, batch."""
