"""The photovoltaic array: power from the design month, strings inside the controller's window."""
