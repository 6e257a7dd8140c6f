"""What the templates print: every text ready, nothing left to decide but where it stands.

`frame_of` makes what all sheets of a job have alike (head, foot, cautions, key to the sheets); the
sheets themselves are made in `map_sheet` and `splice_sheet`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from loomfolio.bench.cautions import CautionGroup, standing_cautions
from loomfolio.bench.lead_colours import lead_look
from loomfolio.bench.leads import BenchLead, PinWords
from loomfolio.bench.tables import MapLine
from loomfolio.project import LeadColour, Project, Vehicle

Paper = Literal["a4", "letter"]
_LONGEST_HEAD = 56
_LONGEST_FOOT = 86


@dataclass(frozen=True, slots=True)
class PrintedWire:
    """The colour of a lead: its letters, and `#RRGGBB` of base and stripe where they are known."""

    text: str
    base: str | None
    stripe: str | None
    area: str


@dataclass(frozen=True, slots=True)
class PrintedLead:
    """One lead in a table or a joint block: what is seen from here, and where it goes.

    `pin` is None in a joint block, where all leads start alike; `far` is None where the other end is
    not known, or where it is the joint of that name. With both, the lead goes to `far` over the joint.
    """

    number: str
    pin: PinWords | None
    far: PinWords | None
    joint: str
    wire: PrintedWire
    net: str
    length: str
    sheets: str
    is_released: bool
    open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetKey:
    """The number under which a sheet of the documents is named, and its title."""

    number: str
    title: str


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
    release: str
    is_all_released: bool
    caution_line: str
    cautions: tuple[CautionGroup, ...]
    sheets: tuple[SheetKey, ...]


@dataclass(frozen=True, slots=True)
class MapGroup:
    """One connector half with the leads that end in it."""

    title: str
    kind: str
    leads: tuple[PrintedLead, ...]


@dataclass(frozen=True, slots=True)
class MapSheet:
    """The connector map."""

    frame: Frame
    groups: tuple[MapGroup, ...]


@dataclass(frozen=True, slots=True)
class JointBlock:
    """One joint: `seen` are the leads that are in the vehicle, `new` all others."""

    name: str
    kind: str
    net: str
    sheets: str
    is_released: bool
    note: str
    seen: tuple[PrintedLead, ...]
    new: tuple[PrintedLead, ...]


@dataclass(frozen=True, slots=True)
class SpliceSheet:
    """The splice sheet: joints, the cut list, and what is not released."""

    frame: Frame
    joints: tuple[JointBlock, ...]
    cut: tuple[PrintedLead, ...]
    held_back: tuple[PrintedLead, ...]


def frame_of(
    project: Project,
    leads: Sequence[BenchLead],
    lines: Sequence[MapLine],
    *,
    title: str,
    paper: Paper,
    fit: str,
    today: date,
) -> Frame:
    """Return the frame of one printed sheet that shows `leads`; `lines` are those of the whole map."""
    held_back = sum(not lead.row.is_released for lead in leads)
    return Frame(
        title=title,
        paper=paper,
        job=_shortened(project.job.title or "Untitled job", _LONGEST_HEAD),
        vehicle=_shortened(_vehicle(project.job.vehicle), _LONGEST_HEAD),
        facts=_facts(project, leads, fit),
        version=version_of(project, lines),
        day=today.isoformat(),
        release=_release(len(leads), held_back),
        is_all_released=held_back == 0,
        caution_line=_shortened(" ".join(_own_cautions(project)), _LONGEST_FOOT),
        cautions=_cautions(project),
        sheets=tuple(
            SheetKey(str(number), sheet.title.removeprefix(f"{number} "))
            for number, sheet in enumerate(project.sheets, 1)
        ),
    )


def version_of(project: Project, lines: Sequence[MapLine]) -> str:
    """Return a short mark of what is printed: two prints with the same mark say the same."""
    digest = hashlib.sha256(project.job.model_dump_json().encode())
    for line in lines:
        digest.update(line.model_dump_json().encode())
    return f"{project.serial}-{digest.hexdigest()[:4]}"


def printed_wire(colour: LeadColour | None, area_mm2: float | None) -> PrintedWire:
    """Return how colour and area of a lead are printed."""
    look = lead_look(colour)
    return PrintedWire(
        text=colour.text if colour else "",
        base=look.base,
        stripe=look.stripe,
        area="" if area_mm2 is None else f"{area_mm2:g}",
    )


def sheet_numbers(project: Project, sheets: Sequence[str]) -> str:
    """Return sheets by the numbers of the key, in their order."""
    numbers = {sheet.id: number for number, sheet in enumerate(project.sheets, 1)}
    return number_runs(sorted(numbers[sheet] for sheet in sheets))


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


def _release(count: int, held_back: int) -> str:
    if count == 0:
        return "There are no leads on this sheet."
    if held_back == 0:
        return "The one lead is released." if count == 1 else f"All {count} leads are released."
    verb = "is" if held_back == 1 else "are"
    word = "lead" if count == 1 else "leads"
    return f"{held_back} of {count} {word} {verb} not released: hollow here, not in the cut list."


def _facts(project: Project, leads: Sequence[BenchLead], fit: str) -> tuple[tuple[str, str], ...]:
    job = project.job
    held_back = sum(not lead.row.is_released for lead in leads)
    facts = (
        ("Job", job.title),
        ("Option", job.option),
        ("Vehicle", _vehicle(job.vehicle)),
        ("VIN", job.vehicle.vin),
        ("Plate", job.vehicle.plate),
        ("Fit", fit),
        ("Leads", f"{len(leads)}, of which {len(leads) - held_back} released"),
    )
    return tuple((name, text) for name, text in facts if text)


def _vehicle(vehicle: Vehicle) -> str:
    words = (vehicle.make, vehicle.model, str(vehicle.year or ""), vehicle.market)
    return " ".join(word for word in words if word) or "Vehicle not named"


def _own_cautions(project: Project) -> tuple[str, ...]:
    return tuple(text.strip() for text in project.job.cautions if text.strip())


def _cautions(project: Project) -> tuple[CautionGroup, ...]:
    own = _own_cautions(project)
    return (*((CautionGroup("Of this job", own),) if own else ()), *standing_cautions())


def _shortened(text: str, longest: int) -> str:
    words = " ".join(text.split())
    return words if len(words) <= longest else words[: longest - 1].rstrip() + "…"
