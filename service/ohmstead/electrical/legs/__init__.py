"""Two live legs and the neutral that they share."""
