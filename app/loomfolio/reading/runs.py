"""Runs of ink along rows: where they start and stop, and which touch in the next row.

A run cut across a line is as long as the line is wide, so a line is a chain of short runs that
follow each other one to one, and the middle of each run is a point of the line to a fraction of a
px. Columns are the same on the transposed image.

Legend: N runs, in order of row, then of column.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

I64 = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Runs:
    """Runs of ink: `row`, `start`, `stop` (exclusive), each int64, (N,); `stride` > image width."""

    row: I64
    start: I64
    stop: I64
    stride: int

    @property
    def length(self) -> I64:
        """Length of each run in px: int64, (N,)."""
        return self.stop - self.start

    def only(self, kept: Bools) -> Runs:
        """Return the runs where `kept` is true."""
        return Runs(self.row[kept], self.start[kept], self.stop[kept], self.stride)


def find_runs(mask: NDArray[np.uint8]) -> Runs:
    """Find the runs of ones along the rows of a uint8 image of zeros and ones, (H, W)."""
    height, width = mask.shape
    stride = width + 2
    padded = np.zeros((height, stride), dtype=np.uint8)
    padded[:, 1 : width + 1] = mask
    flat = padded.ravel()
    edges = np.flatnonzero(flat[1:] != flat[:-1])
    first, last = edges[0::2] + 1, edges[1::2] + 1
    row = first // stride
    base = row * stride + 1
    return Runs(row=row, start=first - base, stop=last - base, stride=stride)


def runs_touching_below(runs: Runs) -> tuple[I64, I64]:
    """Return for each run the range [first, behind) of the runs in the next row that it touches.

    Corners count as touching. Cost: two searches in sorted arrays, O(N log N).
    """
    offset = runs.row * runs.stride
    start_key, stop_key = offset + runs.start, offset + runs.stop
    first = np.searchsorted(stop_key, start_key + runs.stride, side="left")
    behind = np.searchsorted(start_key, stop_key + runs.stride, side="right")
    return first, np.maximum(behind, first)


def chain_runs(runs: Runs, *, eligible: Bools, jump_px: float, jump_share: float) -> I64:
    """Chain eligible runs that follow each other one to one with like length.

    Returns
    -------
    int64, (N,)
        Number of the chain of each run, from 0; -1 where not eligible. Chains are numbered by
        their first run. A chain is bounded by its own start: each link is one to one, so parallel
        lines never melt into one.
    """
    count = len(runs.row)
    first, behind = runs_touching_below(runs)
    touched_by = np.zeros(count + 1, dtype=np.int64)
    touched_by += np.bincount(first, minlength=count + 1)
    touched_by -= np.bincount(behind, minlength=count + 1)
    above = np.cumsum(touched_by)[:count]
    single = (behind - first == 1) & eligible
    upper = np.flatnonzero(single)
    lower = first[upper]
    fits = (above[lower] == 1) & eligible[lower]
    upper, lower = upper[fits], lower[fits]
    length = runs.length
    small = np.minimum(length[upper], length[lower])
    like = np.abs(length[upper] - length[lower]) <= np.maximum(jump_px, jump_share * small)
    upper, lower = upper[like], lower[like]
    links = coo_array((np.ones(len(upper), dtype=np.int8), (upper, lower)), shape=(count, count))
    _, label = connected_components(links, directed=False)
    return np.where(eligible, label, -1).astype(np.int64)
