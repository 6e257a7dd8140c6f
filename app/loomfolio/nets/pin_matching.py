"""Which conductor ends at which pin of a body.

A pin never holds on to a line that only passes by: it takes a line's *end*. Pins and ends choose each
other: an end goes to the nearest pin of the body, a pin takes the nearest end that goes to it. A pin
with two separate conductors about as near stays open and is reported; so does one with none.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from loomfolio.basics import MmPoint
from loomfolio.nets.geometry import distance_to_edge_mm
from loomfolio.nets.wiring import Wiring
from loomfolio.project import BodyMark, BodyPin, PinKey

PIN_REACH_MM = 3.0
"""A pin takes a conductor's end up to this far away (design); farther, it stays open."""

SHARED_REACH_MM = 0.8
"""Two conductors that both end within this of one pin are two leads in one cavity (half the closest
pin pitch of 1.5 mm; common practice, no source)."""

RIVAL_MARGIN_MM = 0.4
"""A second end less than this much farther away makes the nearest one doubtful (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class MatchedPin:
    """A pin of a body and the nodes of the ends it took; `rivals` are ends that could not be told apart."""

    body: str
    key: PinKey
    pin: BodyPin
    nodes: tuple[int, ...]
    rivals: tuple[int, ...] = ()


def match_pins(
    wiring: Wiring, bodies: Sequence[BodyMark], component: Callable[[int], int]
) -> tuple[MatchedPin, ...]:
    """Return each pin of each body with what it took, in the order of the bodies' ids."""
    ends = [n for n in range(len(wiring.points)) if wiring.degree(n) == 1]
    return tuple(
        matched
        for body in sorted(bodies, key=lambda mark: mark.id)
        for matched in _match_body(wiring, body, ends, component)
    )


def _match_body(
    wiring: Wiring, body: BodyMark, ends: Sequence[int], component: Callable[[int], int]
) -> list[MatchedPin]:
    near_ends = [n for n in ends if distance_to_edge_mm(wiring.points[n], body.box) <= PIN_REACH_MM]
    candidates: dict[int, list[tuple[float, int]]] = {index: [] for index in range(len(body.pins))}
    for node in near_ends:
        at = wiring.points[node]
        reach = sorted((pin.at.distance_mm(at), index) for index, pin in enumerate(body.pins))
        if reach and reach[0][0] <= PIN_REACH_MM:
            candidates[reach[0][1]].append((reach[0][0], node))
    return [
        _choose(body, pin, sorted(candidates[index]), component)
        for index, pin in enumerate(body.pins)
    ]


def _choose(
    body: BodyMark,
    pin: BodyPin,
    found: Sequence[tuple[float, int]],
    component: Callable[[int], int],
) -> MatchedPin:
    key = body.key(pin)
    if not found:
        return MatchedPin(body.id, key, pin, ())
    shared = tuple(node for distance, node in found if distance <= SHARED_REACH_MM)
    if shared:
        return MatchedPin(body.id, key, pin, shared)
    limit = found[0][0] + RIVAL_MARGIN_MM
    close = tuple(node for distance, node in found if distance < limit)
    if len({component(node) for node in close}) > 1:
        return MatchedPin(body.id, key, pin, (), close)
    return MatchedPin(body.id, key, pin, close[:1])


def pins_of_new_body(
    hits: Sequence[MmPoint], loose: Sequence[MmPoint], *, merge_mm: float = 0.3
) -> list[MmPoint]:
    """Return the places of a new body's pins: edge hits, and loose ends close outside, each once."""
    places: list[MmPoint] = []
    for point in (*hits, *loose):
        if all(point.distance_mm(other) > merge_mm for other in places):
            places.append(point)
    return places
