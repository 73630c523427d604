"""Addresses of the pages of the answers."""

from django.urls import include, path

from .car import car
from .coverage.axle import axle
from .coverage.record import record
from .desk import answer, desk
from .desk_enquiries import enquiries, log
from .desk_holds import hold
from .job import instruction, job
from .number import number
from .part import part
from .start import start

urlpatterns = [
    path("", start, name="start"),
    path("axle/<str:code>/", axle, name="axle"),
    path("car/", car, name="car"),
    path("catalogue/", include("fitment.pages.catalogue.urls")),
    path("coverage/", include("fitment.pages.coverage.urls")),
    path("desk/", desk, name="desk"),
    path("desk/answer/", answer, name="desk-answer"),
    path("desk/enquiries/", enquiries, name="desk-enquiries"),
    path("desk/hold/<str:part>/<str:revision>/", hold, name="desk-hold"),
    path("desk/log/", log, name="desk-log"),
    path("job/", job, name="job"),
    path("job/instruction/<str:code>/", instruction, name="instruction"),
    # A number may hold any sign, slashes too.
    path("number/<path:number>/", number, name="number"),
    path("part/<str:code>/", part, name="part"),
    path("test-fit/new/", record, name="record"),
]
