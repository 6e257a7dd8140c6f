"""A survey as data, and how it is put into a document: what a person saw on a vehicle, station by station.

What a sheet prints of a lead is taken for what was seen, except where a station says otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from drawing.marks import Marker
from drawing.plan import SheetPlan
from loomfolio.project import (
    CavityState,
    FaceSide,
    HalfState,
    HeaderState,
    Known,
    LeadColour,
    PositionGrade,
    edits,
)


@dataclass(frozen=True, slots=True)
class SeenHalf:
    """A half that was looked at: from which side, which cavities were full, and what was otherwise."""

    viewed_from: FaceSide
    filled: tuple[str, ...] = ()
    others: Mapping[str, CavityState] = field(default_factory=dict)
    colours: Mapping[str, str] = field(default_factory=dict)
    """Colours that are not those of the sheets."""
    state: HalfState = "there"
    note: str = ""


@dataclass(frozen=True, slots=True)
class Station:
    """One place at a vehicle where somebody knelt and looked."""

    name: str
    halves: Mapping[str, SeenHalf] = field(default_factory=dict)
    positions: Mapping[str, PositionGrade] = field(default_factory=dict)
    headers: Mapping[str, HeaderState] = field(default_factory=dict)
    bars: Mapping[tuple[str, str], Literal["there", "missing"]] = field(default_factory=dict)


def record_stations(
    marker: Marker, stations: Iterable[Station], sheets: Sequence[SheetPlan], *, on: date
) -> None:
    """Put what was seen at some stations on the one specimen of the document."""
    seen = _Seen(marker, _printed_colours(sheets), on)
    for station in stations:
        seen.record(station)


def _printed_colours(sheets: Sequence[SheetPlan]) -> dict[str, str]:
    """The colour that is printed at each pin."""
    return {
        end: wire.colour
        for plan in sheets
        for wire in plan.wires
        for end in (wire.a, wire.b)
        if wire.colour and end[0] not in "@~>"
    }


class _Seen:
    def __init__(self, marker: Marker, printed: Mapping[str, str], on: date) -> None:
        self._marker, self._printed = marker, printed
        (self._specimen,) = (one.id for one in marker.project.specimens)
        self._known = Known(how="seen", on=on)

    def record(self, station: Station) -> None:
        for name, half in station.halves.items():
            self._record_half(name, half)
        marker, specimen, known = self._marker, self._specimen, self._known
        for part, grade in station.positions.items():
            marker.project = edits.record_position(
                marker.project,
                specimen=specimen,
                part=marker.part_id(part),
                grade=grade,
                known=known,
            ).project
        for pin, state in station.headers.items():
            marker.project = edits.record_header(
                marker.project,
                specimen=specimen,
                pin=marker.pin_key(pin),
                state=state,
                known=known,
            ).project
        for (part, label), bar_state in station.bars.items():
            marker.project = edits.record_bar(
                marker.project,
                specimen=specimen,
                part=marker.part_id(part),
                label=label,
                state=bar_state,
                known=known,
            ).project

    def _record_half(self, name: str, seen: SeenHalf) -> None:
        self._marker.project = edits.record_half(
            self._marker.project,
            specimen=self._specimen,
            half=self._marker.pin_key(f"{name}:1").half_key,
            viewed_from=seen.viewed_from,
            state=seen.state,
            note=seen.note,
            known=self._known,
        ).project
        for cavity in seen.filled:
            self._record_cavity(name, cavity, "filled", seen)
        for cavity, state in seen.others.items():
            self._record_cavity(name, cavity, state, seen)

    def _record_cavity(self, name: str, cavity: str, state: CavityState, seen: SeenHalf) -> None:
        pin = f"{name}:{cavity}"
        text = seen.colours.get(cavity, self._printed.get(pin, ""))
        base, _, stripe = text.partition("/")
        colour = LeadColour(text=text, base=base, stripe=stripe, code_set="IEC 60757")
        self._marker.project = edits.record_cavity(
            self._marker.project,
            specimen=self._specimen,
            pin=self._marker.pin_key(pin),
            state=state,
            colour=colour if text and state == "filled" else None,
            known=self._known,
        ).project
