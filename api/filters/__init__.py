"""One module per resource: how its list is narrowed."""
