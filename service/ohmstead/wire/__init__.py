"""JSON shapes and their translation into the calculation's models and back."""
