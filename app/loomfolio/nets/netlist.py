"""From the sheets' graphs to nets over all sheets.

How the data flows::

    project ─ in_fit ─> visible records ─ per sheet, kept in Memory ─> SheetGraph, SheetNets …
    SheetNets … + links + pins + inner ways + mates + leads ─ merging ─> Net …

*Joined* alone makes a net: drawn conductors, the same pin on two sheets, joint bars, splices, ground points,
confirmed links, confirmed mates, leads that are known. What passes or loads is another relation and is
walked by `follow`. References stay apart: two ground points are never one net because of their symbol.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets.mating import mate_pairs, pair_text, pins_of_halves
from loomfolio.nets.merging import MergeMemory, merged_nets
from loomfolio.nets.numbered import NUMBERS_PER_SHEET, ByNumber
from loomfolio.nets.records import DrawnConductor, Net, PlacedPin, Snap, Spot
from loomfolio.nets.release import Confirmations, anchor_of
from loomfolio.nets.sheet_graph import SNAP_REACH_MM, LinkEnd, SheetGraph
from loomfolio.nets.sheet_memory import SheetMemory
from loomfolio.nets.sheet_nets import SheetNets
from loomfolio.nets.visibility import FittedRecords, Undetermined, in_fit
from loomfolio.project import Anchor, Fit, Mark, Mate, PinKey, Project
from loomfolio.reading import Reading


@dataclass
class Memory:
    """What was worked out already. Hand the same one to each `derive`, and an edit costs its own sheet only.

    One memory serves one fit; memories of several fits of one document may share their `sheets`.
    """

    sheets: SheetMemory = field(default_factory=SheetMemory)
    fitted: FittedRecords = field(default_factory=FittedRecords)
    merged: MergeMemory = field(default_factory=MergeMemory)


@dataclass(frozen=True, eq=False)
class Netlist:
    """The nets of a document in one fit, and everything that was found on the way.

    `project` is the visible document; `has_scope` tells whether the whole document names a scope.
    `first_conductor[sheet]` is the number of the sheet's conductor 0, `numbers_on[sheet]` are the numbers of
    the nets of its conductors. A net has the number of its first conductor. `memory` is what the next call
    takes over.
    """

    project: Project
    has_scope: bool
    fit: Fit | None
    sheets: Mapping[str, SheetNets]
    first_conductor: Mapping[str, int]
    nets: ByNumber[Net]
    numbers_on: Mapping[str, tuple[int, ...]]
    confirmations: Confirmations
    net_by_pin: Mapping[PinKey, int]
    memory: Memory

    @cached_property
    def graphs(self) -> Mapping[str, SheetGraph]:
        """The graph of each sheet."""
        return {sheet: own.graph for sheet, own in self.sheets.items()}

    @cached_property
    def conductors(self) -> ByNumber[DrawnConductor]:
        """All drawn conductors by their number."""
        return ByNumber({c.number: c for sheet in self.sheets for c in self.conductors_on(sheet)})

    @cached_property
    def placed_pins(self) -> tuple[PlacedPin, ...]:
        """All places where a pin is drawn."""
        return tuple(placed for sheet in self.sheets for placed in self.pins_on(sheet))

    def sheet_of_conductor(self, number: int) -> str:
        """Return the sheet that a conductor is drawn on."""
        return self._sheet_names[number // NUMBERS_PER_SHEET]

    @cached_property
    def _sheet_names(self) -> list[str]:
        return list(self.sheets)

    def net_of_conductor(self, number: int) -> int:
        """Return the number of the net that a conductor belongs to."""
        place, local = divmod(number, NUMBERS_PER_SHEET)
        return self.numbers_on[self._sheet_names[place]][local]

    def net(self, number: int) -> Net:
        """Return a net by its number."""
        return self.nets[number]

    def net_of_pin(self, pin: PinKey) -> Net | None:
        """Return the net of a pin, or None for a pin that the document does not know."""
        number = self.net_by_pin.get(pin)
        return None if number is None else self.nets[number]

    def conductors_on(self, sheet_id: str) -> tuple[DrawnConductor, ...]:
        """Return the conductors of one sheet; none for a sheet that is not there."""
        if sheet_id not in self._drawn:
            self._drawn[sheet_id] = tuple(self._conductors_of(sheet_id))
        return self._drawn[sheet_id]

    def _conductors_of(self, sheet_id: str) -> Iterator[DrawnConductor]:
        own = self.sheets.get(sheet_id)
        for number, edges in enumerate(own.graph.conductors if own is not None else ()):
            conductor = self.first_conductor[sheet_id] + number
            yield DrawnConductor(
                number=conductor,
                sheet=sheet_id,
                lines=tuple(edge.line for edge in edges),
                stroke_mm=max(edge.ink.stroke_mm for edge in edges),
                source="read" if any(edge.ink.source == "read" for edge in edges) else "drawn",
                net=self.numbers_on[sheet_id][number],
                colour=next((edge.ink.colour for edge in edges if edge.ink.colour), None),
                is_dashed=any(edge.ink.is_dashed for edge in edges),
            )

    @cached_property
    def _drawn(self) -> dict[str, tuple[DrawnConductor, ...]]:
        return {}

    def pins_on(self, sheet_id: str) -> tuple[PlacedPin, ...]:
        """Return the pins that one sheet draws."""
        own = self.sheets.get(sheet_id)
        if own is None:
            return ()
        first, component = self.first_conductor[sheet_id], own.graph.component
        return tuple(
            PlacedPin(
                pin=matched.key,
                anchor=anchor_of(sheet_id, matched.pin.at),
                body=matched.body,
                conductor=first + component[matched.nodes[0]] if matched.nodes else None,
            )
            for matched in own.graph.pins
        )

    def spots_on(self, sheet_id: str) -> tuple[Spot, ...]:
        """Return the places of a sheet where something was decided."""
        own = self.sheets.get(sheet_id)
        return () if own is None else own.graph.spots

    def snap(self, sheet_id: str, at: MmPoint, within_mm: float = SNAP_REACH_MM) -> Snap:
        """Return what a mark at `at` would hold on to, in this netlist's conductor numbers."""
        graph = self.graphs.get(sheet_id)
        if graph is None:
            return Snap(None, None, None)
        snap = graph.snap(at, within_mm)
        first = self.first_conductor[sheet_id]
        return Snap(
            None if snap.conductor is None else first + snap.conductor,
            snap.at,
            snap.distance_mm,
            tuple(first + rival for rival in snap.rivals),
        )

    def edge_crossings(self, sheet_id: str, box: MmBox) -> tuple[MmPoint, ...]:
        """Return where conductors meet the outline of a new body, clockwise from its top-left corner."""
        graph = self.graphs.get(sheet_id)
        return () if graph is None else graph.edge_crossings(box)

    @cached_property
    def place_of(self) -> Mapping[PinKey, Anchor]:
        """Where each pin is drawn first."""
        places: dict[PinKey, Anchor] = {}
        for own in reversed(tuple(self.sheets.values())):
            places.update(own.place_of)
        return places

    @cached_property
    def mated(self) -> Mapping[PinKey, tuple[tuple[PinKey, Mate, str], ...]]:
        """For each pin the cavities that it meets: the other pin, the mate, and how a confirmation names the pair."""
        found: dict[PinKey, list[tuple[PinKey, Mate, str]]] = {}
        by_half = pins_of_halves(self.project, self.net_by_pin)
        for mate in self.project.mates:
            for pair in mate_pairs(mate, by_half):
                a, b = mate.a.pin(pair.a), mate.b.pin(pair.b)
                found.setdefault(a, []).append((b, mate, pair_text(pair)))
                found.setdefault(b, []).append((a, mate, pair_text(pair)))
        return {pin: tuple(others) for pin, others in found.items()}


