"""Everything that the desk shows at one moment, worked out from one document; no Qt in here.

A frozen value with a number that grows: slow answers carry the number of the document that they
belong to, and one that comes too late is recognised by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from loomfolio.basics import LoomfolioError, Resolution
from loomfolio.nets import (
    Finding,
    MapRow,
    Memory,
    Net,
    Netlist,
    PlacedPin,
    connector_map,
    derive,
    findings,
    scope_nets,
)
from loomfolio.project import Fit, PinKey, Project, all_pins, pin_text
from loomfolio.reading import PrintedWord, Reading, printed_words
from loomfolio.retrofit import Gap, GapMemory, JobGaps, job_gaps


class VehicleSheets(Protocol):
    """The documents of this very vehicle, where they are another project than the target's."""

    @property
    def project(self) -> Project:
        """The other project."""
        ...

    @property
    def readings(self) -> Mapping[str, Reading]:
        """What its sheets show."""
        ...


class SheetWords(Mapping[str, tuple[PrintedWord, ...]]):
    """The printed words by sheet. They are brought to mm only where somebody asks: an edit needs none of them."""

    def __init__(self, project: Project, readings: Mapping[str, Reading]) -> None:
        self._sheets = {
            sheet.id: sheet
            for sheet in project.sheets
            if sheet.id in readings and readings[sheet.id].texts
        }
        self._readings = readings

    def __getitem__(self, sheet_id: str) -> tuple[PrintedWord, ...]:
        sheet = self._sheets[sheet_id]
        return printed_words(self._readings[sheet_id], Resolution(sheet.x_dpi, sheet.y_dpi))

    def __iter__(self) -> Iterator[str]:
        return iter(self._sheets)

    def __len__(self) -> int:
        return len(self._sheets)


@dataclass(frozen=True, eq=False)
class Derived:
    """One document with its nets, its leads and its findings."""

    number: int
    project: Project
    readings: Mapping[str, Reading]
    netlist: Netlist
    rows: tuple[MapRow, ...]
    findings: tuple[Finding, ...]
    scope: frozenset[int]
    job_gaps: JobGaps | None = None
    why_no_gaps: str = ""
    """Why nothing can be said about gaps yet, and what to do; empty where something can."""
    own: VehicleSheets | None = None
    """This vehicle's own documents, where they are another project."""

    @property
    def vehicle_project(self) -> Project:
        """The project whose words are used for this vehicle's connectors."""
        return self.own.project if self.own is not None else self.project

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """The gaps of the job, open ones in scope first; none where nothing can be said yet."""
        return self.job_gaps.gaps if self.job_gaps is not None else ()

    def is_net_in_scope(self, net: int) -> bool:
        """Is the net one that the job is about? All are while no scope is set."""
        return not self.project.job.scope or net in self.scope

    @cached_property
    def open_findings(self) -> tuple[Finding, ...]:
        """Findings that nobody accepted: those in scope first, then as they lie on the table."""
        standing = [finding for finding in self.findings if finding.accepted is None]
        order = {sheet.id: number for number, sheet in enumerate(self.project.sheets)}

        def lies(finding: Finding) -> tuple[bool, int, float, float]:
            place = finding.place
            if place is None:
                return (not finding.in_scope, len(order), 0.0, 0.0)
            return (not finding.in_scope, order.get(place.sheet, 0), place.at.y, place.at.x)

        return tuple(sorted(standing, key=lies))

    @cached_property
    def _pin_words(self) -> Mapping[PinKey, str]:
        return {pin: pin_text(self.project, pin) for pin in all_pins(self.project)}

    def pin_word(self, pin: PinKey) -> str:
        """Return a pin as a person writes it."""
        return self._pin_words.get(pin) or pin_text(self.project, pin)

    @cached_property
    def words(self) -> SheetWords:
        """The printed words of each sheet that has been read, in mm on it."""
        return SheetWords(self.project, self.readings)

    @cached_property
    def _placed(self) -> Mapping[PinKey, tuple[PlacedPin, ...]]:
        placed: dict[PinKey, tuple[PlacedPin, ...]] = {}
        for pin in self.netlist.placed_pins:
            placed[pin.pin] = (*placed.get(pin.pin, ()), pin)
        return placed

    def places_of_pin(self, pin: PinKey) -> tuple[PlacedPin, ...]:
        """Return every place where a pin is drawn."""
        return self._placed.get(pin, ())

    def net_of(self, pin: PinKey) -> Net | None:
        """Return the net of a pin."""
        return self.netlist.net_of_pin(pin)


def derive_all(
    number: int,
    project: Project,
    readings: Mapping[str, Reading],
    *,
    fit: Fit | None,
    memory: Memory,
    gap_memory: GapMemory | None = None,
    own: VehicleSheets | None = None,
) -> Derived:
    """Work out all that the desk shows; sheets that did not change come from `memory`."""
    netlist = derive(project, readings, fit=fit, memory=memory)
    rows = connector_map(netlist)
    gaps, why_no_gaps = _gaps(project, readings, gap_memory, own)
    return Derived(
        number=number,
        project=project,
        readings=dict(readings),
        netlist=netlist,
        rows=rows,
        findings=findings(netlist, rows),
        scope=scope_nets(netlist),
        job_gaps=gaps,
        why_no_gaps=why_no_gaps,
        own=own,
    )


def _gaps(
    project: Project,
    readings: Mapping[str, Reading],
    memory: GapMemory | None,
    own: VehicleSheets | None,
) -> tuple[JobGaps | None, str]:
    """Compare the two fits of the job; a sheet that is not read yet would show as gaps that are none."""
    unread = [
        sheet.title
        for sheet in project.sheets
        if sheet.is_read and sheet.kind == "circuit" and sheet.id not in readings
    ]
    if unread:
        return None, f"Gaps are found once every sheet is read; {unread[0]} is not yet."
    if not project.job.target_fit:
        return None, (
            "Say which fit this vehicle is to become and which it is now: Vehicle, Fits. "
            "What the first has and the second lacks is then listed here."
        )
    try:
        found = job_gaps(
            project,
            readings,
            memory=memory,
            vehicle_project=own.project if own is not None else None,
            vehicle_readings=own.readings if own is not None else None,
        )
    except LoomfolioError as error:
        return None, str(error)
    return found, ""
