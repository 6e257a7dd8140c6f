"""One sheet: its reading and its marks become a graph of drawn lines, with pins and spots in their places.

How the data flows::

    reading (px) + drawn lines ─ laying ─> wiring ─ answers ─> wiring ─ components ─> conductors
    bodies ─ pin matching ─> pins on ends;  names, lead notes, link ends ─ snapping ─> conductors

Two sheets never meet here; the result depends on this sheet's record, reading and marks alone, so an
edit elsewhere leaves it valid. The order of the marks does not matter: they are worked in by kind, then id.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from loomfolio.basics import MmBox, MmPoint, Resolution
from loomfolio.nets.answers import Unanswered, work_in_answers
from loomfolio.nets.geometry import distance_to_edge_mm, edge_hits
from loomfolio.nets.laying import lay_lines
from loomfolio.nets.pin_matching import MatchedPin, match_pins, pins_of_new_body
from loomfolio.nets.records import Snap, Spot
from loomfolio.nets.spots import answered_spots, seen_spots, spots_by_edge, taken_at
from loomfolio.nets.wiring import Edge, Near, Wiring
from loomfolio.project import (
    ApartMark,
    BodyMark,
    JoinMark,
    LeadMark,
    LineMark,
    Mark,
    NameMark,
    NotConductorMark,
    Sheet,
)
from loomfolio.reading import Reading

SNAP_REACH_MM = 3.0
"""A name, a lead note or a link holds on to a conductor up to this far away (design)."""

RIVAL_MARGIN_MM = 0.4
"""A second conductor less than this much farther away than the nearest makes it doubtful, and so does one
less than half as far again (common practice, no source)."""

ON_EDGE_MM = 0.05
"""An end as near to an outline as this was cut at it (half a px at 250 dpi); one deeper inside is a part's ink."""

OUTSIDE_BODY_MM = 2.0
"""A line that stops this far short of a new body's edge is still offered as one of its pins."""


@dataclass(frozen=True, slots=True)
class Held:
    """A name or lead mark, what it snapped to, and the edge that runs there (None where it holds nothing)."""

    mark: NameMark | LeadMark
    snap: Snap
    edge: int | None


LinkSide = tuple[str, str]
"""The id of a link and which end of it (`a` or `b`)."""

_M = TypeVar("_M")


@dataclass(frozen=True, slots=True)
class LinkEnd:
    """One end of a link, on this sheet."""

    link: str
    side: str
    at: MmPoint


@dataclass(frozen=True, slots=True, eq=False)
class SheetGraph:
    """The graph of one sheet after its marks.

    `component[node]` numbers the sheet's conductors from 0, in reading order of their first node;
    `conductors[number]` are the edges of one. `holds` tells for each name and lead mark what it snapped
    to (in conductor numbers of this sheet), `link_nodes` the node that each link end was given.
    """

    sheet: Sheet
    wiring: Wiring
    component: Sequence[int]
    conductors: tuple[tuple[Edge, ...], ...]
    spots: tuple[Spot, ...]
    edge_spots: Mapping[int, tuple[Spot, ...]]
    pins: tuple[MatchedPin, ...]
    holds: tuple[Held, ...]
    link_nodes: Mapping[LinkSide, int]
    link_snaps: Mapping[LinkSide, Snap]
    unanswered: tuple[Unanswered, ...]
    torn_ends: tuple[MmPoint, ...]

    def snap(self, at: MmPoint, within_mm: float = SNAP_REACH_MM) -> Snap:
        """Return the conductor that a mark at `at` would hold on to; none where two are about as near."""
        return snap_to(self.wiring.near(at, within_mm), self.component)

    def edge_crossings(self, box: MmBox) -> tuple[MmPoint, ...]:
        """Return where conductors meet the outline of a box, clockwise from its top-left corner.

        Of a new box they pass through the outline; at one that lies there already they were cut, and end on it.
        """
        hits = [hit for edge in self.wiring.touching(box) for hit in edge_hits(edge.line, box)]
        loose = [
            _onto_edge(point, box)
            for node, point in enumerate(self.wiring.points)
            if self.wiring.degree(node) == 1
            and distance_to_edge_mm(point, box) <= OUTSIDE_BODY_MM
            and (not box.holds(point) or distance_to_edge_mm(point, box) <= ON_EDGE_MM)
        ]
        return tuple(sorted(pins_of_new_body(hits, loose), key=lambda at: _clockwise(at, box)))


