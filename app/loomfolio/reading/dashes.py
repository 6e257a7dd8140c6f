"""Dashed lines: rows of like dashes, closed to solid ink before lines are sought.

A dash that happens to end just behind another line looks like a T, and one that happens to lie on
it like a crossing: only the row tells. So the row is found first, from the dashes that touch
nothing, and its gaps are inked in; all later stages see one line.

1. A dash is a small straight piece of ink with two tips.
2. Two tips that face each other across a short gap are linked, each tip once, the nearest first.
3. A row is a set of linked dashes with like gaps; three dashes are the least, one of them apart.
4. Rows go on across and along other lines that cover their dashes, as long as the step is kept.
5. Two rows meet in a corner: round a bent dash, or where their last gaps run into each other.

Legend: H, W of the working image; L pieces; D strips.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.pieces import Pieces
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]
I64 = NDArray[np.int64]

CLOSED_LEAST = 2
"""Gaps of a row: with one alone it may as well be a line with one gap."""
STEP_SLACK = 1.6
"""How many usual gaps wide a gap of a row may be: a scan thins and moves dashes a little."""


@dataclass(frozen=True)
class Dashes:
    """The dashed lines of a page.

    Attributes
    ----------
    in_rows : bool, (L,)
        The pieces of ink that are dashes of a row.
    strips : float64, (D, 5)
        x0, y0, x1, y1, width of the ink that is missing between them.
    """

    in_rows: NDArray[np.bool_]
    strips: F64


@dataclass(frozen=True)
class _Tips:
    """The tips of the dashes, two each: tip t is of dash t // 2, which is piece `piece[t // 2]`.

    `at` and outward `way` are float64 (2D, 2); `length`, `width` float64 (D,).
    """

    at: F64
    way: F64
    length: F64
    width: F64
    piece: I64


@dataclass(frozen=True)
class _End:
    """Where a row ends: place, direction, its usual gap and width, and the number of its row."""

    at: F64
    way: F64
    gap: float
    width: float
    row: int


Strip = tuple[float, float, float, float, float]


def find_dashes(pieces: Pieces, mask: U8, settings: ReaderSettings) -> Dashes:
    """Find the dashed lines among the pieces of an ink mask, uint8 (H, W); there may be none."""
    tips = _tips_of(pieces, mask, settings)
    partner = _linked(tips, settings)
    in_rows = np.zeros(len(pieces.area), dtype=bool)
    strips: list[Strip] = []
    ends: list[_End] = []
    for row in _rows(partner):
        found = _closed_row(row, tips, partner, mask)
        row_ends: list[_End] = []
        for tip in (row[0], row[-1]):
            if partner[tip] < 0:
                more, end = _onward(tip, row, tips, mask, settings)
                found += more
                row_ends.append(_End(*end, row=len(ends)))
        if len(found) >= CLOSED_LEAST:
            strips += found
            ends += row_ends
            in_rows[tips.piece[np.array(row) // 2]] = True
    corners, bent = _corners(ends, pieces, settings)
    in_rows[bent] = True
    return Dashes(in_rows, np.array(strips + corners, dtype=np.float64).reshape(-1, 5))


def inked(lines: U8, strips: F64) -> U8:
    """Return the ink, uint8 (H, W), with strips of x0, y0, x1, y1, width added."""
    closed = lines.copy()
    for x0, y0, x1, y1, width in strips.tolist():
        size = max(float(np.hypot(x1 - x0, y1 - y0)), 1e-9)
        # A filled polygon takes in the px on its rim, hence half a px less.
        half = max(width / 2 - 0.5, 0.0)
        sx, sy = -(y1 - y0) / size * half, (x1 - x0) / size * half
        corners = ((x0 + sx, y0 + sy), (x1 + sx, y1 + sy), (x1 - sx, y1 - sy), (x0 - sx, y0 - sy))
        polygon = np.array([(round((x - 0.5) * 16), round((y - 0.5) * 16)) for x, y in corners])
        cv2.fillConvexPoly(closed, polygon.astype(np.int32), 1, cv2.LINE_8, 4)
    return closed


def _tips_of(pieces: Pieces, mask: U8, settings: ReaderSettings) -> _Tips:
    """The tips of all straight pieces that are long enough to be dashes."""
    chosen = np.flatnonzero(
        pieces.straight
        & (pieces.area >= 4)
        & (pieces.length <= settings.px(settings.dash_max_mm))
        & (pieces.length >= settings.px(settings.dash_min_mm))
    )
    half = (pieces.length[chosen] / 2)[:, None] * pieces.way[chosen]
    at = np.stack([pieces.centre[chosen] - half, pieces.centre[chosen] + half], axis=1)
    way = np.stack([-pieces.way[chosen], pieces.way[chosen]], axis=1)
    return _Tips(
        at.reshape(-1, 2),
        way.reshape(-1, 2),
        pieces.length[chosen],
        np.minimum(pieces.width[chosen], _cut_widths(pieces, chosen, mask)),
        chosen.astype(np.int64),
    )


def _cut_widths(pieces: Pieces, chosen: I64, mask: U8) -> F64:
    """Width of ink straight across the middle of pieces: what hangs on their ends does not count."""
    half = np.arange(0.0, 10.0, 0.5)
    total = np.full(len(chosen), 0.5)
    for sign in (1.0, -1.0):
        side = sign * np.stack([-pieces.way[chosen, 1], pieces.way[chosen, 0]], axis=1)
        spots = pieces.centre[chosen][:, None, :] + half[None, :, None] * side[:, None, :]
        x = np.clip(spots[..., 0].astype(int), 0, mask.shape[1] - 1)
        y = np.clip(spots[..., 1].astype(int), 0, mask.shape[0] - 1)
        paper = mask[y, x] == 0
        total += 0.5 * np.where(paper.any(axis=1), np.argmax(paper, axis=1), len(half))
    return total


def _linked(tips: _Tips, settings: ReaderSettings) -> I64:
    """The tip that each tip faces across a gap; -1 where there is none. Nearest pairs first."""
    partner = np.full(len(tips.at), -1, dtype=np.int64)
    if len(tips.at) < 4:
        return partner
    near = cKDTree(tips.at).query_pairs(settings.px(settings.dash_gap_mm), output_type="ndarray")
    if len(near) == 0:
        return partner
    cost = _facing_cost(near, tips)
    fits = np.isfinite(cost)
    near, cost = near[fits], cost[fits]
    for k in np.lexsort((near[:, 1], near[:, 0], cost)).tolist():
        i, j = near[k].tolist()
        if partner[i] < 0 and partner[j] < 0:
            partner[i], partner[j] = j, i
    return partner


def _facing_cost(pairs: I64, tips: _Tips) -> F64:
    """The gap of each pair of tips that face each other in line or round a bend; else infinity."""
    i, j = pairs[:, 0], pairs[:, 1]
    gap = tips.at[j] - tips.at[i]
    length = np.maximum(np.hypot(gap[:, 0], gap[:, 1]), 1e-9)
    width = np.maximum(tips.width[i // 2], tips.width[j // 2])
    slim = np.minimum(tips.width[i // 2], tips.width[j // 2])
    ahead_i = (tips.way[i] * gap).sum(axis=1) / length
    ahead_j = -(tips.way[j] * gap).sum(axis=1) / length
    straight = -(tips.way[i] * tips.way[j]).sum(axis=1)
    # 0.8: a bend of up to about 37 degrees at each tip, as round a chamfer.
    fits = (i // 2 != j // 2) & (ahead_i > 0.75) & (ahead_j > 0.75) & (straight > 0.6)
    fits &= (width <= 1.6 * slim + 1.0) & (length <= 2.2 * tips.length[i // 2] + width)
    return np.where(fits, length * (1.0 + (1.0 - straight)), np.inf)


def _rows(partner: I64) -> list[list[int]]:
    """The rows of linked dashes, single ones too: the tips of each, in order along it."""
    rows: list[list[int]] = []
    seen = np.zeros(len(partner) // 2, dtype=bool)
    starts = [t for t in range(len(partner)) if partner[t] < 0]
    for start in [*starts, *range(len(partner))]:
        row, tip = [], start
        while tip >= 0 and not seen[tip // 2]:
            seen[tip // 2] = True
            row += [tip, tip ^ 1]
            tip = int(partner[tip ^ 1])
        if row:
            rows.append(row)
    return rows


def _closed_row(row: list[int], tips: _Tips, partner: I64, mask: U8) -> list[Strip]:
    """The gaps of a row that are alike; a gap twice the usual is not of the row's making."""
    pairs = [(a, int(partner[a])) for a in row[1:-1:2] if partner[a] >= 0]
    if not pairs:
        return []
    usual = _usual_gap(row, tips, mask)
    return [
        _strip(tips.at[a], tips.at[b], float(tips.width[np.array([a, b]) // 2].min()))
        for a, b in pairs
        if np.hypot(*(tips.at[b] - tips.at[a])) <= STEP_SLACK * usual + 1.5
    ]


def _strip(a: F64, b: F64, width: float) -> Strip:
    """A strip that reaches a little into the ink at both of its ends."""
    step = b - a
    reach = step / max(float(np.hypot(*step)), 1e-9) * (width / 2)
    (ax, ay), (bx, by) = a - reach, b + reach
    return float(ax), float(ay), float(bx), float(by), width


def _onward(
    tip: int, row: list[int], tips: _Tips, mask: U8, settings: ReaderSettings
) -> tuple[list[Strip], tuple[F64, F64, float, float]]:
    """Close the gaps ahead of a row's last tip, where other lines touch or cover its dashes.

    Straight ahead the ink must keep the row's step: a dash after each gap. A line across may stand
    in a gap or on a dash; where the step is lost, the row has ended, and nothing is closed behind
    its last dash.
    """
    width = float(tips.width[tip // 2])
    dash = float(np.median(tips.length[np.array(row) // 2]))
    gap = _usual_gap(row, tips, mask)
    way = _row_way(tip, row, tips)
    at = tips.at[tip]
    strips: list[Strip] = []
    if gap < 1.5:
        return strips, (at, way, gap, width)
    before = end = 0.0
    for start, stop in _runs_ahead(mask, at, way, settings.px(settings.dash_across_mm)):
        if start - before > STEP_SLACK * gap + 1.5 or stop - start > 2.0 * dash + 2.0 * width:
            break
        before = stop
        if stop - start < 0.6 * dash or _is_line_across(mask, at, way, (start, stop), width):
            continue
        strips.append(_strip(at + end * way, at + start * way, width))
        end = stop
    return strips, (at + end * way, way, gap, width)


def _is_line_across(mask: U8, at: F64, way: F64, run: tuple[float, float], width: float) -> bool:
    """Tell whether the ink of a run goes on to both sides all along: a line across, no dash."""
    places = np.linspace(run[0] + 0.5, run[1] - 0.5, 7)
    side = np.array([-way[1], way[0]]) * (1.3 * width + 1.0)
    both = 0
    for sign in (1.0, -1.0):
        spots = at + places[:, None] * way + sign * side
        x = np.clip(spots[:, 0].astype(int), 0, mask.shape[1] - 1)
        y = np.clip(spots[:, 1].astype(int), 0, mask.shape[0] - 1)
        both += int(mask[y, x].mean() > 0.75)
    return both == 2


def _usual_gap(row: list[int], tips: _Tips, mask: U8) -> float:
    """The gap between the dashes of a row; of a single dash, the nearer of those beside it."""
    inner = row[1:-1]
    if inner:
        pairs = zip(inner[::2], inner[1::2], strict=True)
        return float(np.median([np.hypot(*(tips.at[b] - tips.at[a])) for a, b in pairs]))
    reach = float(tips.length[row[0] // 2])
    starts = [
        run[0] for tip in row for run in _runs_ahead(mask, tips.at[tip], tips.way[tip], reach)[:1]
    ]
    return min(starts, default=0.0)


def _row_way(tip: int, row: list[int], tips: _Tips) -> F64:
    """Direction of the row at one of its ends, over its last straight dashes."""
    order = row if tip == row[-1] else row[::-1]
    back = order[-1]
    for other in order[-2:-9:-1]:
        if abs(float(tips.way[tip] @ tips.way[other])) < 0.99:
            break
        back = other
    way = tips.at[tip] - tips.at[back]
    return np.asarray(way / np.hypot(*way), dtype=np.float64)


def _runs_ahead(lines: U8, at: F64, way: F64, reach: float) -> list[tuple[float, float]]:
    """Start and stop of the ink ahead of a point, in px along a way."""
    steps = np.arange(1.0, reach, 0.5)
    x = (at[0] + steps * way[0]).astype(int)
    y = (at[1] + steps * way[1]).astype(int)
    inside = (x >= 0) & (y >= 0) & (x < lines.shape[1]) & (y < lines.shape[0])
    ink = np.zeros(len(steps) + 2, dtype=np.int8)
    ink[1:-1][inside] = lines[y[inside], x[inside]]
    edges = np.flatnonzero(np.diff(ink))
    return [
        (float(steps[a]), float(steps[b - 1]) + 0.5)
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    ]


def _corners(
    ends: list[_End], pieces: Pieces, settings: ReaderSettings
) -> tuple[list[Strip], list[int]]:
    """Join the ends of rows that meet in a corner; also the bent pieces they meet round."""
    strips: list[Strip] = []
    bent: list[int] = []
    if len(ends) < 2:
        return strips, bent
    used: set[int] = set()
    for a, b, piece in _round_bent_pieces(ends, pieces, settings):
        if not {a, b} & used:
            used |= {a, b}
            bent.append(piece)
            strips += [_to_piece(ends[k], pieces, piece) for k in (a, b)]
    places = np.array([e.at for e in ends])
    for a, b in sorted(cKDTree(places).query_pairs(settings.px(settings.dash_gap_mm) * 1.5)):
        if not {a, b} & used and ends[a].row != ends[b].row:
            found = _bridged_corner(ends[a], ends[b])
            if found:
                used |= {a, b}
                strips += found
    return strips, bent


def _round_bent_pieces(
    ends: list[_End], pieces: Pieces, settings: ReaderSettings
) -> list[tuple[int, int, int]]:
    """Pairs of row ends that look at the same bent piece from two sides, by position."""
    loose = np.flatnonzero(
        pieces.small & ~pieces.straight & (pieces.length <= settings.px(settings.dash_max_mm))
    )
    if len(loose) == 0:
        return []
    tree = cKDTree(pieces.centre[loose])
    looking: dict[int, list[int]] = {}
    for k, end in enumerate(ends):
        reach = STEP_SLACK * end.gap + settings.px(settings.dash_max_mm) / 2
        for near in sorted(tree.query_ball_point(end.at, reach)):
            piece = int(loose[near])
            x, y = _nearest_px(end.at, pieces, piece) - end.at
            distance = float(np.hypot(x, y))
            ahead = x * end.way[0] + y * end.way[1]
            if distance <= STEP_SLACK * end.gap + 1.5 and ahead > 0.7 * distance:
                looking.setdefault(piece, []).append(k)
    return sorted((k[0], k[1], piece) for piece, k in looking.items() if len(k) == 2)


def _nearest_px(at: F64, pieces: Pieces, piece: int) -> F64:
    """The px centre of a piece that is nearest to a place."""
    x0, y0, x1, y1 = pieces.boxes[piece].astype(int).tolist()
    rows, columns = np.nonzero(pieces.labels[y0:y1, x0:x1] == piece)
    spots = np.stack([columns + x0 + 0.5, rows + y0 + 0.5], axis=1)
    return np.asarray(spots[int(np.argmin(np.hypot(*(spots - at).T)))], dtype=np.float64)


def _to_piece(end: _End, pieces: Pieces, piece: int) -> Strip:
    return _strip(end.at, _nearest_px(end.at, pieces, piece), end.width)


def _bridged_corner(a: _End, b: _End) -> list[Strip]:
    """The two strips to the corner where two ends aim, if it lies within a gap of both."""
    cross = float(a.way[0] * b.way[1] - a.way[1] * b.way[0])
    if abs(cross) < 0.5:
        return []
    step = b.at - a.at
    ahead_a = float(step[0] * b.way[1] - step[1] * b.way[0]) / cross
    ahead_b = float(step[0] * a.way[1] - step[1] * a.way[0]) / cross
    most = STEP_SLACK * max(a.gap, b.gap) + 1.5
    if not (-a.width <= ahead_a <= most and -b.width <= ahead_b <= most):
        return []
    corner = a.at + ahead_a * a.way
    return [_strip(a.at, corner, a.width), _strip(b.at, corner, b.width)]
