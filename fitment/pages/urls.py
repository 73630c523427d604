"""Addresses of the pages of the answers."""

from django.urls import path

from .car import car
from .job import instruction, job
from .number import number
from .part import part
from .start import start

urlpatterns = [
    path("", start, name="start"),
    path("car/", car, name="car"),
    path("job/", job, name="job"),
    path("job/instruction/<str:code>/", instruction, name="instruction"),
    # A number may hold any sign, slashes too.
    path("number/<path:number>/", number, name="number"),
    path("part/<str:code>/", part, name="part"),
]
