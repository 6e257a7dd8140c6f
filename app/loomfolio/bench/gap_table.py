"""The gaps of a job as numbered lines, with columns that stay: for CSV, XLSX, JSON and the gap sheet.

A gap's number is its place on the sheet: part by part what is open in scope, then what is closed, then
what lies outside of the job. The number holds for one print; `key` holds while the gap stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import Field

from loomfolio.bench.tables import Line
from loomfolio.project import PinKey, Project, natural_order, pin_text
from loomfolio.retrofit import Gap


@dataclass(frozen=True, slots=True)
class BenchGap:
    """One numbered gap."""

    number: int
    gap: Gap

    @property
    def is_to_do(self) -> bool:
        """Is it open, and what the job is about?"""
        return self.gap.in_scope and self.gap.is_open

    @property
    def is_sure(self) -> bool:
        """Has it been looked at, so that it can be worked on?"""
        return self.gap.sureness == "sure"


class GapLine(Line):
    """One gap: what the target has and this vehicle lacks, or has in excess."""

    gap: int = Field(description="number of the gap on this version of the gap sheet, from 1")
    kind: str
    missing: str = Field(description="what is missing or in the way, in words")
    part: str = Field(description="the part it is at; empty where it is at none")
    connector: str = Field(description="connector of that part, where the gap is in one")
    half: str
    cavity: str = Field(description="the one cavity it is in; empty where there are several")
    pins: tuple[str, ...] = Field(description="all pins it is about, as a person writes them")
    sheet: str = Field(description="title of the sheet to look at; empty where none shows it")
    x_mm: float | None = Field(description="where on that sheet, from its left edge")
    y_mm: float | None = Field(description="where on that sheet, from its top edge")
    sureness: str = Field(description="sure, or to be looked at")
    decides: tuple[str, ...] = Field(description="what has to be looked at or settled first")
    evidence: tuple[str, ...] = Field(description="what it rests on: sheet and place, survey entry")
    in_scope: bool = Field(description="the job is about it")
    open: bool = Field(description="not closed by work, by survey or by a written reason")
    closed_by: str = Field(description="work, survey or reason; empty where it is open")
    reason: str = Field(description="the written reason of its closing")
    key: str = Field(description="stays the same while the gap stands")


GAP_COLUMNS = tuple(GapLine.model_fields)


def bench_gaps(project: Project, gaps: Sequence[Gap]) -> tuple[BenchGap, ...]:
    """Return gaps in the order of the gap sheet, numbered from 1; none gives none."""
    names = {part.id: part.name for part in project.parts}

    def order(gap: Gap) -> tuple[object, ...]:
        name = names.get(gap.part or "", "")
        return (not gap.in_scope, not gap.is_open, not name, natural_order(name))

    in_order = sorted(gaps, key=order)  # gaps of one part keep the order in which they were found
    return tuple(BenchGap(number, gap) for number, gap in enumerate(in_order, 1))


def gap_table(project: Project, gaps: Sequence[BenchGap]) -> tuple[GapLine, ...]:
    """Return one line per gap, in the order given."""
    parts = {part.id: part.name for part in project.parts}
    sheets = {sheet.id: sheet.title for sheet in project.sheets}
    return tuple(_line(project, one, parts, sheets) for one in gaps)


def pins_at_part(gap: Gap) -> tuple[PinKey, ...]:
    """Return the pins of a gap that belong to the part it is at."""
    return tuple(pin for pin in gap.pins if pin.part == gap.part)


def _line(
    project: Project, one: BenchGap, parts: dict[str, str], sheets: dict[str, str]
) -> GapLine:
    gap = one.gap
    closed = gap.closed_by
    return GapLine.model_validate(
        {
            "gap": one.number,
            "kind": gap.kind,
            "missing": gap.sentence,
            "part": parts.get(gap.part or "", ""),
            **_cavity(pins_at_part(gap)),
            "pins": tuple(pin_text(project, pin) for pin in gap.pins),
            "sheet": sheets[gap.place.sheet] if gap.place else "",
            "x_mm": round(gap.place.at.x, 1) if gap.place else None,
            "y_mm": round(gap.place.at.y, 1) if gap.place else None,
            "sureness": gap.sureness,
            "decides": gap.decides,
            "evidence": gap.evidence,
            "in_scope": gap.in_scope,
            "open": gap.is_open,
            "closed_by": closed.by if closed else "",
            "reason": closed.reason if closed else "",
            "key": gap.key,
        }
    )


def _cavity(pins: Sequence[PinKey]) -> dict[str, str]:
    """The connector half in which all these pins are, and the cavity where there is one alone."""
    halves = {pin.half_key for pin in pins}
    if len(halves) != 1:
        return {"connector": "", "half": "", "cavity": ""}
    half = halves.pop()
    cavity = pins[0].pin if len(set(pins)) == 1 else ""
    return {"connector": half.connector, "half": half.half, "cavity": cavity}
