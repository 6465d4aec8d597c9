"""From a brief to a plan: complete, size in order, draw, verify."""
