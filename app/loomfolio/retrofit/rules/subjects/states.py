"""States of the vehicle: no short, no way back into a supply that is off, no two supplies joined, relays at rest."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.retrofit.live import path_text
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, rule

_REACH = "Reachability over what is joined and passes, in the states that the person named"


def _faults(judged: Judged, kind: str) -> Iterator[Found]:
    """What the live tables found of a kind, each thing once with the first state in which it is so."""
    told: set[str] = set()
    for state, fault in judged.live_faults:
        if fault.kind == kind and fault.key not in told:
            told.add(fault.key)
            way = f" ({path_text(fault.path)})" if fault.path else ""
            pins = (*fault.pins, *(step.pin for step in fault.path if step.pin is not None))
            yield Found(f"{state}: {fault.sentence}{way}", fault.key, pins)


@rule(
    key="state: short",
    title="No supply is shorted",
    reason="The fuse opens, or the lead does.",
    source=_REACH,
)
def shorted(judged: Judged) -> Iterator[Found]:
    """A supply whose two poles are joined over what is closed."""
    yield from _faults(judged, "short")


@rule(
    key="state: fed back",
    title="What is off stays off",
    reason="A way back keeps modules awake, drains the battery, and feeds circuits past their fuses.",
    source=_REACH,
)
def fed_back(judged: Judged) -> Iterator[Found]:
    """A supply that is off in a state and live all the same, which it is not in this vehicle already."""
    yield from _faults(judged, "fed back")


@rule(
    key="state: supplies joined",
    title="Two supplies are not joined",
    reason="The stronger feeds the weaker, past the fuses of both.",
    source=_REACH,
)
def joined(judged: Judged) -> Iterator[Found]:
    """Two supplies that are on and joined, which they are not in this vehicle already."""
    yield from _faults(judged, "supplies joined")


@rule(
    key="state: relays at rest",
    title="Relays come to rest",
    reason="A relay that cuts its own coil off chatters until its contacts weld.",
    source=_REACH,
)
def restless(judged: Judged) -> Iterator[Found]:
    """Relays that pull and drop in turn."""
    yield from _faults(judged, "no rest")
