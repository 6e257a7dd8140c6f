"""The live table of a state: which pins are live, dead or unknown, each with its path, and what is wrong.

How the data flows::

    netlist, notes, state ─ conduction ─> edges, feeds, drivers ─ relays at rest ─> walks
    walks ─> an answer for each net ─> for each pin, with its path
          ─> faults: shorts, relays without rest, supplies that are off and yet live, supplies joined
    walks, loads, resistances ─ solved as a network ─> volts and amperes where every datum has a source
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomfolio.nets import Netlist
from loomfolio.project import ElectricState, PinKey, Project, SupplyNote, pin_text
from loomfolio.retrofit.live.conduction import CHASSIS, Conduction, Feed, conduction_of
from loomfolio.retrofit.live.paths import path_to
from loomfolio.retrofit.live.reach import Reach, Walk
from loomfolio.retrofit.live.records import (
    LiveFault,
    Liveness,
    LiveStep,
    LiveTable,
    PinLiveness,
    RelayAtRest,
)
from loomfolio.retrofit.live.relays_at_rest import Rest, bring_to_rest
from loomfolio.retrofit.live.volts import solved

_NOTHING = "nothing reaches it"


@dataclass(frozen=True, slots=True)
class _Answer:
    answer: Liveness
    reason: str
    path: tuple[LiveStep, ...]


def live_table(project: Project, netlist: Netlist, state: ElectricState) -> LiveTable:
    """Return which pins are live, dead or unknown in a state.

    Parameters
    ----------
    project
        Holds the notes; the parts are those that the netlist shows.

    A pin held at chassis is dead. A pin that nothing reaches is dead. What a module does to a pin is not
    guessed: where nobody stated it the pin is unknown, but for pins that something else holds.
    """
    conduction = conduction_of(project, netlist, state)
    rest = bring_to_rest(conduction)
    answers = {net.number: _answer(conduction, rest.reach, net.number) for net in netlist.nets}
    solution = solved(project, conduction, rest.reach)
    names = {part.id: part.name for part in netlist.project.parts}
    return LiveTable(
        state=state.name,
        pins={
            pin: PinLiveness(
                pin,
                answers[net].answer,
                answers[net].reason,
                answers[net].path,
                solution.volts.get(net),
            )
            for pin, net in sorted(
                netlist.net_by_pin.items(), key=lambda one: _order(names, one[0])
            )
        },
        relays=tuple(
            RelayAtRest(part, pulled, rest.reasons[part])
            for part, pulled in sorted(rest.pulled.items(), key=lambda one: names[one[0]])
        ),
        faults=tuple(_faults(project, conduction, rest)),
        currents=solution.currents,
    )


def _order(names: dict[str, str], pin: PinKey) -> tuple[object, ...]:
    return (names[pin.part], *pin.sort_key[1:])


def _answer(conduction: Conduction, reach: Reach, net: int) -> _Answer:
    if net in reach.held_high:
        path = path_to(conduction, (reach.held_high,), net)
        pole = "" if net not in reach.held_low else ", and joined to chassis, too"
        return _Answer("live", f"fed by {path[0].text}{pole}", path)
    if net in reach.held_low:
        path = path_to(conduction, (reach.held_low,), net)
        return _Answer("dead", f"at chassis by {path[0].text}", path)
    if net in reach.live_by_load:
        path = path_to(conduction, (reach.live_by_load, reach.held_high), net)
        return _Answer("live", f"fed by {path[0].text} through a load", path)
    if net in reach.unknown:
        walks = (reach.unknown, reach.live_by_load, reach.held_high)
        path = path_to(conduction, walks, net)
        return _Answer("unknown", _why_unknown(conduction, path, net), path)
    off = conduction.off.get(net)
    if off is not None:
        name = pin_text(conduction.netlist.project, off)
        return _Answer("dead", f"its supply {name} is off, and nothing else reaches it", ())
    return _Answer("dead", _NOTHING, ())


def _why_unknown(conduction: Conduction, path: tuple[LiveStep, ...], net: int) -> str:
    first = path[0]
    if first.net in conduction.drivers and not any(f.net == first.net for f in conduction.feeds):
        return f"depends on {first.text}"
    driver = conduction.drivers.get(net)
    if driver is not None:
        name = pin_text(conduction.netlist.project, driver)
        return f"{name} may hold it, and nobody said what it does"
    return "whether something on its way conducts is not known"


# ------------------------------------------------------------------------------------------- faults


def _faults(project: Project, conduction: Conduction, rest: Rest) -> Iterator[LiveFault]:
    yield from _shorts(conduction, rest.reach)
    yield from _restless(conduction, rest)
    yield from _fed_back(conduction, rest.reach)
    yield from _joined_supplies(project, conduction, rest.reach)


def _shorts(conduction: Conduction, reach: Reach) -> Iterator[LiveFault]:
    """A feed whose net is held at the other pole of its own group."""
    project = conduction.netlist.project
    for feed in conduction.feeds:
        other = reach.groups.get((feed.group, "minus" if feed.pole == "plus" else "plus"), {})
        if feed.pole == "plus" and feed.net in other:
            path = path_to(conduction, (other,), feed.net)
            yield LiveFault(
                "short",
                f"{feed.text} is shorted to {path[0].text}",
                f"short: {pin_text(project, feed.pin)}",
                (feed.pin,),
                path,
            )


def _restless(conduction: Conduction, rest: Rest) -> Iterator[LiveFault]:
    names = {part.id: part.name for part in conduction.netlist.project.parts}
    if rest.restless:
        told = ", ".join(names[part] for part in rest.restless)
        pins = tuple(edge.a for edge in conduction.edges if edge.part in rest.restless)
        verb = "do" if len(rest.restless) > 1 else "does"
        yield LiveFault("no rest", f"{told} {verb} not come to rest", f"no rest: {told}", pins)


def _fed_back(conduction: Conduction, reach: Reach) -> Iterator[LiveFault]:
    project = conduction.netlist.project
    for net, pin in conduction.off.items():
        walks = (reach.held_high,) if net in reach.held_high else (reach.live_by_load,)
        if net in walks[0]:
            path = path_to(conduction, (*walks, reach.held_high), net)
            text = pin_text(project, pin)
            yield LiveFault(
                "fed back",
                f"{text} is off and yet live, fed back by {path[0].text}",
                f"fed back: {text}",
                (pin,),
                path,
            )


def _joined_supplies(project: Project, conduction: Conduction, reach: Reach) -> Iterator[LiveFault]:
    """Two supplies that are on and held together over what is closed."""
    notes = {n.pin: n for n in project.electric_notes if isinstance(n, SupplyNote)}
    plus = [f for f in conduction.feeds if f.pole == "plus" and f.pin in notes]
    own = {feed.pin: reach.from_feed([feed], "plus") for feed in plus}
    for place, feed in enumerate(plus):
        for other in plus[place + 1 :]:
            if other.net in own[feed.pin]:
                yield _joined(conduction, feed, other, own[feed.pin])


def _joined(conduction: Conduction, feed: Feed, other: Feed, walk: Walk) -> LiveFault:
    path = path_to(conduction, (walk,), other.net)
    first, second = sorted((feed.text, other.text))
    poles = "" if feed.group == other.group == CHASSIS else ", which do not share a minus"
    return LiveFault(
        "supplies joined",
        f"{first} and {second} are joined{poles}",
        f"supplies joined: {first}, {second}",
        (feed.pin, other.pin),
        path,
    )
