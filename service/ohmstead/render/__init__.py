"""A plan as a person reads it: rounding and words, no calculation."""
