"""Every address of version 1; below `/api/` nothing else is served."""

from django.urls import path, re_path

from api.views import (
    components,
    coverage,
    document,
    engineering,
    evidence,
    fitment,
    history,
    jobs,
    lookup,
    part_cars,
    parts,
    procedures,
    reference,
    suspension,
    unknown,
    uploads,
    vehicles,
)

FACTS = [
    path("makers/", vehicles.MakerList.as_view()),
    path("makers/<str:maker>/", vehicles.MakerDetail.as_view()),
    path("platforms/", vehicles.PlatformList.as_view()),
    path("platforms/<str:maker>/<path:chassis>/", vehicles.PlatformDetail.as_view()),
    path("topologies/", suspension.TopologyList.as_view()),
    path("topologies/<str:topology>/", suspension.TopologyDetail.as_view()),
    path("locations/", suspension.LocationList.as_view()),
    path("locations/<str:topology>/<str:location>/", suspension.LocationDetail.as_view()),
    path("axles/", suspension.AxleList.as_view()),
    path("axles/<str:axle>/", suspension.AxleDetail.as_view()),
    path("variants/", vehicles.VariantList.as_view()),
    path("variants/<str:variant>/", vehicles.VariantDetail.as_view()),
    path("options/", vehicles.OptionList.as_view()),
    path("options/<str:option>/", vehicles.OptionDetail.as_view()),
    path("components/", components.ComponentList.as_view()),
    path("components/<str:component>/", components.ComponentDetail.as_view()),
    path("parts/", parts.PartList.as_view()),
    path("parts/<str:part>/", parts.PartDetail.as_view()),
    path("revisions/", parts.RevisionList.as_view()),
    path("revisions/<str:part>/<str:revision>/", parts.RevisionDetail.as_view()),
    path("numbers/", components.NumberList.as_view()),
    path("numbers/<path:issuer>/<str:normal>/", components.NumberDetail.as_view()),
    path("operations/", procedures.OperationList.as_view()),
    path("operations/<str:axle>/<str:operation>/", procedures.OperationDetail.as_view()),
    path("equipment/", reference.EquipmentList.as_view()),
    path("equipment/<str:equipment>/", reference.EquipmentDetail.as_view()),
    path("hazards/", reference.HazardList.as_view()),
    path("hazards/<str:hazard>/", reference.HazardDetail.as_view()),
    path("materials/", reference.MaterialList.as_view()),
    path("materials/<str:material>/", reference.MaterialDetail.as_view()),
    path("technologies/", reference.TechnologyList.as_view()),
    path("technologies/<str:technology>/", reference.TechnologyDetail.as_view()),
]
ANSWERS = [
    path("fitment/", fitment.Fitment.as_view()),
    path("fitment/bulk/", fitment.FitmentBulk.as_view()),
    path("parts/<str:part>/cars/", part_cars.PartCars.as_view()),
    path("job/", jobs.Job.as_view()),
    path("job/instruction/<str:code>/", jobs.Instruction.as_view()),
    path("components/<str:component>/matches/", engineering.Matches.as_view()),
    path("axles/<str:axle>/loads/", engineering.Loads.as_view()),
    path("coverage/", coverage.Cells.as_view()),
    path("coverage/platforms/", coverage.Platforms.as_view()),
    path("coverage/work/", coverage.Work.as_view()),
    path("coverage/sizes/", coverage.Sizes.as_view()),
    path("coverage/<str:axle>/<str:location>/<str:component>/", coverage.CellDetail.as_view()),
    path("cross-reference/", lookup.CrossReference.as_view()),
    path("vin/", lookup.Vin.as_view()),
    path("enquiries/", lookup.EnquiryList.as_view()),
    path("fit-decisions/", evidence.FitDecisions.as_view()),
    path("test-fits/", evidence.TestFits.as_view()),
    path("job-times/", evidence.JobTimes.as_view()),
    path("measurements/", evidence.Measurements.as_view()),
    path("stances/", evidence.Stances.as_view()),
    path("catalogue/checks/", uploads.Checks.as_view()),
    path("catalogue/checks/<str:check>/", uploads.Check.as_view()),
    path("catalogue/checks/<str:check>/load/", uploads.CheckLoad.as_view()),
    path("catalogue/changes/", history.CatalogueChanges.as_view()),
]
DOCUMENT = [
    path("schema/", document.Schema.as_view(), name="schema"),
    path("docs/", document.Docs.as_view(), name="docs"),
]
VERSION_1 = [*ANSWERS, *FACTS, *DOCUMENT]  # what is asked most stands first: addresses are tried in turn

# What an unknown address is compared with.
ROOTS = sorted({str(route.pattern).split("/", 1)[0] for route in VERSION_1})

urlpatterns = [
    *(path(f"v1/{route.pattern}", route.callback, name=route.name) for route in VERSION_1),
    re_path(r"^(?P<path>.*)$", unknown.unknown_address),
]
