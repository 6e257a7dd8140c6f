"""Why a net was misread: the place where reading and truth part, and the convention drawn there.

A net that was split parts where its true line has no conductor, or where the conductor along it
changes. A net that was joined to a stranger met it at one of their crossings, where they come
nearest, or through ink that belongs to no net. Each place is named after the nearest convention.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines, distances
from accuracy.scans import Scan
from accuracy.score import WrongNet
from loomfolio.reading import Reading

_STEP_MM = 0.4
_ON_LINE_MM = 0.7  # a conductor this near to a true line runs along it
_NEAR_MM = 3.0  # how far the convention may lie from the place

Points = NDArray[np.float64]


def cause_of(scan: Scan, reading: Reading, wrong: WrongNet) -> str:
    """Return the conventions that lie where the net went wrong, most telling first."""
    scale = scan.dpi / MM_PER_INCH
    places = []
    if wrong.strangers:
        places += _where_joined(scan, wrong, scale)
    elif len(wrong.conductors) > 1 or wrong.missing:
        places += _where_split(scan, reading, wrong, scale)
    names = [_feature_at(scan, place, scale) for place in places[:3]]
    return " / ".join(dict.fromkeys(names)) or "no place found"


def _sampled(segments: Points, step: float) -> list[Points]:
    """Points along each segment, (N, 2) each."""
    out = []
    for x0, y0, x1, y1 in segments:
        count = max(2, int(np.hypot(x1 - x0, y1 - y0) / step) + 1)
        share = np.linspace(0, 1, count)[:, None]
        out.append(np.array([x0, y0]) + share * np.array([x1 - x0, y1 - y0]))
    return out


def _where_split(scan: Scan, reading: Reading, wrong: WrongNet, scale: float) -> list[Points]:
    """Where the true lines have no conductor, or pass from one to the next."""
    read = ReadLines(reading)
    segments, owners = read.segments, read.owners
    if not len(segments):
        return []
    places = []
    for line in _sampled(scan.truth.net_lines[wrong.net], _STEP_MM * scale):
        far = distances(line, segments)
        best = far.argmin(axis=1)
        on = np.where(far[np.arange(len(line)), best] < _ON_LINE_MM * scale, owners[best], -1)
        bare = on < 0
        if bare.any():
            places.append(line[bare][int(bare.sum()) // 2])
        changes = np.flatnonzero((on[1:] != on[:-1]) & ~bare[1:] & ~bare[:-1])
        places += [line[k] for k in changes]
    return places


def _where_joined(scan: Scan, wrong: WrongNet, scale: float) -> list[Points]:
    """The crossing with a stranger, else where the two nets come nearest."""
    truth = scan.truth
    net_of = {t: n for n, members in enumerate(truth.nets) for t in members}
    mine = truth.net_lines[wrong.net]
    places = []
    for stranger in sorted({net_of[t] for t in wrong.strangers})[:2]:
        other = truth.net_lines[stranger]
        if len(truth.crossings):
            both = np.maximum(
                distances(truth.crossings, mine).min(axis=1),
                distances(truth.crossings, other).min(axis=1),
            )
            if both.min() < 0.3 * scale:
                places.append(truth.crossings[int(both.argmin())])
                continue
        points = np.vstack(_sampled(mine, _STEP_MM * scale))
        places.append(points[int(distances(points, other).min(axis=1).argmin())])
    return places


def _feature_at(scan: Scan, place: Points, scale: float) -> str:
    if not scan.features:
        return "plain line"
    far = [float(np.hypot(x - place[0], y - place[1])) for _, (x, y) in scan.features]
    best = int(np.argmin(far))
    return scan.features[best][0] if far[best] < _NEAR_MM * scale else "plain line"
