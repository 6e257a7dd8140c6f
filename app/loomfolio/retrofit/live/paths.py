"""From a walk over nets to a path that a person can follow: source, nets, and what lies between them."""

from __future__ import annotations

from loomfolio.nets import Netlist
from loomfolio.project import PinKey, pin_text
from loomfolio.retrofit.live.conduction import Conduction
from loomfolio.retrofit.live.reach import Walk
from loomfolio.retrofit.live.records import LiveStep

_SIGNS = {"joined": "─", "passes": "╌", "loads": "≈"}


def path_to(conduction: Conduction, walks: tuple[Walk, ...], net: int) -> tuple[LiveStep, ...]:
    """Return the path to a net, from where its walk begins.

    `walks` are the one that reached it and those that this one began with.
    """
    netlist = conduction.netlist
    steps: list[LiveStep] = []
    at: int | None = net
    while at is not None:
        arrival = next((walk[at] for walk in walks if at in walk), None)
        if arrival is None or arrival.edge is None:
            steps.append(_start(conduction, at))
            break
        edge = arrival.edge
        leaving = edge.a if edge.net_a == at else edge.b
        steps.append(LiveStep(_net_text(netlist, at, leaving), edge.relation, leaving, at))
        place = netlist.place_of.get(leaving)
        steps.append(LiveStep(edge.name, edge.relation, None, None, place))
        at = arrival.net
    return tuple(
        step if step.place is not None or step.pin is None else _placed(netlist, step)
        for step in reversed(steps)
    )


def _placed(netlist: Netlist, step: LiveStep) -> LiveStep:
    place = None if step.pin is None else netlist.place_of.get(step.pin)
    return LiveStep(step.text, step.relation, step.pin, step.net, place)


def _start(conduction: Conduction, net: int) -> LiveStep:
    """What the path begins with: a source, or a pin of which nobody said what it does."""
    netlist = conduction.netlist
    for feed in conduction.feeds:
        if feed.net == net:
            return LiveStep(feed.text, "joined", feed.pin, net)
    pin = conduction.drivers.get(net)
    if pin is not None:
        text = f"{pin_text(netlist.project, pin)}, of which nobody said what it does"
        return LiveStep(text, "joined", pin, net)
    return LiveStep(netlist.nets[net].name or "a net", "joined", None, net)


def _net_text(netlist: Netlist, net: int, pin: PinKey) -> str:
    return netlist.nets[net].name or pin_text(netlist.project, pin)


def path_text(path: tuple[LiveStep, ...]) -> str:
    """Return a path as one line: `─` joined, `╌` passes, `≈` loads."""
    words = [
        f"{f' {_SIGNS[step.relation]} ' if place else ''}{step.text}"
        for place, step in enumerate(path)
    ]
    return "".join(words)
