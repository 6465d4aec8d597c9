"""How units in parallel share a current."""
