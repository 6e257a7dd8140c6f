"""Dashed lines: rows of like dashes, closed to solid ink before lines are sought.

A dash that happens to end just behind another line looks like a T, and one that happens to lie on it
like a crossing: only the row tells. So the row is found first, from the dashes that touch nothing, and
its gaps are inked in; all later stages see one line.

1. A dash is a small straight slim piece of ink with two tips.
2. Two tips that face each other across a short gap are linked, each tip once, the nearest first.
3. A row is a set of linked dashes with like gaps; three dashes are the least, two of them apart.
4. Rows go on across and along other lines that cover their dashes, as long as the step is kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]
I64 = NDArray[np.int64]

ROW_LEAST = 2
"""Dashes that touch nothing and start a row."""
CLOSED_LEAST = 2
"""Gaps of a row: with one alone it may as well be a line with one gap."""


@dataclass(frozen=True)
class Dashes:
    """Ink with the gaps of dashed lines closed, and the strips that were: float64 (D, 4) x y x y."""

    lines: U8
    closed: F64


@dataclass(frozen=True)
class _Tips:
    """The tips of all dashes, two each: `at` and outward `way`, float64 (2D, 2); tip t of dash t//2."""

    at: F64
    way: F64
    length: F64
    width: F64


def close_dashes(
    lines: U8, labels: NDArray[np.int32], stats: NDArray[np.int32], settings: ReaderSettings
) -> Dashes:
    """Find the rows of dashes and close their gaps.

    Parameters
    ----------
    lines : uint8, (H, W)
        Ink without glyphs: 1, else 0.
    labels : int32, (H, W)
        The connected pieces of all ink; `stats` int32 (L, 5) is x, y, width, height, area of each.
    """
    tips = _find_tips(labels, stats, settings)
    partner = _linked(tips, settings)
    rows = _rows(partner)
    strips: list[tuple[float, float, float, float, float]] = []
    for row in rows:
        found = _closed_row(row, tips, partner)
        for tip in (row[0], row[-1]):
            if partner[tip] < 0:
                found += _onward(tip, row, tips, lines, settings)
        if len(found) >= CLOSED_LEAST:
            strips += found
    closed = lines.copy()
    for x0, y0, x1, y1, width in strips:
        ends = [(round((x - 0.5) * 16), round((y - 0.5) * 16)) for x, y in ((x0, y0), (x1, y1))]
        cv2.line(closed, ends[0], ends[1], 1, max(1, round(width)), cv2.LINE_8, 4)
    return Dashes(closed, np.array([s[:4] for s in strips], dtype=np.float64).reshape(-1, 4))


def _find_tips(
    labels: NDArray[np.int32], stats: NDArray[np.int32], settings: ReaderSettings
) -> _Tips:
    """Measure every small piece by its moments; keep the straight slim ones."""
    small = np.max(stats[:, 2:4], axis=1) <= settings.px(settings.dash_max_mm)
    small &= stats[:, 4] >= 4
    small[0] = False
    at: list[tuple[float, float]] = []
    way: list[tuple[float, float]] = []
    size: list[tuple[float, float]] = []
    for k in np.flatnonzero(small).tolist():
        x, y, w, h, area = stats[k].tolist()
        found = _measured(labels[y : y + h, x : x + w] == k, area)
        if found is None:
            continue
        cx, cy, dx, dy, length, width = found
        half = length / 2
        at += [(x + cx - half * dx, y + cy - half * dy), (x + cx + half * dx, y + cy + half * dy)]
        way += [(-dx, -dy), (dx, dy)]
        size.append((length, width))
    sizes = np.array(size, dtype=np.float64).reshape(-1, 2)
    return _Tips(
        np.array(at, dtype=np.float64).reshape(-1, 2),
        np.array(way, dtype=np.float64).reshape(-1, 2),
        sizes[:, 0],
        sizes[:, 1],
    )


