"""HTTP: routes, negotiation, problems, documents. No calculation."""
