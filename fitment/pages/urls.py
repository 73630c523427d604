"""Addresses of the pages of the answers."""

from django.urls import path

from .car import car
from .part import part
from .start import start

urlpatterns = [
    path("", start, name="start"),
    path("car/", car, name="car"),
    path("part/<str:code>/", part, name="part"),
]
