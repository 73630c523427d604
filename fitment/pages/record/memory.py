"""What this phone recorded last: its cars, the part, the instrument; codes only, kept in a cookie of this page."""

from collections.abc import Mapping
from urllib.parse import parse_qs, urlencode

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

COOKIE = "recorded"
CARS = 5
LASTING = ("fitted", "equipment")
_AGE = 90 * 86400


class Memory:
    """Read from the cookie; what it names may be gone from the catalogue meanwhile."""

    def __init__(self, request: HttpRequest) -> None:
        said = parse_qs(request.COOKIES.get(COOKIE, "")[:2000])
        self.cars = said.get("variant", [])[:CARS]
        self._values = {name: values[0] for name, values in said.items() if name != "variant"}

    def last(self, name: str) -> str:
        return self._values.get(name, "")

    def keep(self, answer: HttpResponseBase, row: Mapping[str, str]) -> None:
        """Notes a stored row for the next time."""
        values = dict(self._values)
        if row.get("part") and row.get("revision"):
            values["fitted"] = f"{row['part']} {row['revision']}"
        if row.get("equipment"):
            values["equipment"] = row["equipment"]
        if row.get("feature") and row.get("uncertainty_mm"):
            values[instrument(row["feature"])] = row["uncertainty_mm"]
        cars = list(dict.fromkeys(filter(None, (row.get("variant"), *self.cars))))[:CARS]
        answer.set_cookie(
            COOKIE, urlencode({**values, "variant": cars}, doseq=True), max_age=_AGE, path="/test-fit/",
            secure=settings.SESSION_COOKIE_SECURE, httponly=True, samesite="Lax",
        )  # fmt: skip


def instrument(feature: str) -> str:
    """Under which name the uncertainty of the instrument for a feature is remembered."""
    return f"uncertainty.{feature}"
