"""Which cars have a part, what the others wait for, and why."""
