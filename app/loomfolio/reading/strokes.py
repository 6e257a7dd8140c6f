"""From ink to strokes: pieces of drawn line between the places where lines meet.

1. Runs along rows are chained into steep pieces, runs along columns into shallow ones (`runs`).
2. Where both describe the same ink (slanted lines, bends), the longer chain takes the px.
3. What no chain took is a blob: the square where two lines cross, a dot, a filled symbol.
4. A stroke is a chain with a polyline fitted through the middles of its runs, and knows which
strokes
   and blobs lie beyond each of its ends.

Legend: H, W of the working image; N runs; P points.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.runs import I64, Bools, Runs, chain_runs, find_runs
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
U8 = NDArray[np.uint8]


@dataclass(frozen=True)
class Stroke:
    """A piece of line; `points` float64 (P, 2) working px, `beyond` the owners past either end."""

    points: F64
    width: float
    beyond: tuple[tuple[int, ...], tuple[int, ...]]

    @property
    def length(self) -> float:
        """Length along the polyline in working px."""
        steps = np.diff(self.points, axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


@dataclass(frozen=True)
class Strokes:
    """All strokes and blobs of a page.

    Attributes
    ----------
    strokes : stroke k is owner k + 1
    owner : int32, (H, W)
        0 paper, 1..S a stroke, S+1.. a blob.
    blob_boxes : int32, (B, 5)
        x, y, width, height, area of blob b, which is owner S + 1 + b.
    """

    strokes: tuple[Stroke, ...]
    owner: NDArray[np.int32]
    blob_boxes: NDArray[np.int32]


@dataclass(frozen=True)
class _Chains:
    """Runs of one axis with the chain of each, and the size of that chain in runs (0: none)."""

    runs: Runs
    label: I64
    size: I64
    shape: tuple[int, int]


def find_strokes(mask: U8, settings: ReaderSettings) -> Strokes:
    """Find the strokes and blobs of an ink mask, uint8 (H, W) of zeros and ones.

    A mask without ink has no strokes. A ring without any junction comes out as several strokes that
    meet each other directly.
    """
    steep = _chains(mask, settings)
    turned = np.asarray(cv2.transpose(np.ascontiguousarray(mask)), dtype=np.uint8)
    shallow = _chains(turned, settings)
    kept = _contest(steep, shallow, mask.shape)
    steep = _rechained(steep, kept[0], settings)
    shallow = _rechained(shallow, kept[1], settings)
    return _assembled(mask, steep, shallow, settings)


def _chains(mask: U8, settings: ReaderSettings) -> _Chains:
    runs = find_runs(mask)
    eligible = runs.length <= settings.px(settings.stroke_max_mm)
    return _chained(runs, eligible, mask.shape, settings)


def _chained(
    runs: Runs, eligible: Bools, shape: tuple[int, ...], settings: ReaderSettings
) -> _Chains:
    """Chain, drop the runs that bulge out of their chain, chain again, keep what is elongated."""
    label = chain_runs(runs, eligible=eligible, jump_px=1.5, jump_share=0.34)
    mean = _mean_by_label(label, runs.length)
    bulges = (label >= 0) & (runs.length > 1.5 * mean + 1.2)
    if bulges.any():
        eligible = eligible & ~bulges
        label = chain_runs(runs, eligible=eligible, jump_px=1.5, jump_share=0.34)
        mean = _mean_by_label(label, runs.length)
    size = _size_by_label(label)
    slim = size >= np.maximum(settings.elongation_min * mean, 2)
    label = np.where(slim, label, -1)
    return _Chains(runs, label, np.where(slim, size, 0), (shape[0], shape[1]))


def _mean_by_label(label: I64, length: I64) -> F64:
    """Mean run length of each run's chain; 0 for runs in none."""
    shifted = label + 1
    count = np.bincount(shifted)
    total = np.bincount(shifted, weights=length)
    mean = total / np.maximum(count, 1)
    if len(mean):
        mean[0] = 0.0
    return np.asarray(mean[shifted], dtype=np.float64)


def _size_by_label(label: I64) -> I64:
    """Number of runs in each run's chain; 0 for runs in none."""
    count = np.bincount(label + 1)
    if len(count):
        count[0] = 0
    return np.asarray(count[label + 1], dtype=np.int64)


def _pixels_of(runs: Runs, width: int, *, turned: bool = False) -> I64:
    """Flat page positions of all px of the runs, in order: int64; `width` is the page's."""
    length = runs.length
    before = np.cumsum(length) - length
    step = np.arange(int(length.sum())) - np.repeat(before, length)
    if turned:
        return np.repeat(runs.start * width + runs.row, length) + step * width
    return np.repeat(runs.row * width + runs.start, length) + step


