"""A bank that is there: what it holds, what it gives and takes, and its voltages, as its owner describes it."""
