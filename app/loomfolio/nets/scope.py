"""The scope of a job: the nets of its connectors, and on from there as far as supply, ground and module pins."""

from __future__ import annotations

from loomfolio.nets.netlist import Netlist
from loomfolio.project import PinKey


def scope_nets(netlist: Netlist) -> frozenset[int]:
    """Return the numbers of the nets that the job is about; all of them where no scope was named.

    From each net of a connector in scope the walk goes on over mates (also unconfirmed ones) and over what
    passes or loads inside a part. It enters a net that holds a supply or a ground point, and stops there.
    """
    if not netlist.has_scope:
        return frozenset(net.number for net in netlist.nets)
    kinds = {part.id: part.kind for part in netlist.project.parts}
    inner = _inner_neighbours(netlist)
    halves = set(netlist.project.job.scope)
    rest = [number for pin, number in netlist.net_by_pin.items() if pin.half_key in halves]
    found: set[int] = set()
    while rest:
        number = rest.pop()
        if number in found:
            continue
        found.add(number)
        pins = netlist.nets[number].pins
        if any(kinds[pin.part] in {"supply", "ground point"} for pin in pins):
            continue
        for pin in pins:
            beyond = [other for other, _, _ in netlist.mated.get(pin, ())] + inner.get(pin, [])
            rest.extend(netlist.net_by_pin[p] for p in beyond if p in netlist.net_by_pin)
    return frozenset(found)


def _inner_neighbours(netlist: Netlist) -> dict[PinKey, list[PinKey]]:
    found: dict[PinKey, list[PinKey]] = {}
    for part in netlist.project.parts:
        for way in part.ways:
            keys = [PinKey(part=part.id, **pin.model_dump()) for pin in way.pins]
            for key in keys:
                found.setdefault(key, []).extend(other for other in keys if other != key)
    return found
