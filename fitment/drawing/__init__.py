"""Pure geometry: facts and plans -> points and lines that a template draws. No Django in here."""
