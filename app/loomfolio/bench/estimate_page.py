"""The estimate page: one page for the customer, before anything is done to the vehicle.

Plain words and ranges; what is not known yet stands beside what is. The figures come from the
retrofit room; here they only get their place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor
from pathlib import Path

from loomfolio.bench.cautions import owner_cautions
from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.gap_table import bench_gaps, gap_table
from loomfolio.bench.output_files import write_files
from loomfolio.bench.plain_work import plain_work
from loomfolio.bench.typesetting import typeset
from loomfolio.project import Project
from loomfolio.retrofit import Alternative, Estimate, Gap, Span

VALID_DAYS = 30
"""How long an estimate holds where nobody says otherwise; common practice, no source."""
MOST_UNKNOWNS = 7
"""Lines on what is not known that the page shows."""
_KIND_WORDS = {
    "whole loom": "A whole loom of the equipped vehicle",
    "part of a loom": "A part of such a loom",
    "direct leads": "Single new wires",
}


@dataclass(frozen=True, slots=True)
class PrintedAlternative:
    """One way to do the job as it stands on the page; texts of figures are empty where it is not possible."""

    title: str
    is_chosen: bool
    is_possible: bool
    leads: str
    joints: str
    parts: str
    hours: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EstimatePage:
    """The estimate page; `cautions` are those for the owner, the frame carries those of the job."""

    frame: Frame
    work: tuple[str, ...]
    alternatives: tuple[PrintedAlternative, ...]
    unknowns: tuple[str, ...]
    cautions: tuple[str, ...]
    validity: str


def write_estimate_page(
    project: Project,
    gaps: Sequence[Gap],
    estimate: Estimate,
    path: Path,
    *,
    paper: Paper = "a4",
    today: date,
    valid_days: int = VALID_DAYS,
) -> None:
    """Write the estimate as a PDF of one page; texts too long for it continue on a second.

    Raises
    ------
    UsageError
        The file cannot be written.
    """
    page = estimate_page(project, gaps, estimate, paper=paper, today=today, valid_days=valid_days)
    write_files({path: typeset("estimate_page.typ", page, today=today)})


def estimate_page(
    project: Project,
    gaps: Sequence[Gap],
    estimate: Estimate,
    *,
    paper: Paper,
    today: date,
    valid_days: int = VALID_DAYS,
) -> EstimatePage:
    """Return the estimate page as it is printed; of the gaps it tells what is open in scope."""
    numbered = bench_gaps(project, gaps)
    to_do = [one for one in numbered if one.is_to_do]
    note = "An estimate from documents and from what was seen. It is not an offer."
    frame = frame_of(
        project,
        Subject("Estimate", (), note, has_hollow=False),
        gap_table(project, numbered),
        paper=paper,
        today=today,
    )
    return EstimatePage(
        frame=frame,
        work=plain_work(project, [one.gap for one in to_do]),
        alternatives=tuple(_printed(one, estimate.chosen) for one in estimate.alternatives),
        unknowns=_first_of(estimate.unknowns),
        cautions=owner_cautions(),
        validity=_validity(today, valid_days),
    )


def _in_half_hours(span: Span) -> Span:
    """Hours as one says them to a customer, rounded outwards."""
    return Span(floor(span.least * 2) / 2, ceil(span.most * 2) / 2)


def span_text(span: Span) -> str:
    """Return a range as one says it: `8 to 12`, or one figure where there is no range."""
    least, most = f"{span.least:g}", f"{span.most:g}"
    return least if least == most else f"{least} to {most}"


def _printed(one: Alternative, chosen: str | None) -> PrintedAlternative:
    def figure(span: Span) -> str:
        return span_text(span) if one.is_possible else ""

    return PrintedAlternative(
        title=_KIND_WORDS.get(one.kind, one.kind),
        is_chosen=one.kind == chosen,
        is_possible=one.is_possible,
        leads=figure(one.leads),
        joints=figure(one.joints),
        parts=figure(one.parts),
        hours=figure(_in_half_hours(one.hours)),
        remarks=one.remarks,
    )


def _first_of(unknowns: Sequence[str]) -> tuple[str, ...]:
    """The first few of what is not known; the page has to stay one."""
    if len(unknowns) <= MOST_UNKNOWNS:
        return tuple(unknowns)
    return (*unknowns[: MOST_UNKNOWNS - 1], f"{len(unknowns) - MOST_UNKNOWNS + 1} points more.")


def _validity(today: date, valid_days: int) -> str:
    until = (today + timedelta(days=valid_days)).isoformat()
    return (
        f"Valid until {until}, for this vehicle as it stands. What is found on opening it may change "
        "the figures; then we ask first."
    )
