"""A finger on the line: where the ink goes straight on, the conductor has to go on with it.

From both ends of every longer straight piece the finger looks ahead along the piece. Straight on
there is either bare paper, or the same conductor, or something the first reading saw otherwise:
another conductor, or a line that nobody read. Behind a break the finger lands only where a line
begins in the open; a line that starts at a bar belongs there.

Legend: R rays, T steps of a px along them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.second_look.claims import Claims, look_at
from loomfolio.reading.second_look.findings import Finding
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
I64 = NDArray[np.int64]
I32 = NDArray[np.int32]
Bools = NDArray[np.bool_]

_PIECE_MM = 1.5  # a shorter piece does not tell its direction well enough
_AHEAD_MM = 5.6
_GAP_MM = 4.3  # a wider gap than this is not looked over
_LINE_MM = 1.2  # what the finger lands on is this long
_OTHER_MM = 0.8  # another conductor is told by this much of it
_UNREAD_MM = 2.0  # a line that nobody read
_BEHIND_BAR_MM = 1.0  # the same, where the piece ends at a bar
_INTO_BODY_MM = 1.8  # a line that ends at a bar may go on into a body just behind it
_FRAGMENT_MM = 0.7  # a shorter bit behind a gap is no piece of line
_BREAK_PX = 2
_BESIDE = 0.35  # a line has less ink than this beside it


@dataclass(frozen=True)
class _Ray:
    """What lies ahead of one end of a piece."""

    start: F64
    way: F64
    owner: int
    width: float
    degree: int
    ink: Bools
    labels: I32


def check_straight_on(ink: Bools, claims: Claims, settings: ReaderSettings) -> list[Finding]:
    """Return the places where ink goes straight on and the conductor does not."""
    loose = np.flatnonzero((claims.degree == 1) & (look_at(claims.inside, claims.vertices) == 0))
    tips = cKDTree(claims.vertices[loose]) if len(loose) else None
    owners = claims.owner[claims.first[loose]]
    found = []
    for ray in _rays(ink, claims, settings):
        finding = _look_ahead(ink, claims, ray, tips, owners, settings)
        if finding is not None:
            found.append(finding)
    return found


def _rays(ink: Bools, claims: Claims, settings: ReaderSettings) -> list[_Ray]:
    """The rays that meet ink ahead which is not plainly the same conductor's."""
    lengths = claims.lengths
    pieces = np.flatnonzero(lengths >= settings.px(_PIECE_MM))
    if not len(pieces):
        return []
    near, far = claims.segments[pieces, :2], claims.segments[pieces, 2:]
    start = np.concatenate([near, far])
    way = np.concatenate([near - far, far - near]) / np.tile(lengths[pieces], 2)[:, None]
    owner, width = np.tile(claims.owner[pieces], 2), np.tile(claims.width[pieces], 2)
    degree = claims.degree[cKDTree(claims.vertices).query(start)[1]]
    line = int(settings.px(_LINE_MM))
    steps = np.arange(1.0, settings.px(_AHEAD_MM))
    rays = []
    for low in range(0, len(start), 1024):
        part = slice(low, low + 1024)
        points = start[part, None] + steps[:, None] * way[part, None]
        seen = look_at(ink, points)
        labels = look_at(claims.labels, points)
        inside = look_at(claims.inside, points) > 0
        inside[degree[part] > 2, : int(settings.px(_INTO_BODY_MM))] = False
        seen &= ~np.logical_or.accumulate(inside, axis=1)
        same = (labels[:, :line] == owner[part, None]).mean(axis=1) > 0.5
        for k in np.flatnonzero(seen.any(axis=1) & ~same).tolist():
            q = low + k
            rays.append(
                _Ray(start[q], way[q], int(owner[q]), float(width[q]), int(degree[q]),
                     seen[k], labels[k])
            )  # fmt: skip
    return rays


def _look_ahead(
    ink: Bools,
    claims: Claims,
    ray: _Ray,
    tips: cKDTree | None,
    owners: I64,
    settings: ReaderSettings,
) -> Finding | None:
    """What the finger finds on one ray that the reading does not say."""
    line = int(settings.px(_LINE_MM))
    for first, last in _stretches(ray.ink):
        if first > settings.px(_GAP_MM):
            return None
        if first <= _BREAK_PX:
            if last - first < 0.7 * line:
                continue
            return _on_unbroken(ink, claims, ray, first, last, settings)
        if last - first < 0.6 * line:
            if not ray.labels[first:last].any():
                return None  # a symbol stands in the gap, or a letter
            continue
        return _behind_gap(ink, ray, first, last, tips, owners, settings)
    return None


