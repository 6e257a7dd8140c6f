"""Breaks in lines: ends that face each other and are apart, and lines claimed over bare paper.

A reading may bridge bare paper where something explains the break: a dashed row, a text of the
line, a line that passes between, a hop. Whatever else it bridges is asked about.

Legend: N points along the claimed lines, a px apart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.second_look.claims import Claims, look_at
from loomfolio.reading.second_look.findings import Finding
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
Bools = NDArray[np.bool_]

_GAP_MM = 4.3
_FACING = 0.94  # cosine between two ends that look at each other
_BARE_MM, _BARE_WIDTHS = 0.45, 1.2  # a shorter break is roughness of the line
_TRACE_MM = 0.25  # the least break that still shows a dashed row
_EXPLAINED_MM = 1.0  # from a break to a crossing or doubt that explains it
_DASH_GAP_MM, _DASH_ROW_MM = 1.9, 14.0
_ALIKE = 0.45  # the shorter of two dash gaps to the longer one, at least
_ROUND_A_CORNER = 3
_TEXT_AHEAD_MM, _TEXT_BESIDE_MM, _TEXT_PX = 2.5, 1.3, 6
_EDGE_PX = 2  # a claimed line may lie this far beside its ink


@dataclass(frozen=True)
class _Break:
    """A stretch of a claimed line without ink under it."""

    middle: F64
    way: F64
    length: float
    owner: int
    width: float


def check_facing_ends(claims: Claims, settings: ReaderSettings) -> list[Finding]:
    """Return the middles between ends in the open that face each other and are apart."""
    loose = np.flatnonzero((claims.degree == 1) & (look_at(claims.inside, claims.vertices) == 0))
    if len(loose) < 2:
        return []
    at, way = claims.vertices[loose], claims.outward(loose)
    owner, width = claims.owner[claims.first[loose]], claims.vertex_width[loose]
    near = cKDTree(at).query_pairs(settings.px(_GAP_MM), output_type="ndarray")
    found = []
    for i, j in sorted(near.tolist()):
        across = at[j] - at[i]
        if owner[i] == owner[j] or float(way[i] @ way[j]) > -_FACING:
            continue
        if _face(across, way[i], way[j], float(max(width[i], width[j]))):
            x, y = ((at[i] + at[j]) / 2).tolist()
            found.append(Finding(x, y, "gap", "apart", "ends face each other"))
    return found


def _face(across: F64, way: F64, other_way: F64, width: float) -> bool:
    """Do two ends that look opposite ways lie in line, ahead of each other?"""
    length = math.hypot(*across.tolist())
    if length > width and min(float(way @ across), -float(other_way @ across)) < 0.9 * length:
        return False
    beside = max(abs(float(w[0] * across[1] - w[1] * across[0])) for w in (way, other_way))
    return beside <= 0.8 * width + 0.08 * length + 1


def check_bare_claims(
    ink: Bools, claims: Claims, doubts: F64, settings: ReaderSettings
) -> list[Finding]:
    """Return the middles of breaks that a line was drawn over and that nothing explains.

    `doubts`, float64 (D, 2), are the places that the first reading asks about already.
    """
    breaks = _breaks(ink, claims, settings)
    if not breaks:
        return []
    known = np.vstack([doubts, claims.apart])
    explained = cKDTree(known) if len(known) else None
    tree = cKDTree(np.array([b.middle for b in breaks]))
    found = []
    for here in breaks:
        if here.length < max(settings.px(_BARE_MM), _BARE_WIDTHS * here.width):
            continue
        reach = here.length / 2 + settings.px(_EXPLAINED_MM)
        if explained is not None and explained.query(here.middle)[0] <= reach:
            continue
        row = [breaks[k] for k in tree.query_ball_point(here.middle, settings.px(_DASH_ROW_MM))]
        if _is_in_dashed_row(here, row, settings) or _has_text(ink, claims, here, settings):
            continue
        x, y = here.middle.tolist()
        found.append(Finding(x, y, "gap", "joined", "joined over bare paper"))
    return found


def _breaks(ink: Bools, claims: Claims, settings: ReaderSettings) -> list[_Break]:
    """The stretches of claimed lines that have no ink under them, bodies left out."""
    if not len(claims.segments):
        return []
    around = np.ones((2 * _EDGE_PX + 1,) * 2, np.uint8)
    near = np.asarray(cv2.dilate(ink.view(np.uint8), around), dtype=np.uint8)
    length = claims.lengths
    count = np.maximum(1, np.ceil(length)).astype(np.int64)
    segment = np.repeat(np.arange(len(length)), count)
    step = np.arange(len(segment)) - np.repeat(np.cumsum(count) - count, count) + 0.5
    low, high = claims.segments[:, :2], claims.segments[:, 2:]
    points = low[segment] + (step / count[segment])[:, None] * (high - low)[segment]
    bare = (look_at(near, points) == 0) & (look_at(claims.inside, points) == 0)
    changes = np.diff(bare.astype(np.int8), prepend=0) != 0
    starts = np.flatnonzero(changes | (np.diff(segment, prepend=-1) != 0))
    stops = np.append(starts[1:], len(bare))
    found = []
    for first, last in zip(starts.tolist(), stops.tolist(), strict=True):
        k = int(segment[first])
        width, long = float(claims.width[k]), last - first + 2.0 * _EDGE_PX
        if bare[first] and long >= settings.px(_TRACE_MM):
            way = (high[k] - low[k]) / max(float(length[k]), 1e-9)
            middle = (points[first] + points[last - 1]) / 2
            found.append(_Break(middle, way, long, int(claims.owner[k]), width))
    return found


def _is_in_dashed_row(here: _Break, near: list[_Break], settings: ReaderSettings) -> bool:
    """Is this break like another one in line with it, or like several round a corner?"""
    if here.length >= settings.px(_DASH_GAP_MM):
        return False
    alike = [
        other.middle - here.middle
        for other in near
        if other is not here
        and other.owner == here.owner
        and _ALIKE < other.length / here.length < 1 / _ALIKE
    ]
    in_line = [
        abs(float(here.way[0] * rel[1] - here.way[1] * rel[0])) < 3 + 0.05 * math.hypot(*rel)
        for rel in alike
    ]
    return any(in_line) or len(alike) >= _ROUND_A_CORNER


def _has_text(ink: Bools, claims: Claims, here: _Break, settings: ReaderSettings) -> bool:
    """Is there ink beside the break that belongs to no conductor: letters in the line's gap?"""
    reach = here.length / 2 + settings.px(_TEXT_AHEAD_MM)
    along = np.arange(-reach, reach)[:, None, None] * here.way
    beside = np.arange(0.9 * here.width + 1.5, settings.px(_TEXT_BESIDE_MM), 2.0)
    normal = np.array([-here.way[1], here.way[0]])
    points = here.middle + along + np.concatenate([-beside, beside])[:, None] * normal
    inked = look_at(ink, points) & (look_at(claims.labels, points) == 0)
    return int(inked.sum()) > _TEXT_PX