def _contest(steep: _Chains, shallow: _Chains, shape: tuple[int, ...]) -> tuple[Bools, Bools]:
    """Which runs of either axis win at least half of their px: the longer chain takes a px."""
    size = np.zeros(shape[0] * shape[1], dtype=np.uint16)
    own, other = steep.runs.only(steep.label >= 0), shallow.runs.only(shallow.label >= 0)
    own_size = np.repeat(_capped(steep.size[steep.label >= 0]), own.length)
    other_size = np.repeat(_capped(shallow.size[shallow.label >= 0]), other.length)
    own_place = _pixels_of(own, shape[1])
    other_place = _pixels_of(other, shape[1], turned=True)
    size[own_place] = own_size
    other_won = other_size > size[other_place]
    size[own_place] = 0
    size[other_place] = other_size
    own_won = own_size >= size[own_place]
    return _winners(steep, own, own_won), _winners(shallow, other, other_won)


def _capped(size: I64) -> NDArray[np.uint16]:
    return np.minimum(size, 65535).astype(np.uint16)


def _winners(chains: _Chains, chained: Runs, won: Bools) -> Bools:
    """Spread what the px of the chained runs won to all runs: bool, (N,)."""
    kept = np.zeros(len(chains.runs.row), dtype=bool)
    if len(chained.row):
        starts = np.cumsum(chained.length) - chained.length
        hits = np.add.reduceat(won.astype(np.int64), starts)
        kept[chains.label >= 0] = 2 * hits >= chained.length
    return kept


def _rechained(chains: _Chains, kept: Bools, settings: ReaderSettings) -> _Chains:
    """Chain the runs that were kept anew."""
    return _chained(chains.runs, kept, chains.shape, settings)


def _assembled(mask: U8, steep: _Chains, shallow: _Chains, settings: ReaderSettings) -> Strokes:
    """Number the chains, paint them, find the blobs between, and fit the polylines."""
    steep_owner, steep_count = _numbered(steep.label, 1)
    shallow_owner, shallow_count = _numbered(shallow.label, 1 + steep_count)
    count = steep_count + shallow_count
    owner = np.zeros(mask.shape[0] * mask.shape[1], dtype=np.int32)
    for runs, of, turned in ((shallow.runs, shallow_owner, True), (steep.runs, steep_owner, False)):
        chained = runs.only(of > 0)
        places = _pixels_of(chained, mask.shape[1], turned=turned)
        owner[places] = np.repeat(of[of > 0], chained.length)
    owner = owner.reshape(mask.shape)
    rest = (owner == 0).view(np.uint8) & mask
    _, blobs, boxes, _ = cv2.connectedComponentsWithStats(rest, connectivity=8, ltype=cv2.CV_32S)
    places = np.flatnonzero(rest)
    owner.ravel()[places] = blobs.ravel()[places] + count
    strokes = [
        *_fitted(steep.runs, steep_owner, owner, settings),
        *_fitted(shallow.runs, shallow_owner, owner, settings, turned=True),
    ]
    return Strokes(tuple(strokes), owner, np.asarray(boxes[1:], dtype=np.int32))


def _numbered(label: I64, first: int) -> tuple[I64, int]:
    """Renumber the chains from `first` without holes; 0 for runs in none."""
    present = np.unique(label[label >= 0])
    number = np.zeros(int(present.max(initial=-1)) + 2, dtype=np.int64)
    number[present] = np.arange(first, first + len(present))
    return np.asarray(number[label], dtype=np.int64), len(present)


def _fitted(
    runs: Runs,
    owner_of: I64,
    owner: NDArray[np.int32],
    settings: ReaderSettings,
    *,
    turned: bool = False,
) -> list[Stroke]:
    """Fit each chain; `turned` says that rows of the runs are columns of the page."""
    chosen = np.flatnonzero(owner_of)
    order = chosen[np.argsort(owner_of[chosen], kind="stable")]
    if len(order) == 0:
        return []
    bounds = np.flatnonzero(np.diff(owner_of[order], prepend=-1, append=-1))
    along, start, stop = runs.row[order], runs.start[order], runs.stop[order]
    middle = (start + stop) / 2.0
    width = np.add.reduceat((stop - start).astype(np.float64), bounds[:-1]) / np.diff(bounds)
    line, off = _line_fits(along.astype(np.float64) + 0.5, middle, bounds)
    page = owner.T if turned else owner
    strokes: list[Stroke] = []
    for k, (low, high) in enumerate(pairwise(bounds.tolist())):
        mean = float(width[k])
        if off[k] <= bend_tolerance(mean, settings):
            first, last = float(along[low]), float(along[high - 1]) + 1.0
            fit = (float(line[k, 0]), float(line[k, 1]))
            points = np.array([_at(fit, first), _at(fit, last)])
        else:
            points = fit_polyline(along[low:high], middle[low:high], mean, settings)
        own = int(owner_of[order[low]])
        beyond = (
            _owners_beyond(page, int(along[low]) - 1, int(start[low]), int(stop[low]), own),
            _owners_beyond(
                page, int(along[high - 1]) + 1, int(start[high - 1]), int(stop[high - 1]), own
            ),
        )
        cut = mean / float(np.hypot(1.0, _slope(points)))
        strokes.append(Stroke(points[:, ::-1].copy() if turned else points, cut, beyond))
    return strokes