def derive(
    project: Project,
    readings: Mapping[str, Reading],
    *,
    fit: Fit | None = None,
    memory: Memory | None = None,
    undetermined: Undetermined = "kept",
) -> Netlist:
    """Work out the nets of a document.

    Parameters
    ----------
    readings
        By sheet id. A sheet without one, or with reading switched off, has only what the person drew.
    fit
        The set of options to look at; None shows everything that the documents say.
    memory
        What earlier calls worked out; sheets that did not change are taken from it.
    undetermined
        Whether records whose condition the fit leaves open are kept, or left out to see what hangs on them.
    """
    kept = memory or Memory()
    visible = in_fit(project, fit, undetermined, kept=kept.fitted)
    sheets = _sheets(visible, readings, kept.sheets)
    first = {sheet_id: place * NUMBERS_PER_SHEET for place, sheet_id in enumerate(sheets)}
    confirmations = Confirmations.of(visible)
    merged = merged_nets(visible, sheets, first, confirmations, kept.merged)
    return Netlist(
        project=visible,
        has_scope=bool(project.job.scope),
        fit=fit,
        sheets=sheets,
        first_conductor=first,
        nets=ByNumber(merged.nets),
        numbers_on=merged.numbers_on,
        confirmations=confirmations,
        net_by_pin=merged.net_by_pin,
        memory=kept,
    )


def _sheets(
    project: Project, readings: Mapping[str, Reading], memory: SheetMemory
) -> dict[str, SheetNets]:
    marks: dict[str, list[Mark]] = {}
    for mark in project.marks:
        marks.setdefault(mark.sheet, []).append(mark)
    ends: dict[str, list[LinkEnd]] = {}
    for link in sorted(project.links, key=lambda link: link.id):
        for side, anchor in (("a", link.a), ("b", link.b)):
            if anchor is not None:
                ends.setdefault(anchor.sheet, []).append(LinkEnd(link.id, side, anchor.at))
    sheets: dict[str, SheetNets] = {}
    for sheet in sorted(project.sheets, key=lambda sheet: sheet.id):
        reading = readings.get(sheet.id) if sheet.is_read else None
        own = tuple(sorted(marks.get(sheet.id, ()), key=lambda mark: mark.id))
        sheets[sheet.id] = memory.sheet_nets(
            sheet, reading or memory.unread(sheet), own, tuple(ends.get(sheet.id, ()))
        )
    return sheets
