"""What must hold of the catalogue as a whole, a concern a module; pure functions over the draft."""
