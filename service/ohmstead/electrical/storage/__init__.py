"""Storage: how many units of which kind, and what the bank that they make can give and take."""
