"""From the sheets' graphs to nets over all sheets.

How the data flows::

    project ─ in_fit ─> visible records ─ per sheet, kept in Memory ─> SheetGraph …
    SheetGraph … + links + pins + inner ways + mates + leads ─ merge ─> Net …

*Joined* alone makes a net: drawn conductors, the same pin on two sheets, joint bars, splices, ground points,
confirmed links, confirmed mates, leads that are known. What passes or loads is another relation and is
walked by `follow`. References stay apart: two ground points are never one net because of their symbol.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets.grouping import Grouping
from loomfolio.nets.records import DrawnConductor, NameClaim, Net, PlacedPin, Snap, Spot
from loomfolio.nets.release import Confirmations, anchor_of
from loomfolio.nets.sheet_graph import (
    SNAP_REACH_MM,
    LinkEnd,
    SheetGraph,
    build_sheet_graph,
)
from loomfolio.nets.visibility import Undetermined, in_fit
from loomfolio.project import (
    JOINED_THROUGHOUT,
    Anchor,
    Fit,
    HalfKey,
    Mark,
    Mate,
    NameMark,
    PinKey,
    PinPair,
    Project,
    Sheet,
    all_pins,
)
from loomfolio.reading import Reading


@dataclass(frozen=True, slots=True)
class _Remembered:
    sheet: Sheet
    reading: Reading
    marks: tuple[Mark, ...]
    link_ends: tuple[LinkEnd, ...]
    graph: SheetGraph


@dataclass
class Memory:
    """Sheets already worked out. Hand the same one to each `derive`, and an edit costs its own sheet only."""

    sheets: dict[str, _Remembered] = field(default_factory=dict)

    def graph(
        self, sheet: Sheet, reading: Reading, marks: tuple[Mark, ...], ends: tuple[LinkEnd, ...]
    ) -> SheetGraph:
        """Return the graph of a sheet, built anew only where something of it changed."""
        known = self.sheets.get(sheet.id)
        if (
            known is not None
            and known.sheet is sheet
            and known.reading is reading
            and known.link_ends == ends
            and len(known.marks) == len(marks)
            and all(old is new for old, new in zip(known.marks, marks, strict=True))
        ):
            return known.graph
        graph = build_sheet_graph(sheet, reading, marks, ends)
        self.sheets[sheet.id] = _Remembered(sheet, reading, marks, ends, graph)
        return graph


@dataclass(frozen=True, eq=False)
class Netlist:
    """The nets of a document in one fit, and everything that was found on the way.

    `project` is the visible document; `has_scope` tells whether the whole document names a scope.
    `first_conductor[sheet]` is the number of the sheet's conductor 0;
    `net_of_conductor` and the numbers of nets index `conductors` and `nets`.
    """

    project: Project
    has_scope: bool
    fit: Fit | None
    graphs: Mapping[str, SheetGraph]
    first_conductor: Mapping[str, int]
    conductors: tuple[DrawnConductor, ...]
    placed_pins: tuple[PlacedPin, ...]
    nets: tuple[Net, ...]
    confirmations: Confirmations
    net_by_pin: Mapping[PinKey, int]

    def net(self, number: int) -> Net:
        """Return a net by its number."""
        return self.nets[number]

    def net_of_pin(self, pin: PinKey) -> Net | None:
        """Return the net of a pin, or None for a pin that the document does not know."""
        number = self.net_by_pin.get(pin)
        return None if number is None else self.nets[number]

    def conductors_on(self, sheet_id: str) -> tuple[DrawnConductor, ...]:
        """Return the conductors of one sheet; none for a sheet that is not there."""
        return self._conductors_by_sheet.get(sheet_id, ())

    def pins_on(self, sheet_id: str) -> tuple[PlacedPin, ...]:
        """Return the pins that one sheet draws."""
        return self._pins_by_sheet.get(sheet_id, ())

    def spots_on(self, sheet_id: str) -> tuple[Spot, ...]:
        """Return the places of a sheet where something was decided."""
        graph = self.graphs.get(sheet_id)
        return () if graph is None else graph.spots

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
        return {placed.pin: placed.anchor for placed in reversed(self.placed_pins)}

    @cached_property
    def mated(self) -> Mapping[PinKey, tuple[tuple[PinKey, Mate, str], ...]]:
        """For each pin the cavities that it meets: the other pin, the mate, and how a confirmation names the pair."""
        found: dict[PinKey, list[tuple[PinKey, Mate, str]]] = {}
        by_half = pins_by_half(tuple(self.net_by_pin))
        for mate in self.project.mates:
            for pair in mate_pairs(mate, by_half):
                a, b = mate.a.pin(pair.a), mate.b.pin(pair.b)
                found.setdefault(a, []).append((b, mate, pair_text(pair)))
                found.setdefault(b, []).append((a, mate, pair_text(pair)))
        return {pin: tuple(others) for pin, others in found.items()}

    @cached_property
    def _conductors_by_sheet(self) -> dict[str, tuple[DrawnConductor, ...]]:
        by_sheet: dict[str, list[DrawnConductor]] = {}
        for conductor in self.conductors:
            by_sheet.setdefault(conductor.sheet, []).append(conductor)
        return {sheet: tuple(found) for sheet, found in by_sheet.items()}

    @cached_property
    def _pins_by_sheet(self) -> dict[str, tuple[PlacedPin, ...]]:
        by_sheet: dict[str, list[PlacedPin]] = {}
        for placed in self.placed_pins:
            by_sheet.setdefault(placed.anchor.sheet, []).append(placed)
        return {sheet: tuple(found) for sheet, found in by_sheet.items()}


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
    visible = in_fit(project, fit, undetermined)
    graphs = _sheet_graphs(visible, readings, memory or Memory())
    first: dict[str, int] = {}
    count = 0
    for sheet_id, graph in graphs.items():
        first[sheet_id] = count
        count += len(graph.conductors)
    confirmations = Confirmations.of(visible)
    groups = _merge(visible, graphs, first, count, confirmations)
    nets, net_of_conductor, net_by_pin = _number(groups, graphs, first, visible)
    return Netlist(
        project=visible,
        has_scope=bool(project.job.scope),
        fit=fit,
        graphs=graphs,
        first_conductor=first,
        conductors=_drawn(graphs, first, net_of_conductor),
        placed_pins=_placed(graphs, first),
        nets=nets,
        confirmations=confirmations,
        net_by_pin=net_by_pin,
    )


def _sheet_graphs(
    project: Project, readings: Mapping[str, Reading], memory: Memory
) -> dict[str, SheetGraph]:
    marks: dict[str, list[Mark]] = {}
    for mark in project.marks:
        marks.setdefault(mark.sheet, []).append(mark)
    ends: dict[str, list[LinkEnd]] = {}
    for link in sorted(project.links, key=lambda link: link.id):
        for side, anchor in (("a", link.a), ("b", link.b)):
            if anchor is not None:
                ends.setdefault(anchor.sheet, []).append(LinkEnd(link.id, side, anchor.at))
    graphs: dict[str, SheetGraph] = {}
    for sheet in sorted(project.sheets, key=lambda sheet: sheet.id):
        reading = readings.get(sheet.id) if sheet.is_read else None
        own = tuple(sorted(marks.get(sheet.id, ()), key=lambda mark: mark.id))
        graphs[sheet.id] = memory.graph(
            sheet, reading or _unread(sheet, memory), own, tuple(ends.get(sheet.id, ()))
        )
    return graphs


def _unread(sheet: Sheet, memory: Memory) -> Reading:
    """The reading of a sheet that is not read: the same object each time, so that memory recognises it."""
    known = memory.sheets.get(sheet.id)
    if known is not None and not known.reading.conductors and known.sheet is sheet:
        return known.reading
    return Reading.blank(sheet.width_px, sheet.height_px, sheet.x_dpi)


_Thing = int | PinKey


def _merge(
    project: Project,
    graphs: Mapping[str, SheetGraph],
    first: Mapping[str, int],
    count: int,
    confirmations: Confirmations,
) -> list[list[_Thing]]:
    grouping: Grouping[_Thing] = Grouping()
    for number in range(count):
        grouping.add(number)
    pins = all_pins(project)
    for pin in pins:
        grouping.add(pin)
    for things in (
        *_joined_on_sheets(graphs, first),
        *_joined_by_links(project, graphs, first, confirmations),
        *_joined_by_parts(project, pins),
        *_joined_by_mates(project, pins, confirmations),
        *(lead.ends for lead in project.leads if lead.known.is_sure),
    ):
        grouping.merge(things)
    return grouping.groups()


def _joined_on_sheets(
    graphs: Mapping[str, SheetGraph], first: Mapping[str, int]
) -> Iterator[tuple[_Thing, ...]]:
    """Each pin and the conductors that end at it; the same pin on two sheets is thereby one."""
    for sheet_id, graph in graphs.items():
        for matched in graph.pins:
            ends = (first[sheet_id] + graph.component[node] for node in matched.nodes)
            yield (matched.key, *ends)


def _joined_by_links(
    project: Project,
    graphs: Mapping[str, SheetGraph],
    first: Mapping[str, int],
    confirmations: Confirmations,
) -> Iterator[tuple[_Thing, ...]]:
    for link in project.links:
        if link.b is None or not confirmations.is_link_confirmed(link):
            continue
        a = graphs[link.a.sheet].link_snaps[link.id, "a"].conductor
        b = graphs[link.b.sheet].link_snaps[link.id, "b"].conductor
        if a is not None and b is not None:
            yield (first[link.a.sheet] + a, first[link.b.sheet] + b)


def _joined_by_mates(
    project: Project, pins: Sequence[PinKey], confirmations: Confirmations
) -> Iterator[tuple[_Thing, ...]]:
    by_half = pins_by_half(pins)
    for mate in project.mates:
        for pair in mate_pairs(mate, by_half):
            if confirmations.is_mate_confirmed(mate, pair_text(pair)):
                yield (mate.a.pin(pair.a), mate.b.pin(pair.b))


def _joined_by_parts(project: Project, pins: Sequence[PinKey]) -> list[list[PinKey]]:
    """What parts join inside: bars, and everything of a splice or a ground point."""
    together: dict[str, list[PinKey]] = {
        part.id: [] for part in project.parts if part.kind in JOINED_THROUGHOUT
    }
    for pin in pins:
        if pin.part in together:
            together[pin.part].append(pin)
    bars = [
        [PinKey(part=part.id, **pin.model_dump()) for pin in way.pins]
        for part in project.parts
        for way in part.ways
        if way.relation == "joined"
    ]
    return [*together.values(), *bars]


def pins_by_half(pins: Sequence[PinKey]) -> dict[HalfKey, list[str]]:
    """Return the pins of each half of a connector, in the order given."""
    found: dict[HalfKey, list[str]] = {}
    for pin in pins:
        found.setdefault(pin.half_key, []).append(pin.pin)
    return found


def mate_pairs(mate: Mate, by_half: Mapping[HalfKey, Sequence[str]]) -> tuple[PinPair, ...]:
    """Return which cavities of a mate meet: its table, or the proposal `n to n` over the pins that both halves have."""
    if mate.pairs:
        return mate.pairs
    a = set(by_half.get(mate.a, ()))
    return tuple(PinPair(a=pin, b=pin) for pin in by_half.get(mate.b, ()) if pin in a)


def pair_text(pair: PinPair) -> str:
    """Return how a confirmation names a pair of cavities: `3=7`."""
    return f"{pair.a}={pair.b}"


def _number(
    groups: Sequence[Sequence[_Thing]],
    graphs: Mapping[str, SheetGraph],
    first: Mapping[str, int],
    project: Project,
) -> tuple[tuple[Net, ...], list[int], dict[PinKey, int]]:
    sheet_of = [sheet_id for sheet_id, graph in graphs.items() for _ in graph.conductors]
    claims = _claims(graphs, first, project)
    nets: list[Net] = []
    net_of_conductor = [-1] * len(sheet_of)
    net_by_pin: dict[PinKey, int] = {}
    for number, group in enumerate(groups):
        pins = sorted((t for t in group if isinstance(t, PinKey)), key=lambda pin: pin.sort_key)
        conductors = sorted(t for t in group if isinstance(t, int))
        for conductor in conductors:
            net_of_conductor[conductor] = number
        for pin in pins:
            net_by_pin[pin] = number
        own = tuple(claim for thing in group for claim in claims.get(thing, ()))
        names = sorted({claim.name for claim in own})
        sheets = sorted({sheet_of[conductor] for conductor in conductors})
        name = names[0] if len(names) == 1 else ""
        nets.append(Net(number, name, own, tuple(pins), tuple(sheets), tuple(conductors)))
    return tuple(nets), net_of_conductor, net_by_pin


def _claims(
    graphs: Mapping[str, SheetGraph], first: Mapping[str, int], project: Project
) -> dict[_Thing, list[NameClaim]]:
    """Every name that something gives: a mark on a conductor, a cavity's name, a lead's name."""
    claims: dict[_Thing, list[NameClaim]] = {}
    for sheet_id, graph in graphs.items():
        for held in graph.holds:
            if isinstance(held.mark, NameMark) and held.snap.conductor is not None:
                place = anchor_of(sheet_id, held.mark.at)
                claim = NameClaim(held.mark.name, held.mark.id, held.mark.known, place)
                claims.setdefault(first[sheet_id] + held.snap.conductor, []).append(claim)
    for part in project.parts:
        for connector in part.connectors:
            for half in connector.halves:
                for cavity in half.cavities:
                    if cavity.name:
                        key = PinKey(
                            part=part.id, connector=connector.name, half=half.name, pin=cavity.pin
                        )
                        claim = NameClaim(cavity.name, part.id, cavity.known)
                        claims.setdefault(key, []).append(claim)
    for lead in project.leads:
        if lead.name:
            claims.setdefault(lead.ends[0], []).append(NameClaim(lead.name, lead.id, lead.known))
    return claims


def _drawn(
    graphs: Mapping[str, SheetGraph], first: Mapping[str, int], net_of: Sequence[int]
) -> tuple[DrawnConductor, ...]:
    return tuple(
        DrawnConductor(
            number=first[sheet_id] + number,
            sheet=sheet_id,
            lines=tuple(edge.line for edge in edges),
            stroke_mm=max(edge.ink.stroke_mm for edge in edges),
            source="read" if any(edge.ink.source == "read" for edge in edges) else "drawn",
            net=net_of[first[sheet_id] + number],
            colour=next((edge.ink.colour for edge in edges if edge.ink.colour), None),
            is_dashed=any(edge.ink.is_dashed for edge in edges),
        )
        for sheet_id, graph in graphs.items()
        for number, edges in enumerate(graph.conductors)
    )


def _placed(graphs: Mapping[str, SheetGraph], first: Mapping[str, int]) -> tuple[PlacedPin, ...]:
    return tuple(
        PlacedPin(
            pin=matched.key,
            anchor=anchor_of(sheet_id, matched.pin.at),
            body=matched.body,
            conductor=first[sheet_id] + graph.component[matched.nodes[0]]
            if matched.nodes
            else None,
        )
        for sheet_id, graph in graphs.items()
        for matched in graph.pins
    )
