"""Sheets that speak of other vehicles."""

from __future__ import annotations

from loomfolio.basics import MmPoint
from loomfolio.project import Job, Project, Sheet, ValidFor, Vehicle
from loomfolio.sheets import outside_validity


def make_sheet(number, **valid_for):
    return Sheet(
        id=f"sheet-{number}",
        title="",
        file="",
        sha256="0" * 64,
        width_px=1,
        height_px=1,
        x_dpi=300,
        y_dpi=300,
        table_at=MmPoint(0, 0),
        valid_for=ValidFor(**valid_for),
    )


def make_project(*sheets, **vehicle):
    return Project(job=Job(vehicle=Vehicle(**vehicle)), sheets=sheets)


def test_sheets_that_misfit_come_with_every_reason():
    fits = make_sheet(1, make="Parcelle", year_from=2019)
    old = make_sheet(2, make="parcelle", market="UK", year_to=2018)
    project = make_project(fits, old, make="Parcelle", market="DE", year=2021)
    ((sheet, reasons),) = outside_validity(project)
    assert sheet is old
    assert reasons == (
        "the sheet is for market UK, the vehicle is DE",
        "the sheet ends with 2018, the vehicle is of 2021",
    )


def test_what_is_not_stated_excludes_nothing():
    assert outside_validity(make_project(make_sheet(1, make="Parcelle", year_to=2018))) == ()
    assert outside_validity(make_project(make_sheet(1), make="Parcelle", year=2021)) == ()
    assert outside_validity(Project()) == ()
