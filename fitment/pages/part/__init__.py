"""`/part/CODE/`."""