def _stretches(ink: Bools) -> list[tuple[int, int]]:
    """Stretches of ink along a ray, breaks of a px or two forgiven, as (first, one past last)."""
    edges = np.flatnonzero(np.diff(ink.astype(np.int8), prepend=0, append=0)).tolist()
    joined: list[tuple[int, int]] = []
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        if joined and first - joined[-1][1] <= _BREAK_PX:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _on_unbroken(
    ink: Bools, claims: Claims, ray: _Ray, first: int, last: int, settings: ReaderSettings
) -> Finding | None:
    """The ink goes on at once: under another conductor, or under none."""
    labels = ray.labels[first:last]
    begin = _other_from(labels, ray.owner, int(settings.px(_OTHER_MM)))
    if begin is not None:
        x, y = _at(ray, first + begin + settings.px(_OTHER_MM))
        if claims.passes(ray.owner, x, y, ray.width + 2.0):
            return None
        x, y = _at(ray, (first + begin) / 2)
        return Finding(x, y, "crossing", "apart", "straight line changes conductor")
    least = _BEHIND_BAR_MM if ray.degree > 2 else _UNREAD_MM
    if last - first < settings.px(least) or (labels == 0).mean() <= 0.6:
        return None
    if not _is_thin(ink, ray, first + int(ray.width), last):
        return None
    x, y = float(ray.start[0]), float(ray.start[1])
    return Finding(x, y, "end", "apart", "straight line is left")


def _other_from(labels: I32, owner: int, least: int) -> int | None:
    """Where the first stretch of at least so many px of one other conductor begins."""
    other = (labels > 0) & (labels != owner)
    edges = np.flatnonzero(np.diff(other.astype(np.int8), prepend=0, append=0)).tolist()
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        if int((labels[:first] == owner).sum()) > least:
            return None
        if last - first >= least and np.bincount(labels[first:last]).max() >= 0.8 * (last - first):
            return int(first)
    return None


def _behind_gap(
    ink: Bools,
    ray: _Ray,
    first: int,
    last: int,
    tips: cKDTree | None,
    owners: I64,
    settings: ReaderSettings,
) -> Finding | None:
    """The ink goes on behind a gap: a line of another conductor, or one that nobody read."""
    labels = ray.labels[first:last]
    if (labels == 0).mean() > 0.8:
        if not _may_be_the_same(ray, first, last, settings) or not _is_thin(
            ink, ray, first + 2, last - 2
        ):
            return None
        short = last - first < settings.px(3.0)
        x, y = _at(ray, (first + last) / 2 if short else first / 2)
        return Finding(x, y, "end", "apart", "line goes on behind a gap")
    if ray.degree == 2:
        return None  # the line bends here, and what starts farther on is another one
    owner = int(np.bincount(labels[labels > 0]).argmax())
    read = (labels == owner).sum() > 0.6 * (last - first)
    if owner == ray.owner or not read or last - first < settings.px(_LINE_MM) or tips is None:
        return None
    distance, tip = tips.query(_at(ray, first))
    if distance > 1.5 * ray.width + settings.px(0.25) or owners[tip] != owner:
        return None
    x, y = _at(ray, first / 2)
    return Finding(x, y, "gap", "apart", "line goes on behind a gap")


def _may_be_the_same(ray: _Ray, first: int, last: int, settings: ReaderSettings) -> bool:
    """May unread ink behind a gap be more of an open line: behind a line that passes, or a dash?"""
    if ray.degree != 1 or last - first <= settings.px(_FRAGMENT_MM):
        return False
    between = ray.labels[:first]
    passed = bool(((between > 0) & (between != ray.owner)).any())
    return passed or first <= settings.px(settings.dash_gap_mm)


def _at(ray: _Ray, step: float) -> tuple[float, float]:
    x, y = ray.start + step * ray.way
    return float(x), float(y)


def _is_thin(ink: Bools, ray: _Ray, first: int, last: int) -> bool:
    """Is paper on both sides of this stretch of a ray?"""
    if last - first < 3:
        return False
    along = ray.start + np.arange(first, last)[:, None] * ray.way
    beside = (1.3 * ray.width + 1.5) * np.array([-ray.way[1], ray.way[0]])
    return all(float(look_at(ink, along + s * beside).mean()) < _BESIDE for s in (-1.0, 1.0))
