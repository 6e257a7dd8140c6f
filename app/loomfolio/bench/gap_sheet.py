"""The gap sheet: part by part what this vehicle lacks, to be ticked off with the vehicle in front of one.

What is sure prints solid; what has still to be looked at prints hollow, with what decides it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path

from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.gap_table import BenchGap, bench_gaps, gap_table, pins_at_part
from loomfolio.bench.leads import PinWords, pin_words
from loomfolio.bench.output_files import write_files
from loomfolio.bench.sheet_words import by_number, counted, gathered, sheet_numbers
from loomfolio.bench.typesetting import typeset
from loomfolio.project import Project
from loomfolio.retrofit import Gap

MOST_PINS = 4
"""A gap with more pins than this is told by its sentence alone: its cable or connector stands for them."""


@dataclass(frozen=True, slots=True)
class PrintedGap:
    """One open gap, with its pins where they are few.

    `sheet` and `at` say where on the documents; both are empty where none shows it.
    """

    number: str
    kind: str
    pins: tuple[PinWords, ...]
    missing: str
    is_sure: bool
    decides: tuple[str, ...]
    evidence: tuple[str, ...]
    sheet: str
    at: str


@dataclass(frozen=True, slots=True)
class PartGaps:
    """The open gaps at one part."""

    title: str
    kind: str
    counts: str
    gaps: tuple[PrintedGap, ...]


@dataclass(frozen=True, slots=True)
class KindCount:
    """How many gaps of one kind are sure, and how many are to be looked at first."""

    kind: str
    sure: int
    look: int


@dataclass(frozen=True, slots=True)
class ClosedGap:
    """One closed gap, and by what."""

    number: str
    missing: str
    closed_by: str


@dataclass(frozen=True, slots=True)
class GapSheet:
    """The gap sheet; `beyond` is the number of gaps outside of what the job is about."""

    frame: Frame
    counts: tuple[KindCount, ...]
    contradictions: tuple[str, ...]
    parts: tuple[PartGaps, ...]
    closed: tuple[ClosedGap, ...]
    beyond: int


def write_gap_sheet(
    project: Project,
    gaps: Sequence[Gap],
    path: Path,
    *,
    contradictions: Sequence[str] = (),
    paper: Paper = "a4",
    today: date,
) -> None:
    """Write the gap sheet as PDF: what is open and closed in scope, and the count of all else.

    Raises
    ------
    UsageError
        The file cannot be written.
    """
    sheet = gap_sheet(project, gaps, contradictions=contradictions, paper=paper, today=today)
    write_files({path: typeset("gap_sheet.typ", sheet, today=today)})


def gap_sheet(
    project: Project,
    gaps: Sequence[Gap],
    *,
    contradictions: Sequence[str],
    paper: Paper,
    today: date,
) -> GapSheet:
    """Return the gap sheet as it is printed; without gaps it says so."""
    numbered = bench_gaps(project, gaps)
    to_do = [one for one in numbered if one.is_to_do]
    closed = [one for one in numbered if one.gap.in_scope and not one.gap.is_open]
    lines = gap_table(project, numbered)
    return GapSheet(
        frame=frame_of(project, _subject(project, to_do, closed), lines, paper=paper, today=today),
        counts=_counts(to_do),
        contradictions=by_number(project, contradictions),
        parts=tuple(
            _part(project, part, list(own))
            for part, own in groupby(to_do, lambda one: one.gap.part)
        ),
        closed=tuple(_closed(one) for one in closed),
        beyond=sum(not one.gap.in_scope for one in numbered),
    )


def _subject(project: Project, to_do: Sequence[BenchGap], closed: Sequence[BenchGap]) -> Subject:
    look = sum(not one.is_sure for one in to_do)
    job = project.job
    facts = (
        ("Target", job.target_fit),
        ("This vehicle", job.vehicle_fit),
        ("Gaps", f"{len(to_do)} open, {len(closed)} closed"),
    )
    return Subject("Gap sheet", facts, _note(len(to_do), look), has_hollow=look > 0)


def _note(count: int, look: int) -> str:
    if count == 0:
        return "No gap is open."
    if look == 0:
        return "The one gap is sure." if count == 1 else f"All {count} gaps are sure."
    verb = "is" if look == 1 else "are"
    return f"{look} of {counted(count, 'gap')} {verb} to be looked at first: hollow here."


def _counts(to_do: Sequence[BenchGap]) -> tuple[KindCount, ...]:
    sure = Counter(one.gap.kind for one in to_do if one.is_sure)
    look = Counter(one.gap.kind for one in to_do if not one.is_sure)
    kinds = sorted({**sure, **look}, key=lambda kind: (-sure[kind] - look[kind], kind))
    return tuple(KindCount(kind, sure[kind], look[kind]) for kind in kinds)


def _part(project: Project, part: str | None, gaps: Sequence[BenchGap]) -> PartGaps:
    look = sum(not one.is_sure for one in gaps)
    return PartGaps(
        title=project.part(part).name if part else "At no part",
        kind=project.part(part).kind if part else "",
        counts=counted(len(gaps), "gap") + (f", {look} to be looked at" if look else ""),
        gaps=tuple(_printed(project, one) for one in gaps),
    )


def _printed(project: Project, one: BenchGap) -> PrintedGap:
    gap = one.gap
    own = pins_at_part(gap)
    pins = (*own, *(pin for pin in gap.pins if pin not in own))
    return PrintedGap(
        number=str(one.number),
        kind=gap.kind,
        pins=tuple(pin_words(project, pin) for pin in (pins if len(pins) <= MOST_PINS else ())),
        missing=gap.sentence,
        is_sure=one.is_sure,
        decides=gathered(by_number(project, gap.decides)),
        evidence=by_number(project, gap.evidence),
        sheet=sheet_numbers(project, (gap.place.sheet,)) if gap.place else "",
        at=f"{gap.place.at.x:.0f}, {gap.place.at.y:.0f}" if gap.place else "",
    )


def _closed(one: BenchGap) -> ClosedGap:
    closing = one.gap.closed_by
    by = f"{closing.by}: {closing.reason}" if closing else ""
    return ClosedGap(str(one.number), one.gap.sentence, by)
