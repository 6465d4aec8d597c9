"""Facts that we did not work out: citations, certified tables, practices, defaults, finding codes."""
