"""The fixtures of the pages' tests, for those that stand here."""

from tests.fitment.pages.conftest import client_of, open_page, small

__all__ = ["client_of", "open_page", "small"]
