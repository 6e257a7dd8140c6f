"""Where conductors cross without being joined, and how the page draws each crossing."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import shapely

from accuracy.draft import Draft
from accuracy.marks import Cross, Point, Role, Stroke
from accuracy.wiring import Wiring

CORNER_SHARE = 0.45  # of the pitch: how much of a line a rounded or cut corner takes
_STEEP = math.sin(math.radians(62))


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens to a line on its way: at a distance from vertex `a` of its edge."""

    at: float
    half: float
    kind: str  # hop, gap, ring
    bulge: int = 1


@dataclass(slots=True)
class Events:
    """All events of a page by edge."""

    by_edge: dict[int, list[Event]] = field(default_factory=dict)

    def add(self, key: int, event: Event) -> None:
        """Note an event on an edge."""
        self.by_edge.setdefault(key, []).append(event)


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two edges that cross, and where."""

    at: Point
    first: int
    second: int


def meetings(wiring: Wiring) -> list[Meeting]:
    """Return all crossings of edges that share no vertex, in a fixed order."""
    keys = sorted(wiring.edges)
    if not keys:
        return []
    lines = shapely.linestrings(np.array([wiring.segment(key) for key in keys]))
    tree = shapely.STRtree(lines)
    pairs = tree.query(lines, predicate="intersects").T
    out = []
    for i, j in sorted((int(i), int(j)) for i, j in pairs if i < j):
        a, b = wiring.edges[keys[i]], wiring.edges[keys[j]]
        if {a.a, a.b} & {b.a, b.b}:
            continue
        hit = lines[i].intersection(lines[j])
        out.append(Meeting((float(hit.x), float(hit.y)), keys[i], keys[j]))
    return out


def dress_crossings(draft: Draft, events: Events) -> None:
    """Give each crossing its drawing and note the truth."""
    found = meetings(draft.wiring)
    stops: dict[int, list[float]] = {}
    for meeting in found:
        for key in (meeting.first, meeting.second):
            stops.setdefault(key, []).append(_along(draft.wiring, key, meeting.at))
    for meeting in found:
        kind = draft.style.crossing
        if kind == "mixed":
            kind = draft.rng.choice(["plain", "hop", "broken", "gap"])
        key = _hopping(draft, meeting)
        at = _along(draft.wiring, key, meeting.at)
        room = _room(draft, key, at, stops[key])
        if room < 1.6 * _half_size(draft, kind) or not _is_steep(draft.wiring, meeting):
            kind = "plain"
        if _arc_radius(draft, kind) < 1.3 * draft.wiring.edges[key].look.width_mm:
            kind = "plain"
        if draft.wiring.edges[key].look.dash or key in draft.plain_edges:
            kind = "plain"
        _dress(draft, events, (key, at, room, meeting.at), kind)
        name = {"broken": "hop"}.get(kind, kind)
        draft.crossings.append(Cross(meeting.at, name))
        draft.note(f"crossing {kind}", meeting.at)


def _along(wiring: Wiring, key: int, at: Point) -> float:
    return math.dist(wiring.segment(key)[0], at)


def _room(draft: Draft, key: int, at: float, stops: list[float]) -> float:
    """How far the next crossing, bend or end is along the edge."""
    length = math.dist(*draft.wiring.segment(key))
    turn = 0.0 if draft.style.corner == "square" else CORNER_SHARE * draft.style.pitch_mm
    others = [abs(s - at) for s in stops if abs(s - at) > 1e-6]
    return min([at - turn, length - at - turn, *others])


def _slope(wiring: Wiring, key: int) -> Point:
    (ax, ay), (bx, by) = wiring.segment(key)
    length = math.dist((ax, ay), (bx, by))
    return (bx - ax) / length, (by - ay) / length


def _is_steep(wiring: Wiring, meeting: Meeting) -> bool:
    (ax, ay), (bx, by) = (_slope(wiring, key) for key in (meeting.first, meeting.second))
    return abs(ax * by - ay * bx) > _STEEP


def _hopping(draft: Draft, meeting: Meeting) -> int:
    """Which of the two lines hops or breaks: on one page always the same sense."""
    keys = sorted((meeting.first, meeting.second), key=lambda k: abs(_slope(draft.wiring, k)[1]))
    return keys[1] if draft.style.hop_upright else keys[0]


def _dress(draft: Draft, events: Events, place: tuple[int, float, float, Point], kind: str) -> None:
    key, at, room, where = place
    half = _half_size(draft, kind)
    if kind == "hop":
        events.add(key, Event(at, half, "hop", _bulge(draft.wiring, key)))
    elif kind == "gap":
        events.add(key, Event(at, half, "gap"))
    elif kind == "broken":
        events.add(key, Event(at, half, "gap"))
        _small_arc(draft, key, where, _arc_radius(draft, kind))
    if kind != "plain":
        reach = min(room * 0.5, 1.8)
        draft.empty.fill((where[0] - reach, where[1] - reach, where[0] + reach, where[1] + reach))


def _half_size(draft: Draft, kind: str) -> float:
    """Half the length a crossing of this kind takes on the line that hops; one size a page."""
    pitch = draft.style.pitch_mm
    return {"hop": min(0.38 * pitch, 1.3), "gap": min(0.3 * pitch, 0.9)}.get(
        kind, min(0.34 * pitch, 1.8) if kind == "broken" else 0.0
    )


def _arc_radius(draft: Draft, kind: str) -> float:
    """The radius of the arc of a hop; without end where a crossing has none."""
    share = {"hop": 1.0, "broken": 0.6}.get(kind, math.inf)
    return share * _half_size(draft, kind) if share < math.inf else share


def _bulge(wiring: Wiring, key: int) -> int:
    """On which side of its edge a hop rises: to the right or upwards on the page, always."""
    dx, dy = _slope(wiring, key)
    rises = -dy > 1e-9 or (abs(dy) < 1e-9 and dx < 0)
    return 1 if rises else -1


def _small_arc(draft: Draft, key: int, where: Point, radius: float) -> None:
    """The half circle of a hop whose line is broken on both sides."""
    dx, dy = _slope(draft.wiring, key)
    look = draft.wiring.edges[key].look
    sign = _bulge(draft.wiring, key)
    points = [
        (where[0] + radius * (dx * u - dy * v * sign), where[1] + radius * (dy * u + dx * v * sign))
        for u, v in half_circle()
    ]
    draft.late.append(Stroke(tuple(points), look.width_mm, look.colour, Role.CONDUCTOR))


def half_circle(pieces: int = 14) -> list[Point]:
    """Points from (-1, 0) over (0, 1) to (1, 0)."""
    steps = [math.pi * (1 - k / pieces) for k in range(pieces + 1)]
    return [(math.cos(a), math.sin(a)) for a in steps]