def _measured(
    piece: NDArray[np.bool_], area: int
) -> tuple[float, float, float, float, float, float] | None:
    """Centre, direction, length and width of a piece, if it fills its own long slim box."""
    rows, columns = np.nonzero(piece)
    x, y = columns + 0.5, rows + 0.5
    cx, cy = float(x.mean()), float(y.mean())
    xx, yy = float(((x - cx) ** 2).mean()), float(((y - cy) ** 2).mean())
    xy = float(((x - cx) * (y - cy)).mean())
    angle = 0.5 * math.atan2(2 * xy, xx - yy)
    dx, dy = math.cos(angle), math.sin(angle)
    along, beside = (x - cx) * dx + (y - cy) * dy, (y - cy) * dx - (x - cx) * dy
    length = float(along.max() - along.min()) + 1.0
    width = area / length
    if length < 1.6 * width or float(beside.max() - beside.min()) > 1.7 * width + 1.5:
        return None
    middle = float(along.max() + along.min()) / 2
    return cx + middle * dx, cy + middle * dy, dx, dy, length, width


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
    """The rows of at least two linked dashes: the tips of each, in order along it."""
    rows: list[list[int]] = []
    seen = np.zeros(len(partner) // 2, dtype=bool)
    starts = [t for t in range(len(partner)) if partner[t] < 0]
    for start in [*starts, *range(len(partner))]:
        if seen[start // 2]:
            continue
        row, tip = [], start
        while tip >= 0 and not seen[tip // 2]:
            seen[tip // 2] = True
            row += [tip, tip ^ 1]
            tip = int(partner[tip ^ 1])
        if len(row) >= 2 * ROW_LEAST:
            rows.append(row)
    return rows


Strip = tuple[float, float, float, float, float]


def _strip(a: int, b: int, tips: _Tips) -> Strip:
    width = float(min(tips.width[a // 2], tips.width[b // 2]))
    (ax, ay), (bx, by) = (tips.at[t] - width / 2 * tips.way[t] for t in (a, b))
    return float(ax), float(ay), float(bx), float(by), width


def _closed_row(row: list[int], tips: _Tips, partner: I64) -> list[Strip]:
    """The gaps of a row that are alike; a gap twice the usual is not of the row's making."""
    pairs = [(a, int(partner[a])) for a in row[1:-1:2] if partner[a] >= 0]
    gaps = np.array([np.hypot(*(tips.at[b] - tips.at[a])) for a, b in pairs])
    usual = float(np.median(gaps))
    return [
        _strip(a, b, tips)
        for (a, b), gap in zip(pairs, gaps, strict=True)
        if gap <= 1.7 * usual + 1.5
    ]


def _onward(
    tip: int, row: list[int], tips: _Tips, lines: U8, settings: ReaderSettings
) -> list[Strip]:
    """Close the gaps ahead of a row's last tip, where other lines touch or cover its dashes.

    Straight ahead the ink must keep the row's step: a dash after each gap. A line across may stand in
    a gap or on a dash; where the step is lost, the row has ended, and nothing is closed behind its
    last dash.
    """
    width = float(tips.width[tip // 2])
    dash = float(np.median(tips.length[np.array(row) // 2]))
    gap = _usual_gap(row, tips)
    way = _row_way(tip, row, tips)
    at = tips.at[tip]
    runs = _runs_ahead(lines, at, way, settings.px(settings.dash_across_mm))
    strips: list[Strip] = []
    before = end = 0.0
    for start, stop in runs:
        if start - before > 1.6 * gap + 1.5:
            break
        before = stop
        if stop - start > 2.0 * dash + 2.0 * width:
            break
        if stop - start < 0.6 * dash:
            continue
        (x0, y0), (x1, y1) = (at + p * way for p in (end - width / 2, start + width / 2))
        strips.append((float(x0), float(y0), float(x1), float(y1), width))
        end = stop
    return strips


def _usual_gap(row: list[int], tips: _Tips) -> float:
    inner = row[1:-1]
    gaps = [
        np.hypot(*(tips.at[b] - tips.at[a])) for a, b in zip(inner[::2], inner[1::2], strict=True)
    ]
    return float(np.median(gaps))


def _row_way(tip: int, row: list[int], tips: _Tips) -> F64:
    """Direction of the row at one of its ends, over the last straight dashes."""
    order = row if tip == row[-1] else row[::-1]
    back = order[-1]
    for other in order[-2:-9:-1]:
        if abs(float(tips.way[tip] @ tips.way[other])) < 0.995:
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
