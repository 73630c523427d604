"""`/test-fit/new/`."""
