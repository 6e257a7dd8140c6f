"""The lines of a reading as arrays: which conductor lies nearest, and what hangs together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading import Reading

_SHARED_PX = 0.01  # two lines share a vertex when equal to this

Points = NDArray[np.float64]


class ReadLines:
    """The lines of a reading as segments, each with its conductor."""

    def __init__(self, reading: Reading) -> None:
        segments, owners = [], []
        self.lines_of: list[list[Points]] = []
        for index, conductor in enumerate(reading.conductors):
            lines = [np.array(line, dtype=np.float64) for line in conductor.lines]
            self.lines_of.append(lines)
            for line in lines:
                segments.append(np.hstack([line[:-1], line[1:]]))
                owners.append(np.full(len(line) - 1, index))
        self.segments = np.vstack(segments) if segments else np.zeros((0, 4))
        self.owners = np.concatenate(owners) if owners else np.zeros(0, np.int64)

    def nearest(self, points: Points, reach: float) -> NDArray[np.int64]:
        """The conductor nearest to each point, -1 where none is within reach; (N,) int64."""
        if not len(points) or not len(self.segments):
            return np.full(len(points), -1)
        far = distances(points, self.segments)
        best = far.argmin(axis=1)
        found = self.owners[best].astype(np.int64)
        found[far[np.arange(len(points)), best] > reach] = -1
        return found

    def loose(self) -> tuple[int, ...]:
        """Conductors whose lines do not hang together by shared vertices."""
        return tuple(
            index for index, lines in enumerate(self.lines_of) if len(set(pieces_of(lines))) > 1
        )


def pieces_of(lines: list[Points]) -> list[int]:
    """Which connected piece each line belongs to, by shared vertices; one number per line."""
    parent = list(range(len(lines)))

    def root(k: int) -> int:
        while parent[k] != k:
            parent[k] = parent[parent[k]]
            k = parent[k]
        return k

    seen: dict[tuple[int, int], int] = {}
    for index, line in enumerate(lines):
        for x, y in line:
            key = (round(float(x) / _SHARED_PX), round(float(y) / _SHARED_PX))
            parent[root(index)] = root(seen.setdefault(key, index))
    return [root(k) for k in range(len(lines))]


def distances(points: Points, segments: Points) -> Points:
    """The distance of each point from each segment, (N, M)."""
    a, b = segments[:, :2], segments[:, 2:]
    along = b - a
    square = np.maximum((along**2).sum(axis=1), 1e-12)
    offset = points[:, None, :] - a[None, :, :]
    place = ((offset * along[None]).sum(axis=2) / square).clip(0, 1)
    gap = offset - place[:, :, None] * along[None]
    return np.asarray(np.hypot(gap[:, :, 0], gap[:, :, 1]))
