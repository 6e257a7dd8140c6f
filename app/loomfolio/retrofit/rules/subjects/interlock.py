"""Interlock loops: closed in the target, opened by each connector on them, and nothing joined to them."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.project import PinKey
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, about, rule

_LOOP = "High-voltage interlock loop (practice); cautions 17"


@rule(
    key="interlock: closed",
    title="An interlock loop is closed",
    reason="With the loop open the contactors stay open, and the vehicle neither drives nor charges.",
    source=_LOOP,
)
def not_closed(judged: Judged) -> Iterator[Found]:
    """A loop that does not come back to where it began."""
    for loop in judged.interlocks:
        if not loop.is_closed:
            where = " and ".join(judged.pin(pin) for pin in loop.ends) or "no module"
            why = f": {', '.join(loop.open_at)} open" if loop.open_at else ""
            yield Found(
                f"The interlock loop at {where} is not closed{why}",
                about(*(loop.ends or loop.path[:1])),
                loop.ends or tuple(n for n in loop.path if isinstance(n, PinKey))[:1],
            )


@rule(
    key="interlock: connector",
    title="Each connector on an interlock loop opens it",
    reason="A plug that leaves the loop closed is pulled under voltage one day.",
    source=_LOOP,
)
def connector_that_does_not_open(judged: Judged) -> Iterator[Found]:
    """A connector with contacts on a closed loop that can be parted without opening it."""
    for loop in judged.interlocks:
        for one in loop.connectors:
            if not one.opens:
                pins = tuple(
                    node
                    for node in judged.netlist.net_by_pin
                    if (node.part, node.connector) == (one.part, one.connector)
                    and judged.is_of_class(judged.netlist.net_by_pin[node], "interlock")
                )
                yield Found(
                    f"{one.text} lies on the interlock loop, and parting it leaves the loop closed",
                    f"{one.part} {one.connector}",
                    pins,
                )


@rule(
    key="interlock: joined",
    title="Nothing is joined to an interlock loop",
    reason="What hangs on the loop can hold it closed, or keep the vehicle from starting.",
    source=_LOOP,
)
def joined_to_loop(judged: Judged) -> Iterator[Found]:
    """What hangs on a closed loop and lies on no way between its ends."""
    for loop in judged.interlocks:
        pins = tuple(node for node in loop.strays if isinstance(node, PinKey))
        if loop.is_closed and pins:
            names = ", ".join(judged.pin(pin) for pin in pins)
            yield Found(
                f"{names}: joined to the interlock loop, and no part of it", about(*pins), pins
            )
