"""Where every nail, bolt and washer goes: rule set and girder in, fasteners and findings out."""
