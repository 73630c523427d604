"""The list of enquiries."""

from api.filters.base import Filters, Word, rows_of
from fitment.models import Enquiry

enquiries = rows_of(Enquiry)


class EnquiryFilters(Filters):
    maker = Word("maker", enquiries, "maker", text="Asked about this maker.")
    chassis = Word("chassis", enquiries, "chassis", text="Asked about this chassis.")
    variant = Word("variant", enquiries, "variant", text="Asked about this variant.")
    location = Word("location", enquiries, "location", text="Asked about this place, `END.LOCATION`.")
    number = Word("number", enquiries, "number", text="Asked about this number, in normal form.")
