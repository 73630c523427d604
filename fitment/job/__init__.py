"""How a car is opened, how long it takes, how hard it is, with what: pure functions over frozen facts."""
