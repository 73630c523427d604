"""Jobs: planned, ordered, compared with a printed sheet."""
