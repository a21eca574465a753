"""EN 338:2016, strength classes of structural timber: the values that joints need."""

DOCUMENT = "EN 338:2016"
