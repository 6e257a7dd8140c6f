"""The places of a sheet where something was decided: junctions, crossings, gaps, doubts and answers.

A doubt that lies on a junction or crossing is a property of that spot, not a second one. An answer of
the person (a join or apart mark) belongs to the spot within `SPOT_REACH_MM`; an answer where the reader
saw nothing makes a spot of its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

from scipy.spatial import cKDTree

from loomfolio.basics import MmPoint, Resolution
from loomfolio.nets.records import Spot
from loomfolio.nets.wiring import Wiring
from loomfolio.project import ApartMark, JoinMark
from loomfolio.reading import Reading

SPOT_REACH_MM = 1.0
"""An answer or a confirmation belongs to a spot up to this far away (two thirds of the closest bundle
pitch of 1.5 mm, so never to the next line's crossing; common practice, no source)."""

ON_EDGE_MM = 0.7
"""A spot lies on an edge that passes this close (same origin)."""


def seen_spots(reading: Reading, resolution: Resolution) -> tuple[Spot, ...]:
    """Return the places that the reader decided, doubts among them."""
    seen = [
        Spot("junction", resolution.to_mm(j.x, j.y), "joined", is_doubt=False)
        for j in reading.junctions
    ]
    seen += [
        Spot("crossing", resolution.to_mm(c.x, c.y), "apart", is_doubt=False)
        for c in reading.crossings
    ]
    return tuple(_with_doubts(seen, reading, resolution))


def taken_at(seen: Sequence[Spot], at: MmPoint) -> Literal["joined", "apart"] | None:
    """Return what the reader took at a place; None where it decided nothing within reach."""
    near = _nearest(seen, at)
    return None if near is None else seen[near].taken


def answered_spots(
    seen: Sequence[Spot], joins: Sequence[JoinMark], aparts: Sequence[ApartMark]
) -> tuple[Spot, ...]:
    """Return all spots of a sheet with the person's answers, sorted by place from the top left."""
    spots = list(seen)
    marks: list[JoinMark | ApartMark] = [*joins, *aparts]
    for mark in sorted(marks, key=lambda mark: mark.id):
        answer: Literal["joined", "apart"] = "joined" if isinstance(mark, JoinMark) else "apart"
        near = _nearest(spots, mark.at)
        if near is None:
            kind: Literal["junction", "crossing"] = "junction" if answer == "joined" else "crossing"
            spots.append(Spot(kind, mark.at, answer, is_doubt=False, answer=answer))
        else:
            spots[near] = replace(spots[near], answer=answer)
    return tuple(sorted(spots, key=lambda spot: (spot.at.y, spot.at.x, spot.kind)))


def _with_doubts(seen: list[Spot], reading: Reading, resolution: Resolution) -> list[Spot]:
    spots = list(seen)
    tree = cKDTree([spot.at for spot in seen]) if seen else None
    for doubt in reading.doubts:
        at = resolution.to_mm(doubt.x, doubt.y)
        if tree is not None:
            distance, position = tree.query(at)
            if distance <= ON_EDGE_MM:
                spots[position] = replace(spots[position], is_doubt=True)
                continue
        spots.append(Spot(doubt.kind, at, doubt.taken, is_doubt=True))
    return spots


def _nearest(spots: Sequence[Spot], at: MmPoint) -> int | None:
    reach = [(spot.at.distance_mm(at), i) for i, spot in enumerate(spots)]
    distance, position = min(reach, default=(SPOT_REACH_MM + 1.0, -1))
    return position if distance <= SPOT_REACH_MM else None


def spots_by_edge(wiring: Wiring, spots: Sequence[Spot]) -> Mapping[int, tuple[Spot, ...]]:
    """Return for each edge the crossings, gaps and doubts that lie on it.

    A junction is a matter of the node where the lines meet, so it is found there and not here.
    """
    on_edge: dict[int, list[Spot]] = {}
    for spot in spots:
        if spot.kind != "junction":
            for near in wiring.near(spot.at, ON_EDGE_MM):
                on_edge.setdefault(near.edge.number, []).append(spot)
    return {number: tuple(found) for number, found in on_edge.items()}
