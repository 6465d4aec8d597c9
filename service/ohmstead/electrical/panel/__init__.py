"""The alternating-current panel that is there, divided between the old panel and one behind an inverter."""
