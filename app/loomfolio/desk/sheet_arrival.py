"""Sheets coming in: checked and copied in a worker, added to the document as it then stands; no Qt.

While a large file is decoded the person goes on working, so what the worker returns are sheets, not a
document; they are added to whatever the document has become.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from loomfolio.basics import FileUnreadableError
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, ProjectFolder, Sheet, edits
from loomfolio.sheets import PAPER_SIZES_MM, bring_in, resolution_from_paper

NOT_KNOWN = "I do not know"


@dataclass(frozen=True, slots=True)
class Arrived:
    """The pages of one file, copied into the project's folder but not yet in the document."""

    path: Path
    sheets: tuple[Sheet, ...]
    left_out: tuple[FileUnreadableError, ...] = ()
    """What was wrong with each page that could not be used; the others came in."""

    @property
    def wants_paper(self) -> bool:
        """Whether the file does not say how large its pages are."""
        return any(sheet.resolution_from == "assumed" for sheet in self.sheets)


def check_in(folder: ProjectFolder, project: Project, path: Path, password: str | None) -> Arrived:
    """Copy a file into the folder and return its pages; what `bring_in` raises passes through."""
    faults: list[FileUnreadableError] = []
    after, ids = bring_in(folder, project, path, password=password, left_out=faults.append)
    return Arrived(path, tuple(after.sheet(sheet_id) for sheet_id in ids), tuple(faults))


def paper_choices() -> tuple[str, ...]:
    """Return the paper sizes that can be chosen, and last that one does not know."""
    return (*PAPER_SIZES_MM, NOT_KNOWN)


def on_paper(arrived: Arrived, paper: str | None) -> Arrived:
    """Return the pages with the resolution of a paper that each fills; as they are for none."""
    if paper is None or paper == NOT_KNOWN:
        return arrived
    return replace(arrived, sheets=tuple(sized(sheet, paper) for sheet in arrived.sheets))


def sized(sheet: Sheet, paper: str) -> Sheet:
    """Return a sheet with the resolution that follows from the paper it fills."""
    resolution = resolution_from_paper(sheet.width_px, sheet.height_px, paper)
    return sheet.model_copy(
        update={
            "x_dpi": resolution.x_dpi,
            "y_dpi": resolution.y_dpi,
            "resolution_from": "paper size",
        }
    )


def lay_down(project: Project, arrivals: Sequence[Arrived]) -> Step:
    """Return the edit that adds the pages of all files to the document as it stands."""
    for arrived in arrivals:
        for sheet in arrived.sheets:
            project = edits.add_sheet(
                project,
                title=sheet.title,
                file=sheet.file,
                sha256=sheet.sha256,
                page=sheet.page,
                width_px=sheet.width_px,
                height_px=sheet.height_px,
                x_dpi=sheet.x_dpi,
                y_dpi=sheet.y_dpi,
                resolution_from=sheet.resolution_from,
                table_at=sheet.table_at,
            ).project
    count = sum(len(arrived.sheets) for arrived in arrivals)
    names = ", ".join(arrived.path.name for arrived in arrivals)
    return Step(f"Add {names}" if count == 1 else f"Add {count} sheets of {names}", project)