def bend_tolerance(width: float, settings: ReaderSettings) -> float:
    """How far in px a line of some width may leave a straight piece before it gets a corner."""
    return max(0.9, settings.bend_widths * width)


def _line_fits(y: F64, x: F64, bounds: I64) -> tuple[F64, F64]:
    """Fit x = a + b y to each stretch between bounds: float64 (K, 2), and how far px are off it."""
    starts = bounds[:-1]
    count = np.diff(bounds)
    centre_y = np.add.reduceat(y, starts) / count
    centre_x = np.add.reduceat(x, starts) / count
    dy, dx = y - np.repeat(centre_y, count), x - np.repeat(centre_x, count)
    spread = np.add.reduceat(dy * dy, starts)
    slope = np.add.reduceat(dy * dx, starts) / np.maximum(spread, 1e-9)
    off = np.maximum.reduceat(np.abs(dx - np.repeat(slope, count) * dy), starts)
    return np.stack([centre_x - slope * centre_y, slope], axis=1), off


def _slope(points: F64) -> float:
    """Sideways px per px along, from end to end."""
    along = float(points[-1, 1] - points[0, 1])
    return float(points[-1, 0] - points[0, 0]) / along if along else 0.0


def fit_polyline(along: I64, middle: F64, width: float, settings: ReaderSettings) -> F64:
    """Fit a polyline through run middles, as few corners as the tolerance allows.

    Parameters
    ----------
    along : int64, (N,)
        Row numbers, one after the other without a hole.
    middle : float64, (N,)
        Middle of the run in each row.

    Returns
    -------
    float64, (P, 2)
        Points as (middle, along), from the outer edge of the first row to that of the last.
    """
    y: F64 = along.astype(np.float64) + 0.5
    curve = np.stack([middle, y], axis=1).astype(np.float32).reshape(-1, 1, 2)
    corners = cv2.approxPolyDP(curve, bend_tolerance(width, settings), closed=False).reshape(-1, 2)
    breaks = [round(float(c[1]) - float(y[0])) for c in corners]
    lines = [_line_fit(y[a : b + 1], middle[a : b + 1]) for a, b in pairwise(breaks)]
    points = [_at(lines[0], float(y[0]) - 0.5)]
    for index, (before, after) in zip(breaks[1:-1], pairwise(lines), strict=True):
        points.append(_corner(before, after, float(y[index]), float(middle[index])))
    points.append(_at(lines[-1], float(y[-1]) + 0.5))
    return np.asarray(points, dtype=np.float64)


def _line_fit(y: F64, x: F64) -> tuple[float, float]:
    """Least squares x = a + b y; of a single point, a line straight along."""
    centre_y, centre_x = float(y.mean()), float(x.mean())
    spread = float(((y - centre_y) ** 2).sum())
    slope = float(((y - centre_y) * (x - centre_x)).sum()) / spread if spread else 0.0
    return centre_x - slope * centre_y, slope


def _at(line: tuple[float, float], y: float) -> tuple[float, float]:
    return line[0] + line[1] * y, y


def _corner(
    before: tuple[float, float], after: tuple[float, float], y: float, x: float
) -> tuple[float, float]:
    """Where two fitted pieces meet; the drawn point where they meet far from it."""
    turn = before[1] - after[1]
    if abs(turn) > 0.15:
        meet = (after[0] - before[0]) / turn
        if abs(meet - y) <= 3.0:
            return _at(before, meet)
    return x, y


def _owners_beyond(
    page: NDArray[np.int32], row: int, start: int, stop: int, own: int
) -> tuple[int, ...]:
    """Owners of the ink in a row that touches the run `start` to `stop` beside it, by number."""
    if not 0 <= row < page.shape[0]:
        return ()
    found = set(page[row, max(0, start - 1) : stop + 1].tolist())
    found -= {0, own}
    return tuple(sorted(found))
