"""Where lines meet: every place at which the ink of two lines is one, as positions along both.

1. *Crossings*: two lines intersect inside both.
2. *Ends*: a line ends in the ink of another, or reaches past it by no more than roughness does.
3. *Touches*: a corner of one lies in the ink of the other.
4. *Dots*: every line that passes through a filled disc.

An end that stops short of another line's ink is apart, however near, and is asked about below
`TOUCH_DOUBT_MM`. Legend: S segments, K contacts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.lines import Dot, Line
from loomfolio.reading.vector.shapes import at_bodies

F64 = NDArray[np.float64]
I64 = NDArray[np.int64]

TOUCH_SURE_MM = 0.03
"""Paper narrower than this between an end and a line is rounding in the file; no print shows it."""
ROUNDING_PX = 0.3
TOUCH_DOUBT_MM = 0.12
"""Paper narrower than this is not seen on a print: joined, but asked about."""


@dataclass(frozen=True)
class Contact:
    """Lines `a` and `b` meet at `a_at` and `b_at`, px along each; `dot` is the number of its dot.

    `is_near` says that their ink does not quite touch.
    """

    a: int
    a_at: float
    b: int
    b_at: float
    is_near: bool = False


@dataclass(frozen=True)
class DotContact:
    """A dot covers a place of a line."""

    dot: int
    line: int
    at: float


@dataclass(frozen=True)
class Segments:
    """All segments of all lines: ends float64 (S, 2), their line, the px along it, their half widths."""

    a: F64
    b: F64
    line: I64
    start: F64
    length: F64
    half: F64
    first: NDArray[np.bool_]
    last: NDArray[np.bool_]
    cap: F64


def segments_of(lines: Sequence[Line]) -> Segments:
    """Return the segments of all lines, in order; lines without length have none."""
    a, b, owner, start, first, last = [], [], [], [], [], []
    for k, line in enumerate(lines):
        count = len(line.points) - 1
        steps = np.diff(line.points, axis=0)
        lengths = np.hypot(steps[:, 0], steps[:, 1])
        a.append(line.points[:-1])
        b.append(line.points[1:])
        owner.append(np.full(count, k))
        start.append(np.concatenate([[0.0], np.cumsum(lengths)[:-1]]))
        edge = np.zeros(count, dtype=np.bool_)
        edge[0] = not line.is_closed
        first.append(edge)
        last.append(edge[::-1])
    if not lines:
        none = np.zeros(0)
        flags = np.zeros(0, dtype=np.bool_)
        pairs = np.zeros((0, 2))
        return Segments(pairs, pairs, none.astype(np.int64), none, none, none, flags, flags, none)
    ends_a, ends_b = np.vstack(a), np.vstack(b)
    lines_of = np.concatenate(owner).astype(np.int64)
    widths = np.array([line.width for line in lines])
    caps = np.array([line.cap for line in lines])
    return Segments(
        ends_a,
        ends_b,
        lines_of,
        np.concatenate(start),
        np.hypot(*(ends_b - ends_a).T),
        widths[lines_of] / 2,
        np.concatenate(first),
        np.concatenate(last),
        caps[lines_of],
    )


def find_contacts(
    lines: Sequence[Line], bodies: Sequence[Body], settings: ReaderSettings
) -> list[Contact]:
    """Return all places where two lines, or two far parts of one line, meet."""
    seg = segments_of(lines)
    if len(seg.a) < 2:
        return []
    shapes = shapely.linestrings(np.stack([seg.a, seg.b], axis=1))
    near = settings.px(TOUCH_DOUBT_MM)
    tree = shapely.STRtree(shapes)
    # Every pair is found from its wider pen, so that a few broad lines do not widen all searches.
    i, j = tree.query(shapes, predicate="dwithin", distance=2 * seg.half + near + seg.cap)
    flip = (seg.half[j] > seg.half[i]) | ((seg.half[j] == seg.half[i]) & (j < i))
    both = np.stack([np.where(flip, j, i), np.where(flip, i, j)], axis=1)
    both = np.unique(both[i != j], axis=0)
    i, j = both[:, 0], both[:, 1]
    neighbours = (seg.line[i] == seg.line[j]) & (np.abs(i - j) == 1)
    i, j = i[~neighbours], j[~neighbours]
    ends = _Tips(lines, bodies, settings)
    found = _crossings(seg, i, j)
    for first, second in ((i, j), (j, i)):
        for tip in (0, 1):
            found += _tips_in_ink(seg, first, second, tip, settings)
    return ends.settled(_unique(found))


def find_dot_contacts(lines: Sequence[Line], dots: Sequence[Dot]) -> list[DotContact]:
    """Return the places where a line passes through a dot, the middle of each passage."""
    if not lines or not dots:
        return []
    shapes = np.array([shapely.linestrings(line.points) for line in lines])
    centres = shapely.points([(d.x, d.y) for d in dots])
    tree = shapely.STRtree(shapes)
    which, line = tree.query(
        centres, predicate="dwithin", distance=np.array([d.radius for d in dots])
    )
    at = shapely.line_locate_point(shapes[line], centres[which])
    return [
        DotContact(d, k, p)
        for d, k, p in sorted(zip(which.tolist(), line.tolist(), at.tolist(), strict=True))
    ]


def _crossings(seg: Segments, i: I64, j: I64) -> list[Contact]:
    """Intersections inside both segments, their ends included."""
    da, db = seg.b[i] - seg.a[i], seg.b[j] - seg.a[j]
    gap = seg.a[j] - seg.a[i]
    cross = da[:, 0] * db[:, 1] - da[:, 1] * db[:, 0]
    scale = seg.length[i] * seg.length[j]
    slanted = np.abs(cross) > 1e-4 * scale
    safe = np.where(slanted, cross, 1.0)
    t = (gap[:, 0] * db[:, 1] - gap[:, 1] * db[:, 0]) / safe
    u = (gap[:, 0] * da[:, 1] - gap[:, 1] * da[:, 0]) / safe
    eps_t, eps_u = 0.05 / np.maximum(seg.length[i], 1e-9), 0.05 / np.maximum(seg.length[j], 1e-9)
    hit = slanted & (t >= -eps_t) & (t <= 1 + eps_t) & (u >= -eps_u) & (u <= 1 + eps_u)
    at_i = seg.start[i] + np.clip(t, 0, 1) * seg.length[i]
    at_j = seg.start[j] + np.clip(u, 0, 1) * seg.length[j]
    return [
        Contact(int(seg.line[i[k]]), float(at_i[k]), int(seg.line[j[k]]), float(at_j[k]))
        for k in np.flatnonzero(hit)
    ]


def _tips_in_ink(
    seg: Segments, i: I64, j: I64, tip: int, settings: ReaderSettings
) -> list[Contact]:
    """Ends of segments i that lie in the ink of segments j, or, as ends of lines, very near to it."""
    at = (seg.a if tip == 0 else seg.b)[i]
    is_end = (seg.first if tip == 0 else seg.last)[i]
    step = seg.b[j] - seg.a[j]
    share = ((at - seg.a[j]) * step).sum(axis=1) / np.maximum(seg.length[j] ** 2, 1e-12)
    share = np.clip(share, 0, 1)
    on = seg.a[j] + share[:, None] * step
    apart = np.hypot(*(at - on).T)
    # A butt end reaches as far as it is drawn; a corner has ink all round.
    sure = seg.half[j] + np.where(
        is_end, seg.cap[i] + settings.px(TOUCH_SURE_MM), 0.9 * seg.half[i]
    )
    near = seg.half[j] + seg.cap[i] + settings.px(TOUCH_DOUBT_MM)
    way = np.where(tip == 0, -1.0, 1.0) * (seg.b[i] - seg.a[i]).T / np.maximum(seg.length[i], 1e-9)
    ahead = ((on - at).T * way).sum(axis=0)
    aimed = is_end & (apart <= near) & (ahead > 0.7 * apart)
    hit = (apart <= sure) | aimed
    mine = seg.start[i] + (seg.length[i] if tip == 1 else 0.0)
    other = seg.start[j] + share * seg.length[j]
    return [
        Contact(
            int(seg.line[i[k]]), float(mine[k]), int(seg.line[j[k]]), float(other[k]),
            is_near=bool(apart[k] > sure[k]),
        )
        for k in np.flatnonzero(hit)
    ]  # fmt: skip


def _unique(contacts: list[Contact]) -> list[Contact]:
    """Each once, whichever line was looked at first."""
    seen: dict[tuple[int, float, int, float], Contact] = {}
    for found in contacts:
        c = found
        if (c.a, c.a_at) > (c.b, c.b_at):
            c = Contact(c.b, c.b_at, c.a, c.a_at, c.is_near)
        key = (c.a, round(c.a_at, 2), c.b, round(c.b_at, 2))
        if key not in seen or seen[key].is_near:
            seen[key] = c
    return [seen[key] for key in sorted(seen)]


class _Tips:
    """Draws contacts close before the end of a line out to the end: it ends there."""

    def __init__(
        self, lines: Sequence[Line], bodies: Sequence[Body], settings: ReaderSettings
    ) -> None:
        self.lines, self.settings = lines, settings
        self.lengths = [line.length for line in lines]
        reach = settings.px(settings.body_reach_mm) + settings.px(settings.body_edge_mm)
        tips = np.array([p for line in lines for p in (line.points[0], line.points[-1])])
        self.at_body = at_bodies(tips, bodies, reach).reshape(-1, 2)

    def settled(self, contacts: list[Contact]) -> list[Contact]:
        """Return the contacts, those close before an end at the end."""
        out = []
        for c in contacts:
            a_at = self._drawn_out(c.a, c.a_at, self.lines[c.b].width)
            b_at = self._drawn_out(c.b, c.b_at, self.lines[c.a].width)
            if c.a == c.b and abs(a_at - b_at) < 1.5 * self.lines[c.a].width:
                continue
            out.append(Contact(c.a, a_at, c.b, b_at, c.is_near))
        return out

    def _drawn_out(self, line: int, at: float, other_width: float) -> float:
        length = self.lengths[line]
        if self.lines[line].is_closed:
            return at
        for end, beyond, place in ((0, at, 0.0), (1, length - at, length)):
            # What a body cuts off went on: only rounding may lie beyond the contact there.
            rough = (
                ROUNDING_PX if self.at_body[line, end] else self.settings.spur_widths * other_width
            )
            if beyond <= min(rough, 0.4 * length):
                return place
        return at
