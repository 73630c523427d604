"""What fits one car, and what a person means by a line of text."""
