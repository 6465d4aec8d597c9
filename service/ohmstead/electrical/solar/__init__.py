"""The sun of a site, month by month."""
