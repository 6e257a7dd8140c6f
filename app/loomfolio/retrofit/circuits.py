"""Which class of circuit each net is of: high voltage, restraint, interlock, bus and so on, and why.

How the data flows::

    notes at pins, references of ground points, screens of cable groups ─> classes of nets
    classes that go through what conducts ─ inner ways that pass (and load) ─> classes of the nets beyond

A note speaks of the whole net of its pin. High voltage goes on through whatever conducts, loads included,
for both ends of a load are live; restraint and interlock circuits go on through switches and plugs. What a
relay's coil does has no way to its contact, so no class goes over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from loomfolio.nets import Netlist, Relation
from loomfolio.project import CircuitClass, CircuitNote, PinKey, Project, pin_text

_GOES_THROUGH: Mapping[CircuitClass, frozenset[Relation]] = {
    "high voltage": frozenset({"joined", "passes", "loads"}),
    "interlock": frozenset({"joined", "passes"}),
    "restraint": frozenset({"joined", "passes", "loads"}),
}
"""Through which relations inside a part a class goes on; the others end with their net."""


class _Claim(NamedTuple):
    net: int
    circuit: CircuitClass
    reason: str


def circuits_of(project: Project, netlist: Netlist) -> Mapping[int, frozenset[CircuitClass]]:
    """Return the classes of each net by its number; a net of no class is left out."""
    return {net: frozenset(own) for net, own in circuit_reasons(project, netlist).items()}


def circuit_reasons(project: Project, netlist: Netlist) -> Mapping[int, Mapping[CircuitClass, str]]:
    """Return for each net its classes, each with the clause that says why."""
    found: dict[int, dict[CircuitClass, str]] = {}
    ways = _inner_ways(netlist)
    rest = list(_claims(project, netlist))[::-1]
    while rest:
        net, circuit, reason = rest.pop()
        own = found.setdefault(net, {})
        if circuit in own:
            continue
        own[circuit] = reason
        for relation, beyond, part in ways.get(net, ()):
            if relation in _GOES_THROUGH.get(circuit, ()):
                rest.append(_Claim(beyond, circuit, f"{reason}, through {part}"))
    return found


def _claims(project: Project, netlist: Netlist) -> Iterator[_Claim]:
    for note in project.electric_notes:
        if isinstance(note, CircuitNote) and note.pin in netlist.net_by_pin:
            where = f"{note.circuit} is {note.known.how} at {pin_text(project, note.pin)}"
            yield _Claim(netlist.net_by_pin[note.pin], note.circuit, where)
            if note.circuit == "traction minus":
                yield _Claim(netlist.net_by_pin[note.pin], "high voltage", where)
    yield from _claims_of_references(netlist)
    for group in netlist.project.groups:
        for pin in _pins_in_a_screen(group.kind, group.pins):
            if pin in netlist.net_by_pin:
                reason = f"{pin_text(project, pin)} lies in the screen of {group.name}"
                yield _Claim(netlist.net_by_pin[pin], "screened", reason)


def _claims_of_references(netlist: Netlist) -> Iterator[_Claim]:
    kinds = {reference.id: reference.kind for reference in netlist.project.references}
    parts = {
        part.id: (part.name, kinds[part.reference])
        for part in netlist.project.parts
        if part.reference in kinds
    }
    for pin, net in netlist.net_by_pin.items():
        name, kind = parts.get(pin.part, ("", ""))
        if kind == "sensor ground":
            yield _Claim(net, "sensor ground", f"{name} is the sensors' own ground")
        elif kind == "traction minus":
            for circuit in ("traction minus", "high voltage"):
                yield _Claim(net, circuit, f"{name} is traction minus")


def _pins_in_a_screen(kind: str, pairs: tuple[tuple[PinKey, PinKey], ...]) -> Iterator[PinKey]:
    if kind == "screen":
        for pair in pairs:
            yield from pair


def _inner_ways(netlist: Netlist) -> dict[int, list[tuple[Relation, int, str]]]:
    """For each net what leads on from it inside a part: how, to which net, through which part."""
    found: dict[int, list[tuple[Relation, int, str]]] = {}
    for part in netlist.project.parts:
        for way in part.ways:
            keys = [PinKey(part=part.id, **pin.model_dump()) for pin in way.pins]
            nets = [netlist.net_by_pin[key] for key in keys if key in netlist.net_by_pin]
            for net in nets:
                found.setdefault(net, []).extend(
                    (way.relation, other, part.name) for other in nets if other != net
                )
    return found
