"""Questions that found no answer."""
