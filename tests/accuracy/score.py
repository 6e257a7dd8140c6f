"""Hold a reading against the truth of its page.

Each true terminal goes to the conductor nearest to it within a millimetre. Two terminals are paired
where they share a net (truth) or a conductor (reading). A net is exactly right when its terminals,
and no other, are on one conductor.

A wrong net counts as silent unless the doubts of the reading would set it right. That is tried, not
guessed: every line within reach of a doubt is taken away, and what strangers are still joined to the
net were joined in silence; conductors that meet at a doubt are put together, and what is still apart
was parted in silence. So a doubt counts only at the place of the wrong connection.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from accuracy.scans import Scan, Truth
from loomfolio.reading.records import Reading

_TOLERANCE_MM = 1.0  # between a terminal and its conductor
_DOUBT_MM = 2.0  # between a doubt and what it speaks of
_MM_PER_INCH = 25.4
_SHARED_PX = 0.01  # two lines share a vertex when equal to this

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WrongNet:
    """A net that was not read exactly right."""

    net: int
    missing: tuple[int, ...]  # its terminals with no conductor
    conductors: tuple[int, ...]  # those its terminals are on
    strangers: tuple[int, ...]  # terminals of other nets on the same conductors
    silent: bool

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
    ink = _Ink(reading)
    truth = scan.truth
    scale = scan.dpi / _MM_PER_INCH
    owner = ink.nearest(truth.terminals, _TOLERANCE_MM * scale)
    net_of = {t: n for n, members in enumerate(truth.nets) for t in members}
    on: dict[int, list[int]] = defaultdict(list)
    for terminal, conductor in enumerate(owner):
        if conductor >= 0:
            on[int(conductor)].append(terminal)
    wrong = []
    for net, members in enumerate(truth.nets):
        found = _judge(net, members, owner, on, net_of)
        if found is not None:
            wrong.append(found)
    judged = _Doubts(scan, reading, ink, owner)
    wrong = [_with_silence(w, judged) for w in wrong]
    common = sum(
        _pairs(sum(net_of[t] == n for t in members))
        for members in on.values()
        for n in {net_of[t] for t in members}
    )
    return Score(
        true_pairs=sum(_pairs(len(m)) for m in truth.nets),
        read_pairs=sum(_pairs(len(m)) for m in on.values()),
        common_pairs=common,
        nets=len(truth.nets),
        wrong=tuple(wrong),
        doubts=len(reading.doubts),
        places=truth.places,
        loose=ink.loose(),
    )


def _pairs(count: int) -> int:
    return count * (count - 1) // 2


def _judge(
    net: int,
    members: tuple[int, ...],
    owner: NDArray[np.int64],
    on: dict[int, list[int]],
    net_of: dict[int, int],
) -> WrongNet | None:
    missing = tuple(t for t in members if owner[t] < 0)
    conductors = tuple(sorted({int(owner[t]) for t in members if owner[t] >= 0}))
    strangers = tuple(t for c in conductors for t in on[c] if net_of[t] != net)
    if not missing and len(conductors) == 1 and not strangers:
        return None
    return WrongNet(net, missing, conductors, strangers, silent=True)


def _with_silence(wrong: WrongNet, doubts: _Doubts) -> WrongNet:
    silent = not doubts.would_mend(wrong)
    return WrongNet(wrong.net, wrong.missing, wrong.conductors, wrong.strangers, silent)


class _Ink:
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


class _Doubts:
    """What the doubts of a reading would set right, were they answered."""

    def __init__(self, scan: Scan, reading: Reading, ink: _Ink, owner: NDArray[np.int64]) -> None:
        self.truth: Truth = scan.truth
        self.ink, self.owner = ink, owner
        self.reach = _DOUBT_MM * scan.dpi / _MM_PER_INCH
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
