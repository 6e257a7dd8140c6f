"""Would the doubts of a reading set a wrong net right, were they answered?

That is tried, not guessed. Every line within reach of a doubt is taken away: strangers that are
still joined to the net were joined in silence. Conductors that meet at a doubt are put together:
what is still apart was parted in silence. So a doubt counts only at the place of the wrong connection.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines, distances, pieces_of
from accuracy.scans import Scan, Truth
from loomfolio.reading import Reading

if TYPE_CHECKING:
    from accuracy.score import WrongNet

_DOUBT_MM = 2.0  # between a doubt and what it speaks of

Points = NDArray[np.float64]


class Doubts:
    """What the doubts of a reading would set right, were they answered."""

    def __init__(
        self, scan: Scan, reading: Reading, ink: ReadLines, owner: NDArray[np.int64]
    ) -> None:
        self.truth: Truth = scan.truth
        self.ink, self.owner = ink, owner
        self.reach = _DOUBT_MM * scan.dpi / MM_PER_INCH
        self.at = np.array([(d.x, d.y) for d in reading.doubts], dtype=np.float64).reshape(-1, 2)

    def would_mend(self, wrong: WrongNet) -> bool:
        """Would every stranger be parted and every piece and terminal be found at some doubt?"""
        if not len(self.at) or not len(self.ink.segments):
            return False
        return self._parts_strangers(wrong) and self._gathers(wrong)

    def _parts_strangers(self, wrong: WrongNet) -> bool:
        """With the lines at doubts taken away, is no stranger left on a piece with the net?"""
        mine = set(self.truth.nets[wrong.net])
        for conductor in wrong.conductors:
            here = [t for t in mine | set(wrong.strangers) if self.owner[t] == conductor]
            if not any(t in wrong.strangers for t in here):
                continue
            lines = self._away_from_doubts(conductor)
            if not lines:
                continue
            numbers = pieces_of(lines)
            flat = np.vstack([np.hstack([line[:-1], line[1:]]) for line in lines])
            owner = np.repeat(numbers, [len(line) - 1 for line in lines])
            far = distances(self.truth.terminals[here], flat)
            piece = {t: int(owner[far[k].argmin()]) for k, t in enumerate(here)
                     if far[k].min() < self.reach}  # fmt: skip
            own = {p for t, p in piece.items() if t in mine}
            if own & {p for t, p in piece.items() if t not in mine}:
                return False
        return True

    def _away_from_doubts(self, conductor: int) -> list[Points]:
        """The pieces of a conductor's lines that lie out of reach of every doubt."""
        out = []
        for line in self.ink.lines_of[conductor]:
            current: list[Points] = []
            for a, b in itertools.pairwise(line):
                count = max(1, int(np.hypot(*(b - a)) / (self.reach / 4)))
                steps = a + (b - a) * np.linspace(0, 1, count + 1)[:, None]
                close = np.hypot(*(steps[:, None] - self.at[None]).transpose(2, 0, 1)).min(axis=1)
                for point, gap in zip(steps, close, strict=True):
                    if gap > self.reach:
                        current.append(point)
                    elif len(current) > 1:
                        out.append(np.array(current))
                        current = []
                    else:
                        current = []
            if len(current) > 1:
                out.append(np.array(current))
        return out

    def _gathers(self, wrong: WrongNet) -> bool:
        """Would joining what meets at doubts bring the net's pieces and terminals together?"""
        if len(wrong.conductors) + len(wrong.missing) < 2 and not wrong.missing:
            return True
        lines = self.truth.net_lines[wrong.net]
        near_net = distances(self.at, lines).min(axis=1) < self.reach
        places = self.at[near_net]
        if not len(places):
            return False
        for terminal in wrong.missing:
            gap = np.hypot(*(places - self.truth.terminals[terminal]).T).min()
            if gap > self.reach:
                return False
        groups = [{c} for c in wrong.conductors]
        for place in places:
            far = distances(place[None], self.ink.segments)[0]
            here = {int(c) for c in self.ink.owners[far < self.reach]}
            touched = [g for g in groups if g & here]
            groups = [g for g in groups if not g & here]
            groups.append(set().union(here, *touched))
        return sum(bool(g & set(wrong.conductors)) for g in groups) <= 1
