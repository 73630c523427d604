"""The frozen facts that rules, jobs, engineering and coverage read. Pure."""
