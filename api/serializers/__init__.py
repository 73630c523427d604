"""One module per resource: how rows and answers are written."""
