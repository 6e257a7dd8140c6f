"""What conducts inside the parts, as edges between nets; and what feeds, pulls down or may do either.

A net is one metal. Edges are inner ways that pass or load, resistances and loads that are noted without a
drawn way, and mates that nobody has confirmed: these may conduct, and so stand as unknown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.nets import Netlist
from loomfolio.project import (
    CircuitNote,
    ElectricState,
    InnerWay,
    LoadNote,
    Part,
    PartKind,
    PinKey,
    Project,
    ResistanceNote,
    SupplyNote,
    pin_text,
)

Position = Literal["closed", "open", "unknown"]


@dataclass(frozen=True, slots=True)
class InnerEdge:
    """What lies between two pins of a part (or of an unconfirmed mate), and so between two nets.

    `position` is that at rest, or as the state sets it (`is_set`). A diode conducts from `a` to `b`.
    """

    part: str
    name: str
    relation: Literal["passes", "loads"]
    a: PinKey
    b: PinKey
    net_a: int
    net_b: int
    position: Position
    is_set: bool = False
    is_contact: bool = False
    is_one_way: bool = False

    def beyond(self, net: int) -> int:
        """Return the net on the other side."""
        return self.net_b if net == self.net_a else self.net_a


@dataclass(frozen=True, slots=True)
class Feed:
    """Something that holds a net at a pole. `group` tells the sources whose poles belong together."""

    net: int
    pin: PinKey
    pole: Literal["plus", "minus"]
    group: str
    text: str


@dataclass(frozen=True, eq=False)
class Conduction:
    """All edges of a netlist in a state, what feeds it, and which nets something unknown may drive.

    `drivers` maps a net to the pin of the part that may drive it; `off` are the supplies that are off.
    """

    netlist: Netlist
    edges: tuple[InnerEdge, ...]
    feeds: tuple[Feed, ...]
    drivers: Mapping[int, PinKey]
    off: Mapping[int, PinKey]

    def at(self) -> dict[int, list[InnerEdge]]:
        """Return the edges at each net."""
        found: dict[int, list[InnerEdge]] = {}
        for edge in self.edges:
            found.setdefault(edge.net_a, []).append(edge)
            found.setdefault(edge.net_b, []).append(edge)
        return found


CHASSIS = "chassis"
_CLOSED_UNLESS_SAID: frozenset[PartKind] = frozenset({"fuse", "diode"})
_ACTIVE_WHEN_BARE: frozenset[PartKind] = frozenset(
    {"module", "sensor", "device", "inlet", "socket", "battery", "supply", "motor", "lamp"}
)
"""Kinds of part whose pins may drive a net when nothing tells how they conduct inside."""


def conduction_of(project: Project, netlist: Netlist, state: ElectricState) -> Conduction:
    """Return what conducts and what feeds in a state. `project` holds the notes."""
    edges = tuple(inner_edges(project, netlist, state))
    feeds = tuple(_feeds(project, netlist, state, edges))
    notes = [n for n in project.electric_notes if isinstance(n, SupplyNote)]
    off = {
        netlist.net_by_pin[note.pin]: note.pin
        for note in notes
        if note.pin in netlist.net_by_pin and note.pin not in state.supplies
    }
    passive = {edge.a for edge in edges} | {edge.b for edge in edges}
    passive |= {drive.pin for drive in state.drives}
    passive |= {pin for note in notes for pin in (note.pin, note.back) if pin is not None}
    passive |= {n.pin for n in project.electric_notes if isinstance(n, LoadNote)}
    return Conduction(netlist, edges, feeds, _drivers(project, netlist, passive), off)


def _drivers(project: Project, netlist: Netlist, passive: set[PinKey]) -> dict[int, PinKey]:
    """The nets that something may drive of which nobody said what it does; a bus is always one."""
    kinds = {part.id: part.kind for part in netlist.project.parts}
    buses = {
        netlist.net_by_pin.get(note.pin)
        for note in project.electric_notes
        if isinstance(note, CircuitNote) and note.circuit == "bus"
    }
    drivers: dict[int, PinKey] = {}
    for pin, net in netlist.net_by_pin.items():
        kind = kinds[pin.part]
        if kind in _ACTIVE_WHEN_BARE and (
            pin not in passive or (net in buses and kind == "module")
        ):
            drivers.setdefault(net, pin)
    return drivers


# -------------------------------------------------------------------------------------------- edges


def inner_edges(
    project: Project, netlist: Netlist, state: ElectricState | None = None
) -> Iterator[InnerEdge]:
    """Yield what lies between nets; without a state as it is at rest."""
    set_ways = {frozenset(one.ends): one.is_closed for one in state.settings} if state else {}
    seen: set[frozenset[PinKey]] = set()
    for part in netlist.project.parts:
        for way in part.ways:
            if way.relation == "joined":
                continue
            a, b = (PinKey(part=part.id, **pin.model_dump()) for pin in way.pins)
            seen.add(frozenset((a, b)))
            if a in netlist.net_by_pin and b in netlist.net_by_pin:
                yield _edge_of_way(netlist, part, way, (a, b), set_ways.get(frozenset((a, b))))
    yield from _edges_of_notes(project, netlist, seen)
    yield from _open_mates(netlist)


def _edge_of_way(
    netlist: Netlist,
    part: Part,
    way: InnerWay,
    ends: tuple[PinKey, PinKey],
    is_set_closed: bool | None,  # noqa: FBT001 - None, open, closed
) -> InnerEdge:
    if is_set_closed is not None:
        position: Position = "closed" if is_set_closed else "open"
    elif way.relation == "loads":
        position = "closed"
    else:
        by_kind = part.kind in _CLOSED_UNLESS_SAID and way.at_rest == "unknown"
        position = "closed" if by_kind else way.at_rest
    return InnerEdge(
        part=part.id,
        name=f"{part.name} {way.label}".strip(),
        relation="loads" if way.relation == "loads" else "passes",
        a=ends[0],
        b=ends[1],
        net_a=netlist.net_by_pin[ends[0]],
        net_b=netlist.net_by_pin[ends[1]],
        position=position,
        is_set=is_set_closed is not None,
        is_contact=part.kind == "relay" and way.relation == "passes",
        is_one_way=part.kind == "diode" and way.relation == "passes",
    )


def _edges_of_notes(
    project: Project, netlist: Netlist, seen: set[frozenset[PinKey]]
) -> Iterator[InnerEdge]:
    names = {part.id: part.name for part in netlist.project.parts}
    for note in project.electric_notes:
        if isinstance(note, ResistanceNote):
            ends: tuple[PinKey, PinKey] = note.ends
            what = f"{note.ohm:g} Ω"
        elif isinstance(note, LoadNote) and note.back is not None:
            ends, what = (note.pin, note.back), "load"
        else:
            continue
        nets = [netlist.net_by_pin.get(pin) for pin in ends]
        if frozenset(ends) in seen or nets[0] is None or nets[1] is None:
            continue
        seen.add(frozenset(ends))
        name = f"{names[ends[0].part]} {what}"
        yield InnerEdge(ends[0].part, name, "loads", *ends, nets[0], nets[1], "closed")


def _open_mates(netlist: Netlist) -> Iterator[InnerEdge]:
    """Mated cavities that nobody has confirmed: they may meet, and nobody knows."""
    done: set[frozenset[PinKey]] = set()
    names = {part.id: part.name for part in netlist.project.parts}
    for a, others in netlist.mated.items():
        for b, _, _ in others:
            pair = frozenset((a, b))
            net_a, net_b = netlist.net_by_pin.get(a), netlist.net_by_pin.get(b)
            if net_a is None or net_b is None or net_a == net_b or pair in done:
                continue
            done.add(pair)
            name = f"{names[a.part]} {a.pin}={b.pin}, not confirmed"
            yield InnerEdge(a.part, name, "passes", a, b, net_a, net_b, "unknown")


# -------------------------------------------------------------------------------------------- feeds


def chassis_nets(netlist: Netlist) -> Mapping[int, PinKey]:
    """Return the nets that hold a ground point on chassis, each with a pin of it.

    A ground point that names no reference stands on chassis; one on another reference does not.
    """
    kinds = {reference.id: reference.kind for reference in netlist.project.references}
    on_chassis = {
        part.id
        for part in netlist.project.parts
        if part.kind == "ground point"
        and (part.reference is None or kinds.get(part.reference) == "chassis")
    }
    found: dict[int, PinKey] = {}
    for pin, net in netlist.net_by_pin.items():
        if pin.part in on_chassis:
            found.setdefault(net, pin)
    return found


def _feeds(
    project: Project, netlist: Netlist, state: ElectricState, edges: Sequence[InnerEdge]
) -> Iterator[Feed]:
    chassis = chassis_nets(netlist)
    for net, pin in chassis.items():
        yield Feed(net, pin, "minus", CHASSIS, pin_text(netlist.project, pin))
    grounded = _closed_from(chassis, edges)
    for note in project.electric_notes:
        if not isinstance(note, SupplyNote) or note.pin not in state.supplies:
            continue
        yield from _feeds_of_supply(netlist, note, grounded)
    for drive in state.drives:
        net_of = netlist.net_by_pin.get(drive.pin)
        if net_of is not None and drive.drives != "off":
            text = f"{pin_text(netlist.project, drive.pin)}, driven to {drive.drives}"
            yield Feed(net_of, drive.pin, drive.drives, CHASSIS, text)


def _feeds_of_supply(netlist: Netlist, note: SupplyNote, grounded: set[int]) -> Iterator[Feed]:
    """A supply with its minus on chassis has one pole; one without stands for itself and has two."""
    net = netlist.net_by_pin.get(note.pin)
    if net is None:
        return
    back = None if note.back is None else netlist.net_by_pin.get(note.back)
    is_on_chassis = note.back is None or back in grounded
    text = pin_text(netlist.project, note.pin)
    yield Feed(net, note.pin, "plus", CHASSIS if is_on_chassis else text, text)
    if not is_on_chassis and back is not None and note.back is not None:
        pole = f"{pin_text(netlist.project, note.back)}, a minus that is not on chassis"
        yield Feed(back, note.back, "minus", text, pole)


def _closed_from(nets: Mapping[int, PinKey], edges: Sequence[InnerEdge]) -> set[int]:
    found, rest = set(nets), list(nets)
    at: dict[int, list[InnerEdge]] = {}
    for edge in edges:
        if edge.relation == "passes" and edge.position == "closed" and not edge.is_contact:
            at.setdefault(edge.net_a, []).append(edge)
            at.setdefault(edge.net_b, []).append(edge)
    while rest:
        net = rest.pop()
        for edge in at.get(net, ()):
            beyond = edge.beyond(net)
            if beyond not in found:
                found.add(beyond)
                rest.append(beyond)
    return found
