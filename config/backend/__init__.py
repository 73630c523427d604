"""A database backend: Django's for PostgreSQL, which first sees to it that the private server runs."""
