"""Which catalogue this is, and which edition it stands at."""

from dataclasses import dataclass
from datetime import date

from catalog.models import Catalogue


@dataclass(frozen=True, slots=True)
class CurrentCatalogue:
    """The catalogue's row: two equal states give equal answers to one question.

    Before the first load there is no row: an empty code at edition 0.
    """

    code: str = ""
    edition: int = 0
    as_of: date | None = None
    enquiry_count: int = 0
    job_time_count: int = 0


def current_catalogue() -> CurrentCatalogue:
    """The state now; one query, of one row."""
    row = Catalogue.objects.values_list("code", "edition", "as_of", "enquiry_count", "job_time_count").first()
    return CurrentCatalogue(*row) if row else CurrentCatalogue()
