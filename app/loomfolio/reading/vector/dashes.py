"""Dashes that were drawn one by one: rows of them become one line.

Written dashes repeat exactly: one look, one length, one gap. Each tip goes on to the nearest tip of
another dash of its look that faces it, or, round a corner, to the dash that was drawn just before or
after. A row has at least three dashes of one length, but for those at its ends and corners.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.lines import Line
from loomfolio.reading.vector.shapes import at_bodies

F64 = NDArray[np.float64]
Tip = tuple[int, int]

LEAST_DASHES = 3
FACING_DEG = 30.0
"""Dashes of an ellipse turn from one to the next by up to this."""
MEETS_PX = 0.5
AT_BODY_PX = 3.0
"""A dash this near to a marked body was cut by it or ends at it (0.25 mm)."""
LOOKS_AT = 0.6
STANDING_SHARE = 0.4
ARC_TURN_DEG = 120.0
EVEN = 0.15
"""Share by which the lengths of a row's dashes, and of its gaps, may differ."""


@dataclass(frozen=True)
class _Ends:
    """The tips of all dashes: where they are, and the direction in which each points outwards."""

    at: F64
    out: F64


def joined_dashes(
    lines: Sequence[Line], bodies: Sequence[Body], settings: ReaderSettings
) -> list[Line]:
    """Return the lines with each row of dashes as one line; dashes by the file's own word stay.

    A row ends where it meets a body.
    """
    low, high = settings.px(settings.dash_min_mm), settings.px(settings.dash_max_mm)
    by_look: dict[object, list[int]] = defaultdict(list)
    for k, line in enumerate(lines):
        if line.is_dashed or line.is_closed or _is_arc(line):
            continue
        if low <= line.length <= high:
            by_look[line.look].append(k)
    rows: list[_Row] = []
    for members in by_look.values():
        if len(members) >= LEAST_DASHES:
            rows += _rows([lines[k] for k in members], members, bodies, settings)
    if rows:
        tree = shapely.STRtree([shapely.linestrings(line.points) for line in lines])
        dashes = {k for row in rows for k, _ in row.tips}
        rows = [row for row in rows if not _is_lettering(row, lines, tree, dashes)]
    used = {k for row in rows for k, _ in row.tips}
    made = [_as_one(row, lines) for row in rows]
    return [line for k, line in enumerate(lines) if k not in used] + made


def _is_lettering(
    row: _Row, lines: Sequence[Line], tree: shapely.STRtree, dashes: set[int]
) -> bool:
    """Tell the bars of letters in a row, which stand on other strokes, from dashes, which stand free.

    A dash may end just on one of another row that it crosses.
    """
    inner = row.tips if row.is_ring else row.tips[1:-1]
    if not inner:
        return False
    tips = shapely.points([lines[k].points[end] for k, _ in inner for end in (0, -1)])
    touching, touched = tree.query(tips, predicate="dwithin", distance=1.0)
    standing = {
        tip // 2
        for tip, k in zip(touching.tolist(), touched.tolist(), strict=True)
        if k not in dashes
    }
    return len(standing) > STANDING_SHARE * len(inner)


def _is_arc(line: Line) -> bool:
    """Tell the small half circle of a hop: it turns on and on one way, a dash at most round one corner."""
    steps = np.diff(line.points, axis=0)
    turn = np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))
    return len(turn) > 3 and abs(float(turn.sum())) > math.radians(ARC_TURN_DEG)


@dataclass(frozen=True)
class _Row:
    """Dashes in order, each with the end it is entered at; a ring comes back to its first."""

    tips: list[Tip]
    is_ring: bool


