"""Volts and amperes of a state, where all data on the way have a source.

The network is made of what is noted: voltages of supplies, resistances, loads, and what is closed as a
switch without resistance. Leads have none here. What is not known is left out and masked afterwards:

- A net that nothing holds has volts only where every load at it, and at those it hangs together with, has
  a resistance or a current that is noted, and nothing unknown drives any of them.
- A source with an inner resistance has volts at its plus only under the same condition.
- A way that passes has amperes only where everything on the side away from the source is known.

`electrics.solve` does the rest; its None stay None.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from loomfolio.basics import LoomfolioError
from loomfolio.electrics import (
    CurrentSource,
    Element,
    Figure,
    Resistor,
    Solution,
    Source,
    Switch,
    VoltageSource,
    given,
    solve,
)
from loomfolio.project import Known, LoadNote, PinKey, Project, ResistanceNote, SupplyNote, pin_text
from loomfolio.retrofit.live.conduction import Conduction, InnerEdge
from loomfolio.retrofit.live.reach import Reach
from loomfolio.retrofit.live.records import WayCurrent

_CHASSIS = "chassis"


@dataclass(frozen=True, eq=False)
class Solved:
    """The volts of nets and the amperes of ways that are known."""

    volts: Mapping[int, Figure]
    currents: tuple[WayCurrent, ...]


@dataclass(frozen=True, eq=False)
class _Data:
    """What is noted for each edge and net, and where something is missing."""

    elements: dict[str, Element]
    edge_names: dict[InnerEdge, str]
    figures: dict[str, Figure]
    sources: Mapping[int, tuple[str, ...]]
    """The figures of the source at each net."""
    missing: frozenset[int]
    """Nets at which a load without data, or something unknown, draws or drives."""


def solved(project: Project, conduction: Conduction, reach: Reach) -> Solved:
    """Return volts and amperes of a state, those that are known."""
    data = _data(project, conduction, reach)
    if not any(isinstance(e, VoltageSource) for e in data.elements.values()):
        return Solved({}, ())
    try:
        solution = solve(list(data.elements.values()), reference=_CHASSIS)
    except LoomfolioError:
        # sources without resistance that contradict each other: a fault of its own, and no volts
        return Solved({}, ())
    fixed = _fixed_nets(data, reach)
    unsure = _unsure_nets(data, reach, fixed)
    volts: dict[int, Figure] = {}
    for net in conduction.netlist.nets:
        value = solution.volts.get(str(net.number))
        if value is not None and net.number not in unsure:
            rests_on = _figures_at(data, reach, _hanging_together(net.number, reach, fixed))
            name = f"voltage of {net.name or 'the net'}"
            volts[net.number] = _figure(name, value, "V", rests_on)
    return Solved(volts, tuple(_currents(conduction, data, solution, reach, volts, unsure)))


def _figure(name: str, value: float, unit: str, inputs: tuple[Figure, ...]) -> Figure:
    rounded = 0.0 if math.isclose(value, 0.0, abs_tol=1e-12) else value
    return Figure(
        name, rounded, unit, "nodal analysis of the network, leads without resistance", inputs
    )


def _hanging_together(net: int, reach: Reach, fixed: frozenset[int]) -> frozenset[int]:
    """Nets whose loads move the voltage of a net: up to nets at a fixed voltage, those included."""
    found, rest = {net}, [net]
    while rest:
        at = rest.pop()
        if at in fixed:
            continue
        for edge in reach.at.get(at, ()):
            beyond = edge.beyond(at)
            if reach.position(edge) != "open" and beyond not in found:
                found.add(beyond)
                rest.append(beyond)
    return frozenset(found)


def _figures_at(data: _Data, reach: Reach, nets: frozenset[int]) -> tuple[Figure, ...]:
    """What was noted of the loads between these nets, and of the sources that hold them."""
    names = [
        name for edge, name in data.edge_names.items() if edge.net_a in nets and edge.net_b in nets
    ]
    names += [
        name
        for source, names_of in data.sources.items()
        if source in nets or any(source == start for start in _starts(reach, nets))
        for name in names_of
    ]
    return tuple(data.figures[name] for name in names if name in data.figures)


def _starts(reach: Reach, nets: frozenset[int]) -> set[int]:
    """The nets of the sources that hold these nets at plus."""
    found: set[int] = set()
    for net in nets & reach.held_high.keys():
        at = net
        while (before := reach.held_high[at].net) is not None:
            at = before
        found.add(at)
    return found


# --------------------------------------------------------------------------------------------- data


def _data(project: Project, conduction: Conduction, reach: Reach) -> _Data:
    elements: dict[str, Element] = {}
    figures: dict[str, Figure] = {}
    names: dict[InnerEdge, str] = {}
    missing = set(reach.free_drivers)
    for feed in conduction.feeds:
        if feed.pole == "minus" and feed.group == _CHASSIS:
            name = f"ground {feed.net} {feed.text}"
            elements[name] = Switch(name, str(feed.net), _CHASSIS, is_closed=True)
    sources = _add_supplies(project, conduction, elements, figures)
    missing |= {f.net for f in conduction.feeds if f.pole == "plus" and f.net not in sources}
    ohms, loads = _noted(project)
    for number, edge in enumerate(conduction.edges):
        name = f"{edge.name} {number}"
        ends = frozenset((edge.a, edge.b))
        if edge.net_a == edge.net_b:
            continue
        element = _element(edge, name, reach, ohms.get(ends), loads.get(ends), figures)
        if element is None:
            if edge.relation == "loads" or edge.is_one_way or reach.position(edge) == "unknown":
                missing |= {edge.net_a, edge.net_b}
            continue
        elements[name], names[edge] = element, name
    missing |= _loads_without_return(project, conduction)
    return _Data(elements, names, figures, sources, frozenset(missing))


def _add_supplies(
    project: Project,
    conduction: Conduction,
    elements: dict[str, Element],
    figures: dict[str, Figure],
) -> dict[int, tuple[str, ...]]:
    """Put in the supplies that are on; return the names of their figures by their nets."""
    on = {feed.pin: feed for feed in conduction.feeds if feed.pole == "plus"}
    done: dict[int, tuple[str, ...]] = {}
    for note in project.electric_notes:
        if not isinstance(note, SupplyNote) or note.pin not in on or not note.known.is_sure:
            continue
        feed = on[note.pin]
        back = None if note.back is None else conduction.netlist.net_by_pin.get(note.back)
        minus = _CHASSIS if back is None else str(back)
        name, inside = f"supply {feed.text}", f"supply {feed.text}, inside"
        elements[name] = VoltageSource(
            name, str(feed.net), minus, note.voltage_v, note.source_ohm or 0.0
        )
        figures[name] = _stated(f"voltage of {feed.text}", note.voltage_v, "V", note.known)
        if note.source_ohm is not None:
            what = f"inner resistance of {feed.text}"
            figures[inside] = _stated(what, note.source_ohm, "ohm", note.known)
        done[feed.net] = (*done.get(feed.net, ()), name, inside)
    return done


def _noted(
    project: Project,
) -> tuple[dict[frozenset[PinKey], ResistanceNote], dict[frozenset[PinKey], LoadNote]]:
    sure = [note for note in project.electric_notes if note.known.is_sure]
    ohms = {frozenset(note.ends): note for note in sure if isinstance(note, ResistanceNote)}
    loads = {
        frozenset((note.pin, note.back)): note
        for note in sure
        if isinstance(note, LoadNote) and note.back is not None
    }
    return ohms, loads


def _element(
    edge: InnerEdge,
    name: str,
    reach: Reach,
    ohms: ResistanceNote | None,
    load: LoadNote | None,
    figures: dict[str, Figure],
) -> Element | None:
    """The element of an edge; None where nothing is known of it, or where it is open."""
    if edge.relation == "passes":
        if reach.position(edge) != "closed" or edge.is_one_way:
            return None
        return Switch(name, str(edge.net_a), str(edge.net_b), is_closed=True)
    if ohms is not None:
        figures[name] = _stated(f"resistance of {edge.name}", ohms.ohm, "ohm", ohms.known)
        return Resistor(name, str(edge.net_a), str(edge.net_b), ohms.ohm)
    if load is None:
        return None
    into, out = (edge.net_a, edge.net_b) if load.pin == edge.a else (edge.net_b, edge.net_a)
    if into not in reach.held_high or out not in reach.held_low:
        # a load draws its current where it has its voltage; elsewhere nobody knows what it draws
        is_dead = into not in reach.held_high and into not in reach.unknown
        return CurrentSource(name, str(out), str(into), 0.0) if is_dead else None
    figures[name] = _stated(f"current of {edge.name}", load.current_a, "A", load.known)
    return CurrentSource(name, str(out), str(into), load.current_a)


def _loads_without_return(project: Project, conduction: Conduction) -> set[int]:
    """Nets at which something draws a current of which nobody said where it goes."""
    by_pin = conduction.netlist.net_by_pin
    return {
        by_pin[note.pin]
        for note in project.electric_notes
        if isinstance(note, LoadNote) and note.back is None and note.pin in by_pin
    }


def _stated(name: str, value: float, unit: str, known: Known) -> Figure:
    if known.how == "stated" and not known.source:
        return given(name, value, unit)
    source = Source(", ".join(word for word in (known.how, known.source) if word), "given")
    return Figure(name, value, unit, source=source)


# --------------------------------------------------------------------------------- what stays unknown


def _unsure_nets(data: _Data, reach: Reach, fixed: frozenset[int]) -> frozenset[int]:
    """Nets whose volts rest on something missing: those that hang together, up to nets at a fixed voltage."""
    found = {net for net in data.missing if net not in fixed}
    rest = list(found)
    while rest:
        net = rest.pop()
        for edge in reach.at.get(net, ()):
            beyond = edge.beyond(net)
            conducts = edge.relation == "loads" or reach.position(edge) != "open"
            if conducts and beyond not in fixed and beyond not in found:
                found.add(beyond)
                rest.append(beyond)
    return frozenset(found)


def _fixed_nets(data: _Data, reach: Reach) -> frozenset[int]:
    """Nets whose voltage no load moves: at chassis, or at a source without inner resistance."""
    rigid = {
        int(end)
        for element in data.elements.values()
        if isinstance(element, VoltageSource) and element.ohm == 0
        for end in (element.plus, element.minus)
        if end != _CHASSIS
    }
    rest, seen = [*rigid], set(rigid)
    while rest:
        net = rest.pop()
        for edge in reach.at.get(net, ()):
            beyond = edge.beyond(net)
            is_tied = edge.relation == "passes" and reach.position(edge) == "closed"
            if is_tied and not edge.is_one_way and beyond not in seen:
                seen.add(beyond)
                rest.append(beyond)
    return frozenset(seen | reach.held_low.keys())


def _currents(
    conduction: Conduction,
    data: _Data,
    solution: Solution,
    reach: Reach,
    volts: Mapping[int, Figure],
    unsure: frozenset[int],
) -> Iterable[WayCurrent]:
    for edge, name in data.edge_names.items():
        ampere = solution.amperes.get(name)
        if ampere is None or edge.net_a not in volts or edge.net_b not in volts:
            continue
        element = data.elements[name]
        side = frozenset({edge.net_a, edge.net_b})
        if isinstance(element, Switch):
            known = _known_side(edge, data.missing, unsure, conduction, reach)
            if known is None:
                continue
            side |= known | frozenset(
                other.beyond(net) for net in known for other in reach.at.get(net, ())
            )
        text = pin_text(conduction.netlist.project, edge.a)
        figure = _figure(
            f"current at {text}",
            _from_a_to_b(element, edge, ampere),
            "A",
            _figures_at(data, reach, side),
        )
        yield WayCurrent((edge.a, edge.b), figure)


def _from_a_to_b(element: Element, edge: InnerEdge, ampere: float) -> float:
    """A source counts out of its plus, a resistor and a switch from `a` to `b`."""
    is_turned = isinstance(element, CurrentSource) and element.plus == str(edge.net_a)
    return -ampere if is_turned else ampere


def _known_side(
    edge: InnerEdge,
    missing: frozenset[int],
    unsure: frozenset[int],
    conduction: Conduction,
    reach: Reach,
) -> frozenset[int] | None:
    """The side of a closed way that is away from every source, where all is known that hangs there."""
    sources = {feed.net for feed in conduction.feeds}
    for start, other in ((edge.net_a, edge.net_b), (edge.net_b, edge.net_a)):
        side = _side(edge, start, reach)
        hanging = {e.beyond(net) for net in side for e in reach.at.get(net, ())}
        if other not in side and not side & (sources | missing) and not hanging & unsure:
            return side
    return None


def _side(edge: InnerEdge, start: int, reach: Reach) -> frozenset[int]:
    found, rest = {start}, [start]
    while rest:
        net = rest.pop()
        for other in reach.at.get(net, ()):
            beyond = other.beyond(net)
            is_tied = other.relation == "passes" and reach.position(other) != "open"
            if other is not edge and is_tied and beyond not in found:
                found.add(beyond)
                rest.append(beyond)
    return frozenset(found)
