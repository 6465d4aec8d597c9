"""Ohmstead: a wish list for a vehicle, boat or cabin turned into a safe, explained electrical plan."""
