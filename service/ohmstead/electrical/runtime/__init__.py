"""Run time: how long loads run from a bank, new and aged, and how sure that is."""
