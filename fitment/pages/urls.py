"""Addresses of the pages of the answers."""

from django.urls import path

from .car import car
from .job import instruction, job
from .part import part
from .start import start

urlpatterns = [
    path("", start, name="start"),
    path("car/", car, name="car"),
    path("job/", job, name="job"),
    path("job/instruction/<str:code>/", instruction, name="instruction"),
    path("part/<str:code>/", part, name="part"),
]
