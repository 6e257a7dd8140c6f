"""Conductors as lists of `QLineF`, made once and kept: the quickest way to draw many of them.

Measured: `drawLines` over a kept list is some ten times quicker than a path, and opaque pens some ten
times quicker than translucent ones; so quiet lines are drawn opaque into a layer that is laid over the
paper with its opacity. Only sheets whose conductors changed are made anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain, pairwise

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets import DrawnConductor

Run = tuple[MmPoint, ...]


class SheetLines:
    """The lines of one sheet's conductors, in mm, with the box of each conductor.

    `boxes` is float64 (C, 4): x0, y0, x1, y1 of the C conductors, mm on the sheet.
    """

    def __init__(self, conductors: Sequence[DrawnConductor], kept: SheetLines | None) -> None:
        self.conductors = tuple(conductors)
        made = {c.lines: lines for c, lines in kept.pairs} if kept else {}
        self.lines = [made.get(c.lines) or _lines_of(c.lines) for c in self.conductors]
        self.boxes: NDArray[np.float64] = np.array(
            [_box_of(c.lines) for c in self.conductors], np.float64
        ).reshape(-1, 4)
        self._segments: NDArray[np.float64] | None = None
        self.position = {c.number: i for i, c in enumerate(self.conductors)}

    @property
    def pairs(self) -> Iterable[tuple[DrawnConductor, list[QLineF]]]:
        """Each conductor with its lines."""
        return zip(self.conductors, self.lines, strict=True)

    def seen_in(self, box: MmBox) -> NDArray[np.intp]:
        """Return the positions of the conductors of which a box shows something."""
        b = self.boxes
        seen = (b[:, 0] <= box.x1) & (b[:, 2] >= box.x0) & (b[:, 1] <= box.y1) & (b[:, 3] >= box.y0)
        return np.flatnonzero(seen)

    def crosses(self, box: MmBox) -> bool:
        """Tell whether any line may run through a box; for level and upright lines this is exact."""
        if self._segments is None:
            spans = [
                (min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))
                for conductor in self.conductors
                for line in conductor.lines
                for a, b in pairwise(line)
            ]
            self._segments = np.array(spans, np.float64).reshape(-1, 4)
        s = self._segments
        return bool(
            np.any(
                (s[:, 0] <= box.x1)
                & (s[:, 2] >= box.x0)
                & (s[:, 1] <= box.y1)
                & (s[:, 3] >= box.y0)
            )
        )

    def together(self, positions: Iterable[int]) -> list[QLineF]:
        """Return the lines of several conductors as one list."""
        return list(chain.from_iterable(self.lines[position] for position in positions))

    def of_net(self, net: int) -> list[QLineF]:
        """Return the lines of a net on this sheet."""
        return self.together(i for i, c in enumerate(self.conductors) if c.net == net)

    def stroke_mm(self, net: int) -> float:
        """Return the widest printed stroke of a net on this sheet; 0 where it is not drawn."""
        return max((c.stroke_mm for c in self.conductors if c.net == net), default=0.0)


class LineStore:
    """The lines of all sheets, remade only where a sheet's conductors are others."""

    def __init__(self) -> None:
        self._sheets: dict[str, SheetLines] = {}

    def get(self, sheet_id: str, conductors: Sequence[DrawnConductor]) -> SheetLines:
        """Return the lines of a sheet; those of conductors that did not change are the same ones."""
        kept = self._sheets.get(sheet_id)
        if kept is None or kept.conductors != tuple(conductors):
            kept = self._sheets[sheet_id] = SheetLines(conductors, kept)
        return kept

    def keep_only(self, sheet_ids: Iterable[str]) -> None:
        """Forget the sheets that are gone."""
        wanted = set(sheet_ids)
        self._sheets = {key: lines for key, lines in self._sheets.items() if key in wanted}


def run_lines(points: Sequence[MmPoint]) -> list[QLineF]:
    """Return one polyline as lines in mm."""
    return [QLineF(a.x, a.y, b.x, b.y) for a, b in pairwise(points)]


def _lines_of(runs: tuple[Run, ...]) -> list[QLineF]:
    return list(chain.from_iterable(run_lines(run) for run in runs))


def _box_of(runs: tuple[Run, ...]) -> tuple[float, float, float, float]:
    xs = [point.x for run in runs for point in run]
    ys = [point.y for run in runs for point in run]
    return min(xs), min(ys), max(xs), max(ys)
