"""Where lines meet: the runs of ink around a place against the conductors that the reading claims.

The rules are a person's: a line that goes straight on stays one conductor, so does one that bends,
the stem of a T belongs to its bar, and two lines that cross are one conductor only with a dot.

1. Places: vertices where lines join, bend or end, and wherever lines of two conductors cross.
2. A circle around each, a few sizes, until one shows nothing odd. Where none does, the two
   readings part: a place is left alone as soon as one circle bears the first reading out.
3. Where two lines cross, the fill of the corners says whether there is a dot (`dots`).

What falls through: places where the ink is no plain lines (letters, arrow heads, hops), left to
the other checks.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.records import DoubtKind, Taken
from loomfolio.reading.second_look.claims import Claims, look_at
from loomfolio.reading.second_look.dots import corner_fill
from loomfolio.reading.second_look.findings import Finding
from loomfolio.reading.second_look.rings import Run, runs_on, sample_rings, turn
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
I64 = NDArray[np.int64]
Bools = NDArray[np.bool_]

_CIRCLES = ((1.6, 1.5), (2.2, 2.0), (3.0, 2.5), (4.2, 3.0))  # radius: line widths, and px more
_LEAST_SEEN = 2  # circles that must tell something before a place is doubted
_LINE_CHORD = (2.4, 2.0)  # a wider run is no line: line widths, and px more
_STRAIGHT_RAD = math.radians(20)
_CROSSING_WIDTHS = 2.5  # a bend or end this near to a crossing is looked at there
_LONG_MM, _STUB_MM = 3.0, 0.6  # an arm that nobody read is a line; is at least a stub
_ARM_MM = 1.6  # the arms of two lines that cross are no strokes of a letter
_AT_HOP_MM = 1.0
# What fills the corners of a four-way beyond the page's usual, in line widths. Drawn pages: plain
# crossings stay within 0.16 of their page's middle, the smallest dots are 0.22 above it.
_DOT_FILL, _DOT_FILL_SPREADS, _DOT_FILL_PX = 0.19, 5.0, 1.35
_JOINED_FILL, _JOINED_FILL_SPREADS = 0.25, 6.0
_USUAL_FILL, _USUAL_SPREAD, _FEW = 0.07, 0.03, 8
_SKEWED = 1.7  # corners of lines that cross at a slant fill up more
_CHUNK = 256


@dataclass(frozen=True)
class _Meeting:
    """A place with the width of line there, and whether the reading says lines are apart there."""

    x: float
    y: float
    width: float
    apart: bool


@dataclass(frozen=True)
class _FourWay:
    """Two straight lines that cross, their runs by rising angle, their conductors."""

    at: _Meeting
    runs: tuple[Run, ...]
    owners: tuple[int, int]


def check_meetings(ink: Bools, claims: Claims, settings: ReaderSettings) -> list[Finding]:
    """Return the places where the runs of ink do not bear out how the reading joins them."""
    meetings = _meetings(claims, settings)
    if not meetings:
        return []
    at = np.array([(m.x, m.y) for m in meetings])
    widths = np.array([m.width for m in meetings])
    circles = []
    for share, more in _CIRCLES:
        radii = share * widths + more
        circles.append((radii, *sample_rings(ink, claims.labels, at, radii)))
    found: list[Finding] = []
    four_ways: list[_FourWay] = []
    for k, meeting in enumerate(meetings):
        seen = [
            _runs_if_lines(ink, meeting, inked[k], claimed[k], float(radii[k]), settings)
            for radii, inked, claimed in circles
        ]
        four_ways += _four_way(meeting, seen)
        odd = _parts(claims, meeting, seen, circles, k)
        if odd is not None:
            found.append(odd)
    return found + _check_dots(ink, four_ways, settings)


def _meetings(claims: Claims, settings: ReaderSettings) -> list[_Meeting]:
    """The places to look at, outside of bodies and hops."""
    crossed, crossed_width = claims.drawn_crossings()
    end = (claims.degree == 1) & (look_at(claims.inside, claims.vertices) == 0)
    chosen = np.flatnonzero(end | claims.bent | (claims.degree > 2))
    at, widths = _moved_to_bars(claims, chosen, end[chosen]), claims.vertex_width[chosen]
    if len(crossed) and len(at):
        far = cKDTree(crossed).query(at)[0] > _CROSSING_WIDTHS * widths
        kept = far | (claims.degree[chosen] > 2)
        at, widths = at[kept], widths[kept]
    at, widths = np.vstack([at, crossed]), np.concatenate([widths, crossed_width])
    kept = ~_near_body(claims, at, settings.px(0.4) + widths)
    kept &= _distance(claims.hops, at) > settings.px(_AT_HOP_MM)
    at, widths = at[kept], widths[kept]
    apart = _distance(claims.apart, at) <= 2.0 * widths + 2
    return [
        _Meeting(float(x), float(y), float(w), bool(a))
        for (x, y), w, a in zip(at, widths, apart, strict=True)
    ]


def _moved_to_bars(claims: Claims, vertices: I64, is_end: Bools) -> F64:
    """The vertices, float64 (N, 2); an end that stops just before another line moves onto it."""
    at, width = claims.vertices[vertices].copy(), claims.vertex_width[vertices]
    if not is_end.any():
        return at
    ends, width = vertices[is_end], width[is_end]
    way = claims.outward(ends)
    steps = np.arange(0.0, 1.5 * float(width.max()) + 2)
    labels = look_at(claims.labels, at[is_end][:, None] + steps[:, None] * way[:, None])
    other = (labels > 0) & (labels != claims.owner[claims.first[ends]][:, None])
    other &= steps <= (1.5 * width + 2)[:, None]
    for k in np.flatnonzero(other.any(axis=1)).tolist():
        bar = int(labels[k, int(other[k].argmax())])
        place = np.flatnonzero(is_end)[k]
        at[place] = claims.nearest_on(bar, *at[place].tolist())
    return at


def _distance(points: F64, at: F64) -> F64:
    if not len(points):
        return np.full(len(at), np.inf)
    return np.asarray(cKDTree(points).query(at)[0]).reshape(len(at))


def _near_body(claims: Claims, at: F64, margin: F64) -> Bools:
    """Is a body this near, by the eight winds?"""
    angle = np.arange(8) * math.pi / 4
    wind = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    around = at[:, None] + margin[:, None, None] * wind
    near = (look_at(claims.inside, around) > 0).any(axis=1)
    return np.asarray(near | (look_at(claims.inside, at) > 0))


def _runs_if_lines(
    ink: Bools,
    meeting: _Meeting,
    inked: Bools,
    claimed: NDArray[np.int32],
    radius: float,
    settings: ReaderSettings,
) -> tuple[tuple[Run, ...], frozenset[int]] | None:
    """The runs of one circle and which of them are mere stubs; None where one is no line."""
    runs = runs_on(inked, claimed, radius)
    share, more = _LINE_CHORD
    if any(run.chord_px > share * meeting.width + more for run in runs):
        return None
    kept: list[Run] = []
    stubs: set[int] = set()
    for run in runs:
        length = math.inf if run.owner else _arm_length(ink, meeting, run, radius, settings)
        if length < settings.px(_STUB_MM):
            continue
        if length < settings.px(_LONG_MM):
            stubs.add(len(kept))
        kept.append(run)
    return tuple(kept), frozenset(stubs)


def _arm_length(
    ink: Bools, meeting: _Meeting, run: Run, radius: float, settings: ReaderSettings
) -> float:
    """How far ink goes straight out along a run, a px of break forgiven."""
    steps = np.arange(0.0, settings.px(_LONG_MM) + 1)
    way = np.array([math.cos(run.angle), math.sin(run.angle)])
    points = np.array([meeting.x, meeting.y]) + (radius + steps)[:, None] * way
    bare = ~look_at(ink, points)
    broken = np.flatnonzero(bare[:-1] & bare[1:])
    return float(steps[broken[0]]) if len(broken) else float(steps[-1])


def _straight_pairs(runs: tuple[Run, ...]) -> list[tuple[int, int]]:
    """Pair the runs that go straight on, the straightest first."""
    bends = sorted(
        (abs(math.pi - turn(runs[i].angle, runs[j].angle)), i, j)
        for i, j in combinations(range(len(runs)), 2)
    )
    pairs: list[tuple[int, int]] = []
    used: set[int] = set()
    for bend, i, j in bends:
        if bend <= _STRAIGHT_RAD and not used & {i, j}:
            pairs.append((i, j))
            used |= {i, j}
    return pairs


def _parts(
    claims: Claims,
    meeting: _Meeting,
    seen: list[tuple[tuple[Run, ...], frozenset[int]] | None],
    circles: list[tuple[F64, Bools, NDArray[np.int32]]],
    k: int,
) -> Finding | None:
    """Where every circle that tells something speaks against the reading: what most of them say."""
    said: list[Finding] = []
    for circle, (radii, _, _) in zip(seen, circles, strict=True):
        if circle is None:
            continue
        odd = _judge(meeting, *circle, _goes_on(claims, meeting, float(radii[k])))
        if odd is None:
            return None
        said.append(odd)
    if len(said) < _LEAST_SEEN:
        return None
    return Counter(said).most_common(1)[0][0]


def _goes_on(claims: Claims, meeting: _Meeting, radius: float) -> Callable[[Run, Run], bool]:
    """Does either conductor of two runs pass where the other one is? Then labels hid each other."""
    reach = meeting.width + 1.5

    def at(run: Run) -> tuple[float, float]:
        return meeting.x + radius * math.cos(run.angle), meeting.y + radius * math.sin(run.angle)

    return lambda a, b: (
        claims.passes(a.owner, *at(b), reach) or claims.passes(b.owner, *at(a), reach)
    )


def _judge(
    meeting: _Meeting,
    runs: tuple[Run, ...],
    stubs: frozenset[int],
    goes_on: Callable[[Run, Run], bool],
) -> Finding | None:
    """What speaks against the reading on one circle; None if nothing does."""
    pairs = _straight_pairs(runs)
    read = sum(run.owner > 0 for run in runs)
    for i, j in pairs:
        a, b = runs[i], runs[j]
        if a.owner and b.owner and a.owner != b.owner and not goes_on(a, b):
            kind: DoubtKind = "crossing" if len(runs) > 3 else "gap"
            return Finding(meeting.x, meeting.y, kind, "apart", "straight line changes conductor")
        if bool(a.owner) != bool(b.owner):
            if {i, j} & stubs and read < 3:
                return None
            taken: Taken = "joined" if read > 2 else "apart"
            kind = "crossing" if read > 2 else "end"
            return Finding(meeting.x, meeting.y, kind, taken, "straight line is left")
    if stubs:
        return None
    single = [k for k in range(len(runs)) if not any(k in pair for pair in pairs)]
    if len(runs) == 2 and not pairs and goes_on(runs[0], runs[1]):
        return None
    return _judge_bends(meeting, runs, [runs[p[0]].owner for p in pairs], single)


def _judge_bends(
    meeting: _Meeting, runs: tuple[Run, ...], bars: list[int], single: list[int]
) -> Finding | None:
    """What speaks against the reading among the runs that do not go straight on."""
    x, y = meeting.x, meeting.y
    owners = [runs[k].owner for k in single]
    if len(runs) == 2 and len(single) == 2 and owners[0] != owners[1]:
        kind: DoubtKind = "touch" if all(owners) else "end"
        return Finding(x, y, kind, "apart", "bend changes conductor")
    if len(runs) == 3 and len(single) == 1 and len(bars) == 1 and bars[0]:
        if not owners[0]:
            return Finding(x, y, "touch", "apart", "arm not read")
        if owners[0] != bars[0] and not meeting.apart:
            return Finding(x, y, "touch", "apart", "stem apart from bar")
    return None


def _four_way(
    meeting: _Meeting, seen: list[tuple[tuple[Run, ...], frozenset[int]] | None]
) -> list[_FourWay]:
    """The two lines that cross here, as the widest circle shows them that shows just two."""
    for circle in reversed(seen):
        if circle is None or len(circle[0]) != 4:
            continue
        runs, _ = circle
        pairs = _straight_pairs(runs)
        owners = [(runs[i].owner, runs[j].owner) for i, j in pairs]
        if len(pairs) == 2 and all(a == b and a for a, b in owners):
            return [_FourWay(meeting, runs, (owners[0][0], owners[1][0]))]
    return []


def _check_dots(ink: Bools, four_ways: list[_FourWay], settings: ReaderSettings) -> list[Finding]:
    """Hold joined and apart against the fill of the corners, seen beside the page's others."""
    if not four_ways:
        return []
    fill = np.concatenate(
        [_fills(ink, four_ways[k : k + _CHUNK]) for k in range(0, len(four_ways), _CHUNK)]
    )
    known = fill[~np.isnan(fill)]
    usual, spread = _USUAL_FILL, _USUAL_SPREAD
    if len(known) >= _FEW:
        usual = float(np.median(known))
        spread = float(np.median(np.abs(known - usual)))
    found = []
    for place, over in zip(four_ways, (fill - usual).tolist(), strict=True):
        one, other = place.owners
        x, y = place.at.x, place.at.y
        if one != other and over > _dot_from(place, spread):
            found.append(Finding(x, y, "crossing", "apart", "apart with dot"))
        plain = over < max(_JOINED_FILL, _JOINED_FILL_SPREADS * spread)
        if one == other and not place.at.apart and plain and _lines_long(ink, place, settings):
            found.append(Finding(x, y, "crossing", "joined", "joined without dot"))
    return found


