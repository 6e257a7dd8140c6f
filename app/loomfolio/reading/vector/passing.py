"""Lines that stop before another line and go on behind it, where the exact place of both says so.

`gaps` judges a break by the ink in it; here the line in the break may turn just beside it or be as thin
as one likes, for where it runs is known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.gaps import Bridge, FreeEnds
from loomfolio.reading.graph import Arm, LineGraph
from loomfolio.reading.junctions import Decision, Place, Question
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.lines import Line

F64 = NDArray[np.float64]

STRAIGHT_DEG = 1.0
"""Two ends of one drawn line lie in line to a fraction of this."""
OFFSET_WIDTHS = 0.15
BREAK_MOST_MM = 32.0
"""The widest break with a text in it: area, colours and number of a lead in letters 2.5 mm high."""
MARGIN_MOST_MM = 6.5
"""Paper before a text in a break wider than this parts two lines with a name between them."""
BESIDE_SIZES = 1.4
"""Letters beside a blank are no farther from its middle than this many of their sizes."""


def bridge_exact_breaks(
    graph: LineGraph,
    decisions: dict[int, Decision],
    free: FreeEnds,
    lines: Sequence[Line],
    letter_boxes: F64,
    settings: ReaderSettings,
) -> FreeEnds:
    """Bridge the ends that are still free and face each other exactly, across a line or a text."""
    ends = _still_free(graph, decisions, free)
    if len(ends) < 2 or not lines:
        return free
    pairs = cKDTree(np.array([(e.x, e.y) for e in ends])).query_pairs(settings.px(BREAK_MOST_MM))
    tree = shapely.STRtree([shapely.linestrings(line.points) for line in lines])
    found: list[tuple[float, int, int]] = []
    for i, j in sorted(pairs):
        if ends[i].edge != ends[j].edge and _are_one_line(ends[i], ends[j]):
            found.append((math.hypot(ends[i].x - ends[j].x, ends[i].y - ends[j].y), i, j))
    used: set[int] = set()
    bridges: list[Bridge] = []
    for _, i, j in sorted(found):
        if {i, j} & used:
            continue
        bridge = _bridge(ends[i], ends[j], tree, letter_boxes, settings)
        if bridge is not None:
            used |= {i, j}
            bridges.append(bridge)
    return replace(free, bridges=(*free.bridges, *bridges))


def _bridge(
    a: Arm, b: Arm, tree: shapely.STRtree, letter_boxes: F64, settings: ReaderSettings
) -> Bridge | None:
    keys = ((a.edge, a.end), (b.edge, b.end))
    length = math.hypot(b.x - a.x, b.y - a.y)
    way = _way(a, b, length)
    if not len(tree.query(way, predicate="intersects")):
        return _bridge_over_text(a, b, letter_boxes, settings)
    place = _crossed(way, tree)
    if place is None or length > settings.px(settings.gap_behind_max_mm):
        return None
    return Bridge(*keys, crossing=Place(*place, "gap"))


def _bridge_over_text(a: Arm, b: Arm, letter_boxes: F64, settings: ReaderSettings) -> Bridge | None:
    """Bridge a break with letters on the line in its middle, or on both sides of it with a blank just on it.

    The paper before and behind the text may be wider than on a scan, for the ends lie in line exactly;
    but two pins with a name between them look the same, so it is asked about.
    """
    if not len(letter_boxes):
        return None
    length = math.hypot(b.x - a.x, b.y - a.y)
    ux, uy = (b.x - a.x) / length, (b.y - a.y) / length
    rel = (letter_boxes[:, :2] + letter_boxes[:, 2:]) / 2 - (a.x, a.y)
    size = (letter_boxes[:, 2:] - letter_boxes[:, :2]).max(axis=1)
    along, beside = rel @ (ux, uy), rel @ (-uy, ux)
    near = (along > 0) & (along < length) & (np.abs(beside) < BESIDE_SIZES * size)
    on = near & (np.abs(beside) < 0.6 * size)
    if on.any():
        half = _half_along(letter_boxes[on], (ux, uy))
        before = float((along[on] - half).min())
        behind = length - float((along[on] + half).max())
        even = abs(before - behind) <= settings.px(settings.gap_uneven_mm)
        explained = even and 0 < before <= settings.px(MARGIN_MOST_MM)
    else:
        both_sides = (near & (beside > 0)).any() and (near & (beside < 0)).any()
        most = 2 * settings.px(settings.gap_margin_mm)
        explained = bool(both_sides) and length <= float(size[near].max()) + most
    if not explained:
        return None
    keys = ((a.edge, a.end), (b.edge, b.end))
    middle = ((a.x + b.x) / 2, (a.y + b.y) / 2)
    return Bridge(*keys, doubt=Question(*middle, "gap", "joined"))


def _half_along(boxes: F64, way: tuple[float, float]) -> F64:
    size = boxes[:, 2:] - boxes[:, :2]
    return np.asarray(size @ np.abs(np.array(way)) / 2)


def _still_free(graph: LineGraph, decisions: dict[int, Decision], free: FreeEnds) -> list[Arm]:
    held = {key for bridge in free.bridges for key in (bridge.a, bridge.b)} | set(free.at_body)
    return [
        node.arms[group[0]]
        for number, node in graph.nodes.items()
        for group in decisions[number].groups
        if len(group) == 1 and (node.arms[group[0]].edge, node.arms[group[0]].end) not in held
    ]


def _are_one_line(a: Arm, b: Arm) -> bool:
    gx, gy = b.x - a.x, b.y - a.y
    opposite = a.dx * b.dx + a.dy * b.dy < -math.cos(math.radians(STRAIGHT_DEG))
    ahead = a.dx * gx + a.dy * gy < 0 < b.dx * gx + b.dy * gy
    beside = max(abs(a.dx * gy - a.dy * gx), abs(b.dx * gy - b.dy * gx))
    alike = abs(a.width - b.width) <= 0.1 * max(a.width, b.width)
    return opposite and ahead and alike and beside <= OFFSET_WIDTHS * a.width


def _way(a: Arm, b: Arm, length: float) -> shapely.LineString:
    """The break between two ends, without a tenth at both."""
    trim = 0.1 * length
    ux, uy = (b.x - a.x) / length, (b.y - a.y) / length
    return shapely.linestrings(
        [(a.x + trim * ux, a.y + trim * uy), (b.x - trim * ux, b.y - trim * uy)]
    )


def _crossed(way: shapely.LineString, tree: shapely.STRtree) -> tuple[float, float] | None:
    """Where a line passes through the break, well inside it."""
    for k in np.sort(tree.query(way, predicate="crosses")).tolist():
        spots = shapely.get_coordinates(shapely.intersection(way, tree.geometries[k]))
        if len(spots) == 1:
            return float(spots[0, 0]), float(spots[0, 1])
    return None
