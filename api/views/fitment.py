"""`fitment/` and `fitment/bulk/`."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse
from rest_framework import serializers
from rest_framework.request import Request

from api import codec
from api.addresses import address
from api.bodies import refuse_vins
from api.caching import tag_of
from api.codec import encode
from api.endpoint import TRIES, CatalogueMoves, Endpoint, ReadEndpoint
from api.pagination import PageRequest, page_answer, page_of_rows, read_page
from api.parameters import PAGING, Errors, Parameter, checked, control_sign
from api.problems import NotFound, Problem, as_problem, bad_body, members
from api.schema import Answered
from catalog.codes import Duty, End, Role
from catalog.selectors.visible import visible_parts
from fitment.answers.fit import Answer, CatalogueRef, HomeFigures, JobFigures, PartCar
from fitment.domain.description import Question
from fitment.errors import BadParameters, FitmentError
from fitment.query.parameters import parse_question
from fitment.readers.editions import at_edition
from fitment.services.fit.answering import answer_question
from fitment.services.fit.part_cars import part_cars, variants_of_part
from fitment.services.jobs.planning import JobSummaries, job_summaries

MOST_CARS = 1000

CAR_PARAMETERS = (
    Parameter("variant", "One car as its maker sold it."),
    Parameter("maker", "Its maker."),
    Parameter("chassis", "Its chassis."),
    Parameter("designation", "Its designation."),
    Parameter("body", "Its body."),
    Parameter("engine", "Its engine."),
    Parameter("drivetrain", "Its driven wheels."),
    Parameter("steering", "Its steering side."),
    Parameter("market", "Its market."),
    Parameter("built", "2018, 2018-05, 2018-05-14 or 2016-03..2018-07, either end open.", repeatable=True),
    Parameter("registered", "A full day: built on or before.", repeatable=True),
    Parameter("model_year", "Built from 2 January of the year before to 31 December.", repeatable=True),
)
# Beside these, `option.CODE=yes|no` and `component.END.LOCATION=CODE`: as many as the catalogue has.
QUESTION_PARAMETERS = (
    *CAR_PARAMETERS,
    Parameter("skip", "An attribute not to be asked for.", repeatable=True),
    Parameter("part", "Answers for this part.", repeatable=True),
    Parameter("location", "Answers at this location.", repeatable=True),
    Parameter("end", "Answers at this end.", values=tuple(End), repeatable=True),
    Parameter("duty", "Answers for parts of this duty.", values=tuple(Duty), repeatable=True),
    Parameter("technology", "Answers for parts of this technology.", repeatable=True),
    Parameter("equipment", "`shop`, `home`, or codes separated by commas: what the jobs may use."),
    Parameter("include", "`job` adds the job to each answer.", values=("job",)),
)


class Fitment(ReadEndpoint):
    """The answer for one car, as far as it is known.

    Beside the parameters named, `option.CODE` (yes, no) and `component.END.LOCATION` (a component) state the car.
    """

    parameters = QUESTION_PARAMETERS
    problems = (422,)
    answers = {"GET": Answered(Answer)}

    def read(self, request: Request, **keys: str) -> Question:
        return parse_question(request.GET, self.role)

    def compute(self, asked: Question) -> Mapping[str, Any]:
        answer = answer_question(question=asked, viewer=self.role)
        if asked.include_job:
            answer = with_jobs(answer, job_summaries(question=asked, answers=answer))
        return encode(answer, self.role)

    def tag(self, request: Request) -> str:
        """Jobs learn from recorded times: with them the counters count too."""
        url = request.build_absolute_uri()
        return tag_of(self.current, role=self.role, url=url, counted="include" in request.GET)


def with_jobs(answer: Answer, jobs: JobSummaries) -> Answer:
    """The answer with the figures of each part's job, and the address of all of it."""

    def figures(part: str, end: str | None, location: str | None) -> JobFigures | None:
        found = jobs.get((part, end or "", location or ""))
        if found is None:
            return None
        summary, request = found
        home = HomeFigures(summary.home.possible, summary.home.grade, summary.home.hours)
        href = f"{address('job')}?{urlencode(request.parameters(), safe=':@,.')}"
        values = {name: getattr(summary, name) for name in summary.__slots__}
        return JobFigures(**{**values, "home": home}, href=href)

    answers = tuple(replace(one, job=figures(one.part, one.end, one.location)) for one in answer.answers)
    return replace(answer, answers=answers)


class BulkCarSerializer(serializers.Serializer[Any]):
    """A car: `ref`, and the parameters of `fitment/` as texts or lists of texts."""

    ref = serializers.CharField(help_text="The caller's own name for it, given back.")


class BulkSerializer(serializers.Serializer[Any]):
    """Up to 1,000 cars."""

    cars = BulkCarSerializer(many=True)
    parts = serializers.ListField(child=serializers.CharField(), required=False, help_text="As `part`, for each.")


class BulkAnswers(Answered):
    """For each car, in the order asked, what `fitment/` answers, or its problem."""

    def schema(self, named: Callable[[type], codec.Schema]) -> codec.Schema:
        car = codec.object_schema(Answer, named)
        problem = {"$ref": "#/components/schemas/Problem"}
        members = {"ref": {"type": "string"}, **car["properties"], "problem": problem}
        del members["catalogue"]
        item = {"type": "object", "description": "The answer for a car, or its problem.", "properties": members}
        cars = {"type": "array", "items": {**item, "required": ["ref"]}}
        properties = {"catalogue": named(CatalogueRef), "cars": cars}
        text = "An answer or a problem for each car, in the order asked."
        return {"type": "object", "description": text, "properties": properties, "required": list(properties)}


