"""The few things a reader chooses about a job: sides, equipment, units."""

from catalog.selectors.titles import tool_titles
from fitment.pages.job.units import UNIT_WORDS
from fitment.pages.shared.addresses import Query
from fitment.pages.shared.forms import PageForm
from fitment.query.job_parameters import JobRequest


def choosing(query: Query, request: JobRequest, units: str) -> dict[str, object]:
    """Fields of the form, and what it carries along unseen."""
    equipment = request.equipment if isinstance(request.equipment, str) else ",".join(request.equipment)
    kinds = [("shop", "a workshop with everything"), ("home", "a home garage")]
    if equipment not in ("shop", "home"):
        titles = tool_titles(codes=equipment.split(","))
        kinds.append((equipment, ", ".join(titles.get(code, code) for code in equipment.split(","))))
    sides = tuple((side, side) for side in ("both", "left", "right"))
    form = PageForm(initial={"side": request.side, "equipment": equipment, "units": units})
    form.add("side", "Sides", choices=sides)
    form.add("equipment", "Equipment", choices=kinds)
    form.add("units", "Units", choices=UNIT_WORDS)
    kept = tuple((name, value) for name, values in query.items() if name not in form.fields for value in values)
    return {"fields": form, "kept": kept}
