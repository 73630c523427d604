"""Questions answered and facts written: what pages, API and commands call."""
