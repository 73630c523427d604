"""The list of enquiries."""

from api.filters.base import Day, Filters, PartNumber, Word, rows_of
from fitment.models import Enquiry

enquiries = rows_of(Enquiry)


class EnquiryFilters(Filters):
    asked_on = Day("asked_on", text="Asked on this day.")
    maker = Word("maker", enquiries, "maker", text="Asked about this maker.")
    chassis = Word("chassis", enquiries, "chassis", text="Asked about this chassis.")
    variant = Word("variant", enquiries, "variant", text="Asked about this variant.")
    location = Word("location", enquiries, "location", text="Asked about this place, `END.LOCATION`.")
    number = PartNumber("number", text="Asked about this number, in any spelling.")
