"""One way in: a text, a form or parameters -> a Description."""
