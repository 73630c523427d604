"""Addresses of the editor's pages."""

from django.urls import path

from fitment.pages.catalogue.check import again, answers_csv, check, errors_csv, load
from fitment.pages.catalogue.conflicts import conflicts
from fitment.pages.catalogue.downloads import ask, download, file, first_way, workbook
from fitment.pages.catalogue.editions import compare, edition, edition_answers
from fitment.pages.catalogue.home import home
from fitment.pages.catalogue.row_edit import row_edit
from fitment.pages.catalogue.rows import row, rows

urlpatterns = [
    path("", home, name="catalogue"),
    path("check/<uuid:pk>/", check, name="catalogue-check"),
    path("check/<uuid:pk>/load/", load, name="catalogue-check-load"),
    path("check/<uuid:pk>/again/", again, name="catalogue-check-again"),
    path("check/<uuid:pk>/errors.csv", errors_csv, name="catalogue-check-errors"),
    path("check/<uuid:pk>/answers.csv", answers_csv, name="catalogue-check-answers"),
    path("workbook.<str:ending>", workbook, name="catalogue-workbook"),
    path("edition/<int:number>/", edition, name="catalogue-edition"),
    path("edition/<int:number>/answers.csv", edition_answers, name="catalogue-edition-answers"),
    path("edition/<int:number>/workbook.<str:ending>", workbook, name="catalogue-edition-workbook"),
    path("compare/", compare, name="catalogue-compare"),
    path("conflicts/", conflicts, name="catalogue-conflicts"),
    path("download/", ask, name="catalogue-download-ask"),
    path("download/<uuid:pk>/", download, name="catalogue-download"),
    path("download/<uuid:pk>/file/", file, name="catalogue-download-file"),
    path("first-way.xlsx", first_way, name="catalogue-first-way"),
    path("sheet/<str:name>/", rows, name="catalogue-sheet"),
    path("row/<str:name>/", row, name="catalogue-row"),
    path("mend/<str:name>/", row_edit, name="catalogue-mend"),
]
