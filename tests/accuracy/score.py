"""Hold a reading against the truth of its page.

Each true terminal goes to the conductor nearest to it within a millimetre. Two terminals are paired
where they share a net (truth) or a conductor (reading). A net is exactly right when its terminals,
and no other, are on one conductor. A wrong net is silent unless the doubts of the reading would set
it right (`doubts`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from accuracy.doubts import Doubts
from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines
from accuracy.scans import Scan
from loomfolio.reading import Reading

_TOLERANCE_MM = 1.0  # between a terminal and its conductor

Nets = Sequence[Sequence[int]]


@dataclass(frozen=True, slots=True)
class WrongNet:
    """A net that was not read exactly right."""

    net: int
    missing: tuple[int, ...]  # its terminals with no conductor
    conductors: tuple[int, ...]  # those its terminals are on
    strangers: tuple[int, ...]  # terminals of other nets on the same conductors
    silent: bool = True

    @property
    def fault(self) -> str:
        """What went wrong, in a word or two."""
        faults = [
            ("joined", bool(self.strangers)),
            ("split", len(self.conductors) > 1),
            ("missed", bool(self.missing)),
        ]
        return "+".join(name for name, holds in faults if holds)


@dataclass(frozen=True, slots=True)
class Score:
    """The counts of one page; add them up for a table."""

    true_pairs: int
    read_pairs: int
    common_pairs: int
    nets: int
    wrong: tuple[WrongNet, ...]
    doubts: int
    places: int
    loose: tuple[int, ...] = field(default=())  # conductors that are not in one piece

    @property
    def silent(self) -> int:
        """How many wrong nets have no doubt that would set them right."""
        return sum(w.silent for w in self.wrong)


def score_reading(scan: Scan, reading: Reading) -> Score:
    """Return the counts for one page."""
    lines, truth = ReadLines(reading), scan.truth
    owner = lines.nearest(truth.terminals, _TOLERANCE_MM * scan.dpi / MM_PER_INCH)
    doubts = Doubts(scan, reading, lines, owner)
    wrong = [replace(w, silent=not doubts.would_mend(w)) for w in misread(truth.nets, owner)]
    on = _terminals_on(owner)
    net_of = {t: n for n, members in enumerate(truth.nets) for t in members}
    return Score(
        true_pairs=sum(_pairs(len(members)) for members in truth.nets),
        read_pairs=sum(_pairs(len(members)) for members in on.values()),
        common_pairs=sum(
            _pairs(sum(net_of[t] == n for t in members))
            for members in on.values()
            for n in {net_of[t] for t in members}
        ),
        nets=len(truth.nets),
        wrong=tuple(wrong),
        doubts=len(reading.doubts),
        places=truth.places,
        loose=lines.loose(),
    )


def misread(nets: Nets, owner: NDArray[np.int64]) -> list[WrongNet]:
    """Return the nets that are not exactly right, given the conductor of each terminal (-1: none)."""
    on = _terminals_on(owner)
    out = []
    for number, members in enumerate(nets):
        missing = tuple(t for t in members if owner[t] < 0)
        conductors = tuple(sorted({int(owner[t]) for t in members if owner[t] >= 0}))
        strangers = tuple(t for c in conductors for t in on[c] if t not in members)
        if missing or len(conductors) != 1 or strangers:
            out.append(WrongNet(number, missing, conductors, strangers))
    return out


def _terminals_on(owner: NDArray[np.int64]) -> dict[int, list[int]]:
    on: dict[int, list[int]] = defaultdict(list)
    for terminal, conductor in enumerate(owner):
        if conductor >= 0:
            on[int(conductor)].append(terminal)
    return on


def _pairs(count: int) -> int:
    return count * (count - 1) // 2
