"""`cross-reference/`, `vin/`, `enquiries/`: what a caller reads off a part or a car."""

import datetime as dt
from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import urlencode

from django.http import HttpResponse
from rest_framework import serializers
from rest_framework.request import Request

from api.addresses import address
from api.authentication import EnquiryThrottle
from api.codec import encode
from api.endpoint import Endpoint, ReadEndpoint
from api.parameters import VIN_REFUSED, Parameter, checked, one
from api.problems import Problem, bad_body
from api.resources.endpoints import ListEndpoint
from api.resources.evidence import ENQUIRIES
from api.schema import Answered
from catalog.codes import Role
from catalog.nearest import unknown
from catalog.selectors import current_catalogue
from catalog.vin import BadVin, has_vin_shape
from fitment.answers.lookup import LookUp
from fitment.errors import BadParameters
from fitment.services.demand import DayIsFull, enquiry_check, enquiry_log
from fitment.services.fit.vin import VinAnswer, vin_decode
from fitment.services.lookup.numbers import look_up

NEXT_QUESTION = Annotated[str | None, "The question that follows, or null where nothing is known of the car."]


class VinBody(serializers.Serializer[Any]):
    """The number, which is read and forgotten."""

    vin = serializers.CharField(help_text="17 signs; spaces and hyphens are passed over.")


class EnquiryBody(serializers.Serializer[Any]):
    """A question without an answer; at least one field."""

    maker = serializers.CharField(required=False)
    chassis = serializers.CharField(required=False)
    variant = serializers.CharField(required=False)
    location = serializers.CharField(required=False, help_text="`END.LOCATION`.")
    number = serializers.CharField(required=False)


class CrossReference(ReadEndpoint):
    """What a number or stamp is, its chain, its cars, its upgrades; 200 whether or not it is known."""

    parameters = (
        Parameter("number", "A part number or a stamp `PART-REV BATCH`, in any spelling.", required=True),
        Parameter("issuer", "Whose number it is; without it every issuer's."),
    )
    answers = {"GET": Answered(LookUp)}

    def read(self, request: Request, **keys: str) -> LookUp:
        values = checked(request.GET, self.parameters)
        return look_up(number=one(values, "number") or "", issuer=one(values, "issuer"), viewer=self.role)

    def compute(self, asked: LookUp) -> Mapping[str, Any]:
        return encode(asked, self.role)


class Vin(Endpoint):
    """What a VIN tells of the car. It is posted, read and forgotten: not stored, logged or part of an address."""

    answers = {"POST": Answered(VinAnswer, more={"valid": bool, "href": NEXT_QUESTION})}
    takes = VinBody

    def post(self, request: Request) -> HttpResponse:
        text = _texts(request.data, ("vin",)).get("vin", "")
        try:
            found = vin_decode(text=text)
        except BadVin as error:
            raise bad_body([("vin", str(error))]) from None  # the cause would carry the number into logs
        self.current = current_catalogue()
        href = f"{address('fitment')}?{urlencode(found.query)}" if found.query else None
        return self.reply({**encode(found, self.role), "valid": True, "href": href})


class EnquiryList(ListEndpoint):
    """Questions that found no answer, by day; anybody may log one."""

    resource = ENQUIRIES
    created = True
    takes = EnquiryBody
    problems = (429,)

    def get_throttles(self) -> list[Any]:
        return [EnquiryThrottle()] if self.request.method == "POST" else super().get_throttles()

    def post(self, request: Request) -> HttpResponse:
        values = _texts(request.data, ("maker", "chassis", "variant", "location", "number"))
        try:
            asked = enquiry_check(values)
        except BadParameters as error:
            raise bad_body(error.errors) from None
        try:
            row = enquiry_log(asked=asked, today=dt.datetime.now(dt.UTC).date())
        except DayIsFull as error:
            raise Problem(429, f"{error}.", headers={"Retry-After": str(_seconds_to_midnight())}) from None
        self.current = current_catalogue()
        return self.reply(ENQUIRIES.row.write(row, Role.SALES), status=201)


EnquiryList.answers = {**EnquiryList.answers, "POST": ENQUIRIES.row.alone("Logged")}


def _texts(body: Any, known: tuple[str, ...]) -> dict[str, str]:
    """The fields of a body that takes texts only."""
    if not isinstance(body, dict):
        raise bad_body([("body", f"is an object with {', '.join(known)}")])
    errors = [(name, unknown("field", name, known)) for name in body if name not in known]
    errors = [(field, VIN_REFUSED if has_vin_shape(field) else message) for field, message in errors]
    for name in known:
        if name in body and body[name] is not None and not isinstance(body[name], str):
            errors.append((name, "is a text"))
    if errors:
        raise bad_body(errors)
    return {name: body[name] for name in known if body.get(name)}


def _seconds_to_midnight() -> int:
    now = dt.datetime.now(dt.UTC)
    tomorrow = dt.datetime.combine(now.date() + dt.timedelta(days=1), dt.time(), dt.UTC)
    return int((tomorrow - now).total_seconds()) + 1
