"""Where neutral and earth meet in each mode, and the conductors that bond metal, earth and battery."""
