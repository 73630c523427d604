"""`job/` and `job/instruction/{code}/`."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict
from rest_framework.request import Request

from api.codec import encode
from api.endpoint import ReadEndpoint
from api.parameters import Parameter, checked
from api.problems import NotFound
from api.schema import Answered
from api.views.fitment import CAR_PARAMETERS
from catalog.codes import Side
from fitment.answers.job import InstructionCheck
from fitment.answers.job import Job as PlannedJob
from fitment.job.instruction import is_code
from fitment.query.job_parameters import JobRequest, parse_job
from fitment.query.parameters import as_lists
from fitment.services.jobs.instructions import compare_instruction
from fitment.services.jobs.planning import plan_job

JOB_PARAMETERS = (
    *CAR_PARAMETERS,
    Parameter(
        "part",
        "A part of the job, at most 20: `LM-210`, `LM-210@B`, `LM-210:front.tension_link.inner`.",
        repeatable=True,
        required=True,
    ),
    Parameter("side", "The side done; both by default.", values=tuple(Side.values)),
    Parameter("equipment", "`shop` (the default), `home`, or codes separated by commas."),
)
EDITION = Parameter("edition", "The edition printed on the instruction.", kind="integer", minimum=1)


class JobEndpoint(ReadEndpoint):
    """The job plan of one or more parts on one car.

    Beside the parameters named, `option.CODE` (yes, no) and `component.END.LOCATION` (a component) state the car. A
    422 carries `reason`, and where there is no plan `opens`: by goal the smallest sets of equipment that would open
    it.
    """

    parameters = JOB_PARAMETERS
    counted = True
    problems = (422,)
    answers = {"GET": Answered(PlannedJob)}

    def read(self, request: Request, **keys: str) -> JobRequest:
        return parse_job(request.GET, self.role)

    def compute(self, asked: JobRequest) -> Mapping[str, Any]:
        return encode(plan_job(request=asked, viewer=self.role), self.role)


@dataclass(frozen=True, slots=True)
class Printed:
    """A printed instruction: its code, the job it is of, the edition printed on it."""

    code: str
    request: JobRequest
    edition: int | None


class Instruction(ReadEndpoint):
    """Whether a printed instruction is current, and what changed since the edition printed on it."""

    parameters = (*JOB_PARAMETERS, EDITION)
    counted = True
    problems = (422,)
    answers = {"GET": Answered(InstructionCheck)}

    def read(self, request: Request, **keys: str) -> Printed:
        code = keys["code"].upper()
        if not is_code(code):
            raise NotFound("instruction", keys["code"])
        query = as_lists(request.GET)
        edition = query.pop(EDITION.name, [])
        job = parse_job(query, self.role)
        alone = QueryDict(mutable=True)
        alone.setlist(EDITION.name, edition)
        values = checked(alone, (replace(EDITION, maximum=self.current.edition),)) if edition else {}
        return Printed(code, job, int(values["edition"][0]) if values else None)

    def compute(self, asked: Printed) -> Mapping[str, Any]:
        found = compare_instruction(code=asked.code, request=asked.request, since=asked.edition, viewer=self.role)
        return encode(found, self.role)
