"""What all sheets of a job have alike on paper: head, foot, facts of the job, cautions, key to the sheets.

A frame is made once for each printed sheet; the sheets themselves are made in `map_sheet`,
`splice_sheet`, `gap_sheet` and `estimate_page`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from pydantic import BaseModel

from loomfolio.bench.cautions import CautionGroup, standing_cautions
from loomfolio.bench.sheet_words import SheetKey, sheet_keys
from loomfolio.project import Project, Vehicle

Paper = Literal["a4", "letter"]
_LONGEST_HEAD = 56


@dataclass(frozen=True, slots=True)
class Subject:
    """What one printed sheet is: its title, the facts on its first page, and the note in its foot.

    `has_hollow` says that something on it prints hollow; the note then says what.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    note: str
    has_hollow: bool


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page of a printed sheet carries, and what its first page says of the job."""

    title: str
    paper: Paper
    job: str
    vehicle: str
    facts: tuple[tuple[str, str], ...]
    version: str
    day: str
    note: str
    has_hollow: bool
    own_cautions: tuple[str, ...]
    cautions: tuple[CautionGroup, ...]
    sheets: tuple[SheetKey, ...]


def frame_of(
    project: Project,
    subject: Subject,
    lines: Sequence[BaseModel],
    *,
    paper: Paper,
    today: date,
) -> Frame:
    """Return the frame of one printed sheet; its version follows from the job and from `lines`."""
    own = tuple(text.strip() for text in project.job.cautions if text.strip())
    return Frame(
        title=subject.title,
        paper=paper,
        job=_shortened(project.job.title or "Untitled job", _LONGEST_HEAD),
        vehicle=_shortened(vehicle_text(project.job.vehicle), _LONGEST_HEAD),
        facts=(*_facts(project), *((name, text) for name, text in subject.facts if text)),
        version=version_of(project, lines),
        day=today.isoformat(),
        note=subject.note,
        has_hollow=subject.has_hollow,
        own_cautions=own,
        cautions=(*((CautionGroup("Of this job", own),) if own else ()), *standing_cautions()),
        sheets=sheet_keys(project),
    )


def version_of(project: Project, lines: Sequence[BaseModel]) -> str:
    """Return a short mark of what is printed: two prints with the same mark say the same."""
    digest = hashlib.sha256(project.job.model_dump_json().encode())
    for line in lines:
        digest.update(line.model_dump_json().encode())
    return f"{project.serial}-{digest.hexdigest()[:4]}"


def vehicle_text(vehicle: Vehicle) -> str:
    """Return a vehicle in one line, or that it is not named."""
    words = (vehicle.make, vehicle.model, str(vehicle.year or ""), vehicle.market)
    return " ".join(word for word in words if word) or "Vehicle not named"


def _facts(project: Project) -> tuple[tuple[str, str], ...]:
    job = project.job
    facts = (
        ("Job", job.title),
        ("Option", job.option),
        ("Vehicle", vehicle_text(job.vehicle)),
        ("VIN", job.vehicle.vin),
        ("Plate", job.vehicle.plate),
    )
    return tuple((name, text) for name, text in facts if text)


def _shortened(text: str, longest: int) -> str:
    words = " ".join(text.split())
    return words if len(words) <= longest else words[: longest - 1].rstrip() + "…"
