"""Addresses of the pages of the answers."""

from django.urls import include, path

from fitment.pages.car.page import car
from fitment.pages.coverage.axle import axle
from fitment.pages.coverage.cell import cell
from fitment.pages.coverage.page import coverage_file, matrix
from fitment.pages.coverage.sizes import sizes
from fitment.pages.desk.enquiries import enquiries, log
from fitment.pages.desk.holds import hold
from fitment.pages.desk.page import answer, desk
from fitment.pages.job.page import instruction, job
from fitment.pages.number.page import number
from fitment.pages.part.page import part
from fitment.pages.record.page import record
from fitment.pages.start.page import start

urlpatterns = [
    path("", start, name="start"),
    path("axle/<str:code>/", axle, name="axle"),
    path("car/", car, name="car"),
    path("catalogue/", include("fitment.pages.catalogue.urls")),
    path("coverage/", matrix, name="coverage"),
    path("coverage/cells.csv", coverage_file, {"table": "cells"}, name="coverage-csv"),
    path("coverage/uncovered.csv", coverage_file, {"table": "uncovered"}, name="coverage-uncovered-csv"),
    path("coverage/cells.xlsx", coverage_file, {"table": ""}, name="coverage-xlsx"),
    path("coverage/sizes/", sizes, name="coverage-sizes"),
    path("coverage/<str:axle>/<str:location>/", cell, name="coverage-cell"),
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
