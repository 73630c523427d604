"""`/number/NUMBER/`."""
