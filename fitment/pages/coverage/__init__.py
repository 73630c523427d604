"""The developers' pages: which platforms still need a design, one cell of it, sizes, corners, records."""
