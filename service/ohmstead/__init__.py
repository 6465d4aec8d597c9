"""Sizes electrical systems of vehicles, boats and cabins, and says how each number was reached."""
