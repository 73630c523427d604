"""Pages of the facts: accounts."""