def _fills(ink: Bools, places: list[_FourWay]) -> F64:
    return corner_fill(
        ink,
        np.array([(p.at.x, p.at.y) for p in places]),
        np.array([[run.angle for run in p.runs] for p in places]),
        np.array([_mean_chord(p) for p in places]),
    )


def _mean_chord(place: _FourWay) -> float:
    return sum(run.chord_px for run in place.runs) / len(place.runs)


def _dot_from(place: _FourWay, spread: float) -> float:
    """The fill above the page's usual from which a four-way looks dotted."""
    angles = [run.angle for run in place.runs]
    corners = [turn(a, b) for a, b in zip(angles, angles[1:] + angles[:1], strict=True)]
    square = all(abs(corner - math.pi / 2) < math.radians(15) for corner in corners)
    least = max(_DOT_FILL, _DOT_FILL_SPREADS * spread, _DOT_FILL_PX / _mean_chord(place))
    return least if square else _SKEWED * least


def _lines_long(ink: Bools, place: _FourWay, settings: ReaderSettings) -> bool:
    """Are all four arms lines, and none of them a stroke of a letter?"""
    start = 2 * place.at.width
    least = settings.px(_ARM_MM) - start
    return all(_arm_length(ink, place.at, run, start, settings) >= least for run in place.runs)