def build_sheet_graph(
    sheet: Sheet, reading: Reading, marks: Sequence[Mark], link_ends: Sequence[LinkEnd]
) -> SheetGraph:
    """Work the marks of one sheet into its reading. `marks` are those of this sheet, in any order."""
    resolution = Resolution(sheet.x_dpi, sheet.y_dpi)
    joins, aparts = _of(marks, JoinMark), _of(marks, ApartMark)
    bodies = _of(marks, BodyMark)
    wiring, torn_ends = lay_lines(reading, resolution, _of(marks, LineMark), bodies)
    seen = seen_spots(reading, resolution)
    unanswered = work_in_answers(
        wiring, joins, aparts, _of(marks, NotConductorMark), lambda at: taken_at(seen, at)
    )
    component = _components(wiring)
    link_snaps, link_nodes = _hold_links(wiring, component, link_ends)
    spots = answered_spots(seen, joins, aparts)
    holding: list[NameMark | LeadMark] = [*_of(marks, NameMark), *_of(marks, LeadMark)]
    return SheetGraph(
        sheet=sheet,
        wiring=wiring,
        component=component,
        conductors=_edges_by_component(wiring, component),
        spots=spots,
        edge_spots=spots_by_edge(wiring, spots),
        pins=match_pins(wiring, bodies, component.__getitem__),
        holds=tuple(
            _hold(wiring, component, mark) for mark in sorted(holding, key=lambda mark: mark.id)
        ),
        link_nodes=link_nodes,
        link_snaps=link_snaps,
        unanswered=unanswered,
        torn_ends=torn_ends,
    )


def _of(marks: Sequence[Mark], kind: type[_M]) -> list[_M]:
    return [mark for mark in marks if isinstance(mark, kind)]


def snap_to(near: Sequence[Near], component: Sequence[int]) -> Snap:
    """Choose among edges sorted by distance: the nearest conductor, unless another is about as near."""
    if not near:
        return Snap(None, None, None)
    first = near[0]
    limit = max(first.foot.distance_mm + RIVAL_MARGIN_MM, first.foot.distance_mm * 1.5)
    close = {component[n.edge.a] for n in near if n.foot.distance_mm < limit}
    if len(close) > 1:
        return Snap(None, first.foot.at, first.foot.distance_mm, tuple(sorted(close)))
    return Snap(component[first.edge.a], first.foot.at, first.foot.distance_mm)


def _hold(wiring: Wiring, component: Sequence[int], mark: NameMark | LeadMark) -> Held:
    near = wiring.near(mark.at, SNAP_REACH_MM)
    snap = snap_to(near, component)
    return Held(mark, snap, None if snap.conductor is None else near[0].edge.number)


def _components(wiring: Wiring) -> list[int]:
    """Number what is one metal. Nodes without an edge get -1."""
    component = [-1] * len(wiring.points)
    count = 0
    order = sorted(
        (n for n in range(len(wiring.points)) if wiring.degree(n)),
        key=lambda n: (wiring.points[n].y, wiring.points[n].x, n),
    )
    for start in order:
        if component[start] >= 0:
            continue
        rest = [start]
        component[start] = count
        while rest:
            node = rest.pop()
            for edge in wiring.incident(node):
                other = edge.other(node)
                if component[other] < 0:
                    component[other] = count
                    rest.append(other)
        count += 1
    return component


def _hold_links(
    wiring: Wiring, component: list[int], link_ends: Sequence[LinkEnd]
) -> tuple[dict[LinkSide, Snap], dict[LinkSide, int]]:
    """Give each link end that holds on to a conductor a node of its own there; extends `component`."""
    snaps: dict[LinkSide, Snap] = {}
    nodes: dict[LinkSide, int] = {}
    for end in sorted(link_ends, key=lambda end: (end.link, end.side)):
        near = wiring.near(end.at, SNAP_REACH_MM)
        snap = snap_to(near, component)
        snaps[end.link, end.side] = snap
        if snap.conductor is not None:
            node = wiring.split(near[0].edge, near[0].foot)
            if node == len(component):
                component.append(snap.conductor)
            nodes[end.link, end.side] = node
    return snaps, nodes


def _edges_by_component(wiring: Wiring, component: Sequence[int]) -> tuple[tuple[Edge, ...], ...]:
    groups: list[list[Edge]] = [[] for _ in range(max(component, default=-1) + 1)]
    for number in sorted(wiring.edges):
        edge = wiring.edges[number]
        groups[component[edge.a]].append(edge)
    return tuple(tuple(group) for group in groups)


def _onto_edge(point: MmPoint, box: MmBox) -> MmPoint:
    """The point of the outline nearest to a point outside the box."""
    return MmPoint(min(max(point.x, box.x0), box.x1), min(max(point.y, box.y0), box.y1))


def _clockwise(at: MmPoint, box: MmBox) -> tuple[int, float]:
    """Sort key around the outline: top left to right, right down, bottom right to left, left up."""
    sides = (
        (abs(at.y - box.y0), 0, at.x),
        (abs(at.x - box.x1), 1, at.y),
        (abs(at.y - box.y1), 2, -at.x),
        (abs(at.x - box.x0), 3, -at.y),
    )
    _, side, along = min(sides)
    return side, along
