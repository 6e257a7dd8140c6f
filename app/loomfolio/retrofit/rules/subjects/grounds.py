"""Grounds: references stay apart, the sensors' own ground carries sensors alone, each part on its reference."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.project import PartKind
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, about, rule
from loomfolio.retrofit.rules.subjects.high_voltage import net_key

_PRACTICE = "Common practice, no source"
_DRAWS: frozenset[PartKind] = frozenset({"lamp", "motor", "relay"})
_SENSOR_A = 0.1
"""More than this is no sensor's current (practice)."""


@rule(
    key="ground: references",
    title="References stay apart",
    reason="Two grounds that are joined in a new place carry each other's currents.",
    source=_PRACTICE,
)
def references_joined(judged: Judged) -> Iterator[Found]:
    """A net with ground points of two references in it."""
    for net, points in judged.grounds.items():
        kinds = {judged.reference(part) for part in points}
        if len(kinds) > 1:
            names = " and ".join(sorted(part.name for part in points))
            ids = {part.id for part in points}
            pins = tuple(p for p in judged.netlist.nets[net].pins if p.part in ids)
            yield Found(
                f"{names} are joined, and stand on {' and '.join(sorted(kinds))}",
                about(*sorted(ids)),
                pins,
            )


@rule(
    key="ground: sensors",
    title="The sensors' ground carries sensors alone",
    reason="What else returns over it shifts every sensor that is read against it.",
    source=_PRACTICE,
)
def load_on_sensor_ground(judged: Judged) -> Iterator[Found]:
    """A lamp, motor or coil, or a load of more than a sensor draws, that returns over a sensor ground."""
    for net in judged.nets_of_class("sensor ground"):
        for pin in judged.netlist.nets[net].pins:
            if judged.part(pin).kind in _DRAWS:
                yield Found(
                    f"{judged.pin(pin)} returns over {judged.net(net)}, which is the sensors' ground",
                    about(pin),
                    (pin,),
                )
    for note in judged.feeds.loads:
        net_of = None if note.back is None else judged.netlist.net_by_pin.get(note.back)
        is_load = note.current_a > _SENSOR_A and note.back is not None and net_of is not None
        if is_load and note.back and judged.is_of_class(net_of or 0, "sensor ground"):
            yield Found(
                f"{note.current_a:g} A of {judged.pin(note.pin)} return over the sensors' ground",
                about(note.back),
                (note.back,),
            )


@rule(
    key="ground: reference of a part",
    title="A part stands on its own reference",
    reason="What is measured against another ground than the maker's is measured wrongly.",
    source=_PRACTICE,
)
def wrong_reference(judged: Judged) -> Iterator[Found]:
    """A part that is said to stand on one reference and is joined to ground points of others only."""
    for part in judged.parts.values():
        if part.reference is None or part.kind == "ground point":
            continue
        nets = {n for pin, n in judged.netlist.net_by_pin.items() if pin.part == part.id}
        points = [point for net in nets for point in judged.grounds.get(net, ())]
        if points and all(point.reference != part.reference for point in points):
            pins = tuple(
                pin
                for pin, net in judged.netlist.net_by_pin.items()
                if pin.part == part.id and net in judged.grounds
            )
            names = ", ".join(sorted({point.name for point in points}))
            yield Found(f"{part.name} is joined to {names}, not to its reference", part.id, pins)


@rule(
    key="ground: sensor on chassis",
    title="A sensor returns where its neighbours do",
    reason="A sensor on chassis reads the drop of every load beside it.",
    source=_PRACTICE,
)
def sensor_on_chassis(judged: Judged) -> Iterator[Found]:
    """A sensor with a lead to chassis whose module reads other sensors against the sensors' own ground."""
    grounded_by = {
        pin.part
        for net in judged.nets_of_class("sensor ground")
        for pin in judged.netlist.nets[net].pins
        if judged.part(pin).kind == "module"
    }
    for edge in judged.feeds.edges:
        if judged.parts[edge.part].kind != "sensor" or edge.relation != "loads":
            continue
        for net, signal in ((edge.net_a, edge.net_b), (edge.net_b, edge.net_a)):
            readers = {p.part for p in judged.netlist.nets[signal].pins} & grounded_by
            if net in judged.feeds.chassis and readers:
                pin = edge.a if edge.net_a == net else edge.b
                module = judged.parts[min(readers)].name
                yield Found(
                    f"{judged.pin(pin)} returns over chassis, and {module} reads its sensors against"
                    " their own ground",
                    f"{about(pin)} {net_key(judged, net)}",
                    (pin,),
                )