def _rows(
    dashes: list[Line], numbers: list[int], bodies: Sequence[Body], settings: ReaderSettings
) -> list[_Row]:
    """The rows among dashes of one look."""
    ends = _ends_of(dashes)
    held = at_bodies(ends.at, bodies, AT_BODY_PX)
    partner = _partners(ends, dashes, held, settings)
    rows: list[_Row] = []
    pairs: list[_Row] = []
    seen: set[int] = set()
    starts = [t for t in range(2 * len(dashes)) if t not in partner]
    for tip in [*starts, *range(2 * len(dashes))]:
        if tip // 2 in seen:
            continue
        row: list[int] = []
        here = tip
        while here // 2 not in seen:
            seen.add(here // 2)
            row.append(here)
            onward = partner.get(here ^ 1)
            if onward is None:
                break
            here = onward
        found = _Row(
            [(numbers[t // 2], t % 2) for t in row],
            is_ring=len(row) > LEAST_DASHES and partner.get(row[-1] ^ 1) == tip,
        )
        if _is_row([dashes[t // 2] for t in row]):
            rows.append(found)
        elif len(row) == LEAST_DASHES - 1 and _are_alike([dashes[t // 2] for t in row]):
            pairs.append(found)
    # Where a look is drawn in dashes on this page, two equal ones are a short row.
    return rows + pairs if any(len(row.tips) > LEAST_DASHES for row in rows) else rows


def _ends_of(dashes: Sequence[Line]) -> _Ends:
    at = np.array([p for d in dashes for p in (d.points[0], d.points[-1])])
    back = np.array([p for d in dashes for p in (d.points[1], d.points[-2])])
    out = at - back
    return _Ends(at, out / np.maximum(np.hypot(out[:, 0], out[:, 1]), 1e-9)[:, None])


def _partners(
    ends: _Ends, dashes: Sequence[Line], held: NDArray[np.bool_], settings: ReaderSettings
) -> dict[int, int]:
    """Which tip goes on to which: mutual, the nearest that face each other first."""
    reach = settings.px(settings.dash_gap_mm)
    pairs = cKDTree(ends.at).query_pairs(reach, output_type="ndarray")
    order = np.array([d.order for d in dashes])
    rank = np.empty(len(order), dtype=np.int64)
    rank[np.argsort(order, kind="stable")] = np.arange(len(order))
    found: list[tuple[bool, float, int, int]] = []
    for i, j in pairs.tolist():
        if i // 2 == j // 2 or held[i] or held[j]:
            continue
        way = ends.at[j] - ends.at[i]
        gap = float(np.hypot(*way))
        way = way / max(gap, 1e-9)
        ahead, most = sorted((float(way @ ends.out[i]), float(-way @ ends.out[j])))
        facing = ahead > math.cos(math.radians(FACING_DEG))
        # The sides of a dashed box each end with a whole dash, so that two meet at a corner.
        meets = gap < MEETS_PX
        # Round a corner one of two dashes at least looks at the other; two that lie side by side do not.
        round_corner = ahead > -0.1 and most > LOOKS_AT
        next_drawn = meets or (abs(int(rank[i // 2]) - int(rank[j // 2])) == 1 and round_corner)
        if facing or next_drawn:
            found.append((not facing, gap, i, j))
    partner: dict[int, int] = {}
    for _, _, i, j in sorted(found):
        if i not in partner and j not in partner:
            partner[i], partner[j] = j, i
    return partner


def _is_row(row: Sequence[Line]) -> bool:
    """Tell a row of dashes from pieces of line that happen to follow each other."""
    if len(row) < LEAST_DASHES:
        return False
    lengths = np.array([d.length for d in row])
    middle = float(np.median(lengths))
    alike = np.abs(lengths - middle) <= EVEN * middle
    return int(alike.sum()) >= max(LEAST_DASHES, round(0.6 * len(row)))


def _are_alike(row: Sequence[Line]) -> bool:
    lengths = [d.length for d in row]
    return max(lengths) <= (1 + EVEN) * min(lengths)


def _as_one(row: _Row, lines: Sequence[Line]) -> Line:
    """One line along a row; where two dashes do not face each other, with the corner they aim at."""
    pieces: list[F64] = []
    for k, entered in row.tips:
        points = lines[k].points if entered == 0 else lines[k].points[::-1]
        if pieces:
            corner = _corner(pieces[-1][-2:], points[:2])
            if corner is not None:
                pieces.append(corner[None, :])
        pieces.append(points)
    if row.is_ring:
        pieces.append(pieces[0][:1])
    return replace(lines[row.tips[0][0]], points=np.vstack(pieces), is_dashed=True)


def _corner(before: F64, after: F64) -> F64 | None:
    """Where two dashes would meet, if they turn and it lies between them."""
    a, b = before[1] - before[0], after[1] - after[0]
    cross = float(a[0] * b[1] - a[1] * b[0])
    if abs(cross) < 0.3 * float(np.hypot(*a) * np.hypot(*b)):
        return None
    gap = after[0] - before[1]
    along = float(gap[0] * b[1] - gap[1] * b[0]) / cross
    back = float(gap[0] * a[1] - gap[1] * a[0]) / cross
    if along < 0 or back > 0:
        return None
    return np.asarray(before[1] + along * a)
