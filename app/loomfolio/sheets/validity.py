"""Which sheets speak of other vehicles than the one of the job."""

from __future__ import annotations

from loomfolio.project import Project, Sheet


def outside_validity(project: Project) -> tuple[tuple[Sheet, tuple[str, ...]], ...]:
    """Return the sheets that are not valid for the job's vehicle, each with plain reasons.

    What is not stated, of the sheet or of the vehicle, excludes nothing; so an empty job has none.
    """
    judged = ((sheet, sheet.valid_for.misfits(project.job.vehicle)) for sheet in project.sheets)
    return tuple((sheet, reasons) for sheet, reasons in judged if reasons)
