"""The calculations by subject: each has a model, formulas (arithmetic) and sizing (decisions)."""
