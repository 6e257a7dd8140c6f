"""Followed ways as the contract `loomfolio.follow/1`: what `follow --json` writes, and its text for a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import MmPoint
from loomfolio.nets.netlist import Netlist
from loomfolio.nets.records import Way, WayStep
from loomfolio.project import PinKey, pin_text

FOLLOW_SCHEMA: Final = "loomfolio.follow/1"


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class OpenPieceRecord(_Record):
    """What is still to be confirmed on a step: kind, sentence, place in mm."""

    kind: str
    sentence: str
    sheet: str | None
    at_mm: MmPoint | None


class StepRecord(_Record):
    """One piece of a way: what it is, how one gets to it, where it is."""

    what: str
    label: str
    relation: str
    net: str
    sheet: str | None
    at_mm: MmPoint | None
    note: str
    open: tuple[OpenPieceRecord, ...]


class WayRecord(_Record):
    """One way from the pin to an end."""

    ends_at: str
    is_dead_end: bool
    steps: tuple[StepRecord, ...]


class FollowRecord(_Record):
    """All ways from one pin."""

    format: Literal["loomfolio.follow/1"] = Field(default=FOLLOW_SCHEMA, alias="schema")
    pin: str
    fit: str
    ways: tuple[WayRecord, ...]


def follow_record(netlist: Netlist, pin: PinKey, ways: Sequence[Way]) -> FollowRecord:
    """Return the contract of what `follow` found."""
    return FollowRecord(
        pin=pin_text(netlist.project, pin),
        fit=netlist.fit.name if netlist.fit is not None else "",
        ways=tuple(
            WayRecord(
                ends_at=way.ends_at,
                is_dead_end=way.is_dead_end,
                steps=tuple(_step(netlist, step) for step in way.steps),
            )
            for way in ways
        ),
    )


def _step(netlist: Netlist, step: WayStep) -> StepRecord:
    return StepRecord(
        what=step.what,
        label=step.label,
        relation=step.relation,
        net="" if step.net is None else netlist.nets[step.net].name,
        sheet=None if step.place is None else step.place.sheet,
        at_mm=None if step.place is None else step.place.at,
        note=step.note,
        open=tuple(
            OpenPieceRecord(
                kind=piece.kind,
                sentence=piece.sentence,
                sheet=None if piece.place is None else piece.place.sheet,
                at_mm=None if piece.place is None else piece.place.at,
            )
            for piece in step.pieces
            if not piece.is_confirmed
        ),
    )


def way_text(netlist: Netlist, way: Way) -> str:
    """Return a way as one line for a terminal: `─` joined, `╌` passes, `≈` loads, `?` still open."""
    signs = {"joined": "─", "passes": "╌", "loads": "≈"}
    sheets = {sheet.id: sheet.title for sheet in netlist.project.sheets}
    words: list[str] = []
    for position, step in enumerate(way.steps):
        sign = f" {signs[step.relation]} " if position else ""
        doubt = "?" if any(not piece.is_confirmed for piece in step.pieces) else ""
        where = f" [{sheets[step.place.sheet]}]" if step.what == "pin" and step.place else ""
        words.append(f"{sign}{step.label}{doubt}{where}")
    return "".join(words) + (f"  ({way.ends_at})" if way.is_dead_end else "")
