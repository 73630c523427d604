"""Addresses of the API, part by part."""

from urllib.parse import quote

ROOT = "/api/v1/"


def address(*parts: str) -> str:
    """The path that leads to a row.

    >>> address("numbers", "Nord & Co", "TK8046")
    '/api/v1/numbers/Nord%20%26%20Co/TK8046/'
    """
    return ROOT + "/".join(quote(part, safe="") for part in parts) + "/"