class FitmentBulk(Endpoint):
    """Answers for up to 1,000 cars, without questions and jobs."""

    problems = (422,)
    answers = {"POST": BulkAnswers(Answer)}
    takes = BulkSerializer

    def post(self, request: Request) -> HttpResponse:
        role = self.role
        for _ in range(TRIES):
            with at_edition() as self.current:
                cars, parts = read_bulk(request.data, role)
                answers = [_answered(ref, car, parts, role) for ref, car in cars]
            if not self.moved():
                return self.reply({"cars": answers}, at_its_end=False)
        raise CatalogueMoves


Query = dict[str, list[str]]


def read_bulk(body: Any, role: Role) -> tuple[list[tuple[str, Any]], list[str]]:
    """The cars by `ref`, and the parts asked for; raises the 400 problem."""
    if not isinstance(body, dict):
        raise bad_body([("body", 'is not an object; write {"cars": [...]}')])
    errors = [(name, "is not known; use cars, parts") for name in body if name not in ("cars", "parts")]
    cars, parts = body.get("cars"), body.get("parts", [])
    if not isinstance(cars, list) or not all(isinstance(car, dict) for car in cars):
        errors.append(("cars", "is not a list of objects"))
    elif not 1 <= len(cars) <= MOST_CARS:
        errors.append(("cars", f"has {len(cars)} cars; send from 1 to {MOST_CARS}"))
    else:
        errors += _ref_errors(cars)
    if not isinstance(parts, list) or not all(isinstance(part, str) for part in parts):
        errors.append(("parts", "is not a list of texts"))
    elif parts:
        try:
            parse_question({"part": parts}, role)
        except BadParameters as error:
            errors += [("parts", message) for _, message in error.errors]
    if errors:
        raise bad_body(errors)
    return [(car["ref"], car) for car in cars or ()], parts


def _ref_errors(cars: list[dict[str, Any]]) -> list[tuple[str, str]]:
    seen: set[str] = set()
    for place, car in enumerate(cars):
        field = f"cars[{place}].ref"
        ref = car.get("ref")
        if not isinstance(ref, str) or not ref:
            return [(field, "is missing or not a text; give each car one of its own")]
        if ref in seen:
            return [(field, f"'{ref}' is given to two cars")]
        refuse_vins(ref, field)
        seen.add(ref)
    return []


def _answered(ref: str, car: dict[str, Any], parts: list[str], role: Role) -> dict[str, Any]:
    try:
        question = parse_question(_query(car, parts), role)
        answer = answer_question(question=question, viewer=role, ask=False)
    except (FitmentError, Problem) as error:
        problem = as_problem(error, role)
        if problem is None:
            raise
        return {"ref": ref, "problem": members(problem)}
    body = encode(answer, role)
    del body["catalogue"]
    return {"ref": ref, **body}


def _query(car: dict[str, Any], parts: list[str]) -> Query:
    """A car of the body as query parameters."""
    errors: list[tuple[str, str]] = []
    query: Query = {}
    for name, value in car.items():
        values = value if isinstance(value, list) else [value]
        if name == "ref":
            continue
        if name == "include":
            errors.append((name, "has no place in bulk: jobs are asked for one car at a time"))
        elif not all(isinstance(text, str) for text in values):
            errors.append((name, "is not a text or a list of texts; write values as in a query"))
        else:
            query[name] = values
    if errors:
        raise BadParameters(errors)
    if parts:
        query["part"] = [*query.get("part", []), *parts]
    return query


KEY_KINDS = (str, str, str, str)
AT_A_TIME = 50


def _key(row: PartCar) -> tuple[str, ...]:
    return row.variant, row.end, row.location, row.built_from.isoformat()


def _rows(part: str, asked: PageRequest) -> Iterator[PartCar]:
    """The intervals from the cursor's variant on, computed for a few variants at a time as they are read."""
    variants = sorted(variants_of_part(part=part), reverse=asked.backwards)
    if asked.cursor is not None:
        edge = str(asked.cursor.key[0])
        variants = [code for code in variants if (code <= edge if asked.backwards else code >= edge)]
    for start in range(0, len(variants), AT_A_TIME):
        rows = part_cars(part=part, variants=variants[start : start + AT_A_TIME])
        yield from sorted(rows, key=_key, reverse=asked.backwards)


class PartCars(ReadEndpoint):
    """The cars of a part: intervals of equal verdict and revision, by variant and location."""

    parameters = PAGING
    answers = {"GET": Answered(PartCar, paged=True)}

    def read(self, request: Request, **keys: str) -> tuple[str, PageRequest]:
        errors = Errors()
        page = read_page(checked(request.GET, self.parameters, errors), KEY_KINDS, errors)
        part = keys["part"]
        if control_sign(part) or not visible_parts(self.role).filter(code=part).exists():
            raise NotFound("part", "" if control_sign(part) else part)
        return part, page

    def compute(self, asked: tuple[str, PageRequest]) -> Mapping[str, Any]:
        part, wanted = asked
        return page_answer(page_of_rows(_rows(part, wanted), _key, wanted), self.request, self.role)
