"""What all sheets of a job have alike on paper: head, foot, facts of the job, cautions, key to the sheets.

A frame is made once for each printed sheet; the sheets themselves are made in `map_sheet`,
`splice_sheet`, `gap_sheet` and `estimate_page`.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from pydantic import BaseModel

from loomfolio.bench.cautions import CautionGroup, standing_cautions
from loomfolio.project import Project, Vehicle

Paper = Literal["a4", "letter"]
_LONGEST_HEAD = 56
_OWN_NUMBER = re.compile(r"0*(\d+)[ .:)–-]+(?=\S)")


@dataclass(frozen=True, slots=True)
class SheetKey:
    """The number under which a sheet of the documents is named, and its title."""

    number: str
    title: str


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


def sheet_keys(project: Project) -> tuple[SheetKey, ...]:
    """Return the sheets of the documents with the numbers by which the bench calls them.

    Where each title begins with a number of its own, that number holds and is not said twice;
    otherwise the sheets are counted from 1.
    """
    numbered = [_OWN_NUMBER.match(sheet.title) for sheet in project.sheets]
    own = [match.group(1) for match in numbered if match]
    if len(own) == len(set(own)) == len(numbered):
        return tuple(
            SheetKey(match.group(1), match.string[match.end() :]) for match in numbered if match
        )
    return tuple(
        SheetKey(str(number), sheet.title) for number, sheet in enumerate(project.sheets, 1)
    )


def sheet_numbers(project: Project, sheets: Sequence[str]) -> str:
    """Return sheets by the numbers of the key, in their order, a run of them drawn together."""
    order = {sheet.id: place for place, sheet in enumerate(project.sheets)}
    keys = sheet_keys(project)
    return number_runs(sorted(int(keys[order[sheet]].number) for sheet in sheets))


def by_number(project: Project, sentences: Iterable[str]) -> tuple[str, ...]:
    """Return sentences with sheets named by the numbers of the key instead of by their titles."""
    titles = {
        sheet.title: key.number
        for sheet, key in zip(project.sheets, sheet_keys(project), strict=True)
        if sheet.title
    }
    if not titles:
        return tuple(sentences)
    longest_first = sorted(titles, key=len, reverse=True)
    named = re.compile(rf"(?<=\bsheet )({'|'.join(map(re.escape, longest_first))})(?!\w)")
    return tuple(named.sub(lambda match: titles[match[0]], sentence) for sentence in sentences)


def number_runs(numbers: Sequence[int]) -> str:
    """Return sorted numbers with runs of three or more drawn together: `3, 5–8, 11`."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its word: `1 lead`, `3 leads`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


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
