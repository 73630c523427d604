"""Addresses of the developers' pages below /coverage/."""

from django.urls import path

from fitment.pages.coverage.cell import cell
from fitment.pages.coverage.page import as_csv, as_uncovered_csv, as_xlsx, matrix
from fitment.pages.coverage.sizes import sizes

urlpatterns = [
    path("", matrix, name="coverage"),
    path("cells.csv", as_csv, name="coverage-csv"),
    path("uncovered.csv", as_uncovered_csv, name="coverage-uncovered-csv"),
    path("cells.xlsx", as_xlsx, name="coverage-xlsx"),
    path("sizes/", sizes, name="coverage-sizes"),
    path("<str:axle>/<str:location>/", cell, name="coverage-cell"),
]
