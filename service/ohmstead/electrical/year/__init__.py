"""The year, month by month: what the loads take against what sun and supplies bring."""
