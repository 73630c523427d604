"""The first page: the box and the steps."""
