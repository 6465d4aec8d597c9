"""Protection of people: which devices a circuit of alternating current needs."""
