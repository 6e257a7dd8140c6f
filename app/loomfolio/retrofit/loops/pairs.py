"""Bus pairs: do they stay pairs over joints, what reads between their leads, and how long are their stubs.

A pair is a cable group of two leads whose nets are both a bus. What terminates it are the resistances that
are noted between its two nets, in parallel (ISO 11898-2). A stub is a lead off the way between the two
terminations; its length counts where a lead or the plan says one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomfolio.electrics import (
    Bound,
    Figure,
    PairState,
    Tables,
    given,
    judge_pair,
    pair_resistance,
    stub_bound,
)
from loomfolio.nets import Netlist
from loomfolio.project import CircuitNote, PinKey, Project, ResistanceNote, half_text
from loomfolio.retrofit.loops.chain import Chain, chain_of, way_back
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.state import Equipment


@dataclass(frozen=True, slots=True)
class Stub:
    """A lead off the trunk. `length_m` and `bound` are None where nobody knows, or no table states a limit."""

    ends: Ends
    text: str
    length_m: Figure | None
    bound: Bound | None


@dataclass(frozen=True, slots=True)
class BusPair:
    """One pair: its two nets with a pin of each, what reads between them, where it parts, and its stubs.

    `resistance` is None where no termination is noted. `unsized` names terminations that are drawn and of which
    nobody noted the resistance. `partings` are sentences.
    """

    name: str
    nets: tuple[int, int]
    pins: tuple[PinKey, PinKey]
    kbit_per_s: float | None
    resistance: Figure | None
    state: PairState | None
    unsized: tuple[str, ...]
    partings: tuple[str, ...]
    stubs: tuple[Stub, ...]


def bus_pairs(
    project: Project,
    netlist: Netlist,
    equipment: Equipment,
    tables: Tables,
    *,
    lengths: Mapping[Ends, Figure] | None = None,
) -> tuple[BusPair, ...]:
    """Return the bus pairs of a netlist.

    Parameters
    ----------
    lengths
        Of leads by their ends, as a plan knows them; those that the document states are taken in any case.
    """
    rates = _rates(project, netlist)
    chain = chain_of(netlist, equipment)
    known = {**_stated_lengths(netlist, equipment), **(lengths or {})}
    found: dict[frozenset[int], BusPair] = {}
    for group in netlist.project.groups:
        if len(group.pins) != 2 or group.kind == "cable":
            continue
        high, low = (netlist.net_by_pin.get(pins[0], -1) for pins in group.pins)
        if high not in rates or low not in rates or frozenset((high, low)) in found:
            continue
        ohms, unsized, held = _terminations(project, netlist, high, low)
        resistance = pair_resistance(ohms) if ohms else None
        rate = rates[high] or rates[low]
        found[frozenset((high, low))] = BusPair(
            name=group.name,
            nets=(high, low),
            pins=(group.pins[0][0], group.pins[1][0]),
            kbit_per_s=rate,
            resistance=resistance,
            state=None if resistance is None else judge_pair(resistance.value, tables),
            unsized=unsized,
            partings=tuple(_partings(netlist, equipment, (high, low))),
            stubs=tuple(_stubs(netlist, equipment, chain, held, known, rate, tables)),
        )
    return tuple(found.values())


def _rates(project: Project, netlist: Netlist) -> dict[int, float | None]:
    return {
        netlist.net_by_pin[note.pin]: note.kbit_per_s
        for note in project.electric_notes
        if isinstance(note, CircuitNote)
        and note.circuit == "bus"
        and note.pin in netlist.net_by_pin
    }


def _stated_lengths(netlist: Netlist, equipment: Equipment) -> dict[Ends, Figure]:
    return {
        equipment.ends(*lead.ends): given("length of the lead", lead.length_m, "m")
        for lead in netlist.project.leads
        if lead.length_m is not None
    }


# ------------------------------------------------------------------------------------- terminations


def _terminations(
    project: Project, netlist: Netlist, high: int, low: int
) -> tuple[tuple[float, ...], tuple[str, ...], tuple[PinKey, ...]]:
    """The resistances between the two nets, what is drawn there without one, and their pins on the first net."""
    by_pin = netlist.net_by_pin
    names = {part.id: part.name for part in netlist.project.parts}
    ohms: list[float] = []
    held: list[PinKey] = []
    noted: set[frozenset[PinKey]] = set()
    for note in project.electric_notes:
        if not isinstance(note, ResistanceNote) or note.ends[0].part not in names:
            continue
        if {by_pin.get(end) for end in note.ends} == {high, low}:
            ohms.append(note.ohm)
            held += [end for end in note.ends if by_pin[end] == high]
            noted.add(frozenset(note.ends))
    unsized = []
    for part in netlist.project.parts:
        for way in part.ways:
            ends = [PinKey(part=part.id, **pin.model_dump()) for pin in way.pins]
            is_between = way.relation == "loads" and {by_pin.get(end) for end in ends} == {
                high,
                low,
            }
            if is_between and frozenset(ends) not in noted:
                unsized.append(f"{part.name} {way.label}".strip())
    return tuple(ohms), tuple(unsized), tuple(held)


# ------------------------------------------------------------------------------------- side by side


def _partings(netlist: Netlist, equipment: Equipment, nets: tuple[int, int]) -> Iterator[str]:
    """Say where one lead of the pair goes and the other does not: between the same halves, or by splices."""
    courses = [_courses(netlist, equipment, net) for net in nets]
    for own, other in (courses, courses[::-1]):
        for course, count in (own - other).items():
            text = " to ".join(sorted(_end_text(netlist, end) for end in course))
            few = "no lead" if not other[course] else "fewer leads"
            yield f"from {text} there is {few} of the other net beside it ({count} without)"


def _courses(
    netlist: Netlist, equipment: Equipment, net: int
) -> Counter[tuple[tuple[str, ...], ...]]:
    """How often the leads of a net run between which halves; every splice and drawn joint counts alike."""
    found: Counter[tuple[tuple[str, ...], ...]] = Counter()
    pins = {equipment.node(pin) for pin in netlist.nets[net].pins}
    for ends in equipment.leads:
        if ends[0] in pins or ends[1] in pins:
            found[tuple(sorted(_end(end) for end in ends))] += 1
    return found


def _end(node: Node) -> tuple[str, ...]:
    return ("joint",) if isinstance(node, str) else (node.part, node.connector, node.half)


def _end_text(netlist: Netlist, end: tuple[str, ...]) -> str:
    if end == ("joint",):
        return "a joint"
    key = PinKey(part=end[0], connector=end[1], half=end[2], pin="-").half_key
    return half_text(netlist.project, key)


# -------------------------------------------------------------------------------------------- stubs


def _stubs(
    netlist: Netlist,
    equipment: Equipment,
    chain: Chain,
    terminations: tuple[PinKey, ...],
    lengths: Mapping[Ends, Figure],
    rate: float | None,
    tables: Tables,
) -> Iterator[Stub]:
    """The leads of the first net off the way between the two terminations that lie farthest along it."""
    if len(terminations) < 2:
        return
    net = netlist.net_by_pin[terminations[0]]
    own = {equipment.node(pin) for pin in netlist.nets[net].pins}
    metal = chain.without([link for link in chain.links if link.what == "way"])
    came = metal.reached(equipment.node(terminations[0]))
    ends = [equipment.node(pin) for pin in terminations[1:]]
    trunk = {node for end in ends if end in came for node, _ in way_back(came, end)}
    for link in metal.links:
        is_off = link.what == "lead" and not {link.a, link.b} <= trunk
        if is_off and (link.a in own or link.b in own):
            pair = (link.a, link.b)
            length = lengths.get(pair)
            bound = (
                None
                if length is None or rate is None
                else stub_bound(length.value, kbit_per_s=rate, tables=tables)
            )
            text = " to ".join(_node_text(equipment, node) for node in pair)
            yield Stub(pair, text, length, bound)


def _node_text(equipment: Equipment, node: Node) -> str:
    if isinstance(node, str) and node not in equipment.part_names:
        return "a joint"
    return equipment.text(node)
