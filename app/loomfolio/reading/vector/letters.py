"""Letters drawn as strokes, told from short pieces of line by their size, their shape and their place.

Strokes no larger than a letter that touch each other are one sign. A sign is a letter unless it does
what only a piece of line does: two of its tips meet lines that end there, or look straight at the end of a
line across a gap. A single straight bar is a letter only beside letters of its height.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.lines import Circle, Dot, Line
from loomfolio.reading.vector.shapes import at_bodies
from loomfolio.sheets import Rgb

F64 = NDArray[np.float64]
Tip = tuple[int, int]
"""A line and its end, 0 or -1."""

MEETS_PX = 1.5
"""A tip this near to the end of a line meets it (0.13 mm)."""
LOOKS_MM = 12.0
"""How far across a gap, with a text in it or not, a tip looks for the line that it carries on. A tip of a
letter looks straight at the end of a line of just its look by rare chance, two tips hardly ever."""
ROUNDS_MOST = 40
"""Pieces of line in a row that are each told by the one before."""
BESIDE_HEIGHTS = 1.1
"""A bar this near to a letter, in heights, may be one too."""


@dataclass(frozen=True)
class Lettered:
    """The lines without letters, and the boxes of the letters, float64 (N, 4)."""

    lines: list[Line]
    letter_boxes: F64


@dataclass(frozen=True)
class _Held:
    """The ends of all that is no sign: positions and outward directions."""

    tree: cKDTree | None
    out: F64
    looks: list[tuple[float, Rgb]]
    lines: shapely.STRtree
    small: shapely.STRtree


def letters_apart(
    lines: Sequence[Line],
    dots: Sequence[Dot],
    circles: Sequence[Circle],
    bodies: Sequence[Body],
    settings: ReaderSettings,
) -> Lettered:
    """Set the letters among the lines apart; a tip at a body is one of a line."""
    most = settings.px(settings.glyph_max_mm)
    small = [k for k, line in enumerate(lines) if _is_small(line, most)]
    if not small:
        return Lettered(list(lines), np.zeros((0, 4)))
    signs = [
        m for m in _signs([lines[k] for k in small], small) if _fits([lines[k] for k in m], most)
    ]
    known = (
        _tips_at_bodies(lines, small, bodies, settings),
        _tips_at_spots(lines, small, (*dots, *circles)),
    )
    left = set(small)
    small_tree = shapely.STRtree([shapely.linestrings(lines[k].points) for k in small])
    for _ in range(ROUNDS_MOST):
        held = _held_ends(lines, left, small_tree)
        ties = [_ties(m, lines, (held, held), known, settings) for m in signs]
        pieces = [m for m, tie in zip(signs, ties, strict=True) if tie.is_line]
        if not pieces:
            # Two pieces between one break and another hold each other.
            half = [m for m, tie in zip(signs, ties, strict=True) if tie.carried and len(m) == 1]
            looked_at = _held_ends(lines, left - {k for m in half for k in m}, small_tree)
            ties = [_ties(m, lines, (looked_at, held), known, settings) for m in half]
            pieces = [m for m, tie in zip(half, ties, strict=True) if tie.carried >= 2]
        if not pieces:
            break
        left -= {k for m in pieces for k in m}
        signs = [m for m in signs if m[0] in left]
    bars = [m for m in signs if _is_bar([lines[k] for k in m])]
    chosen = [m for m in signs if not _is_bar([lines[k] for k in m])]
    chosen += _bars_beside(bars, chosen, lines)
    gone = {k for members in chosen for k in members}
    boxes = [_box_of([lines[k] for k in members]) for members in chosen]
    return Lettered(
        [line for k, line in enumerate(lines) if k not in gone],
        np.array(boxes, dtype=np.float64).reshape(-1, 4),
    )


def _fits(strokes: Sequence[Line], most: float) -> bool:
    box = _box_of(strokes)
    return max(box[2] - box[0], box[3] - box[1]) <= most


def _is_small(line: Line, most: float) -> bool:
    box = line.box
    return not line.is_dashed and max(box.x1 - box.x0, box.y1 - box.y0) <= most


def _signs(strokes: Sequence[Line], numbers: Sequence[int]) -> list[list[int]]:
    """The strokes that touch each other, as lists of numbers."""
    shapes = [shapely.linestrings(s.points) for s in strokes]
    tree = shapely.STRtree(shapes)
    half = np.array([s.width for s in strokes]) / 2
    i, j = tree.query(shapes, predicate="dwithin", distance=half + 0.3)
    # Letters of broad and of thin pens stand near each other: the thinner of two pens decides.
    mutual = (
        shapely.distance(np.array(shapes)[i], np.array(shapes)[j])
        <= np.minimum(half[i], half[j]) + 0.3
    )
    i, j = i[mutual], j[mutual]
    links = coo_array((np.ones(len(i)), (i, j)), shape=(len(strokes), len(strokes)))
    _, label = connected_components(links, directed=False)
    groups: dict[int, list[int]] = defaultdict(list)
    for k, group in enumerate(label.tolist()):
        groups[group].append(numbers[k])
    return [groups[g] for g in sorted(groups)]


def _held_ends(lines: Sequence[Line], small: set[int], every_small: shapely.STRtree) -> _Held:
    rest = [line for k, line in enumerate(lines) if k not in small and not line.is_closed]
    tree = shapely.STRtree([shapely.linestrings(line.points) for line in rest])
    if not rest:
        return _Held(None, np.zeros((0, 2)), [], tree, every_small)
    at = np.array([p for line in rest for p in (line.points[0], line.points[-1])])
    back = np.array([p for line in rest for p in (line.points[1], line.points[-2])])
    out = at - back
    out = out / np.maximum(np.hypot(out[:, 0], out[:, 1]), 1e-9)[:, None]
    looks = [line.look for line in rest for _ in (0, 1)]
    return _Held(cKDTree(at), out, looks, tree, every_small)


def _tips_at_bodies(
    lines: Sequence[Line], small: Sequence[int], bodies: Sequence[Body], settings: ReaderSettings
) -> set[Tip]:
    """The tips of small strokes that end at a body."""
    tips = [(k, end) for k in small for end in (0, -1)]
    at = np.array([lines[k].points[end] for k, end in tips])
    held = at_bodies(at, bodies, settings.px(settings.body_reach_mm))
    return {tips[n] for n in np.flatnonzero(held).tolist()}


def _tips_at_spots(
    lines: Sequence[Line], small: Sequence[int], spots: Sequence[Dot | Circle]
) -> set[Tip]:
    """The tips of small strokes that lie in a dot or at a ring."""
    if not spots:
        return set()
    tips = [(k, end) for k in small for end in (0, -1)]
    at = np.array([lines[k].points[end] for k, end in tips])
    tree = shapely.STRtree(shapely.points([(s.x, s.y) for s in spots]))
    reach = np.array([s.radius for s in spots]) + MEETS_PX
    tip, spot = tree.query(shapely.points(at), predicate="dwithin", distance=reach.max())
    apart = np.hypot(*(at[tip] - np.array([(s.x, s.y) for s in spots])[spot]).T)
    return {tips[n] for n in tip[apart <= reach[spot]].tolist()}


@dataclass(frozen=True)
class _Ties:
    """How many tips of a sign do what only those of lines do; how many others stand on a line.

    A sign is a piece of line where one tip meets the end of a line, a dot or a ring; where two carry on
    lines or meet bodies; or one does, and another stands on a line. Of a single straight bar one such tip
    is enough, as of a single stroke that crosses a line. One that stands on two lines is a short link.
    """

    carried: int
    meeting: int
    crosses: bool
    standing_on: frozenset[int]
    is_bar: bool
    is_single: bool

    @property
    def is_line(self) -> bool:
        if self.meeting or (self.is_bar and self.carried) or self.carried >= 2:
            return True
        if self.is_single and self.carried and self.crosses:
            return True
        if self.is_single and len(self.standing_on) == 2:
            return True
        return self.carried == 1 and len(self.standing_on) >= 1


def _ties(
    members: Sequence[int],
    lines: Sequence[Line],
    looked_at_and_met: tuple[_Held, _Held],
    known: tuple[set[Tip], set[Tip]],
    settings: ReaderSettings,
) -> _Ties:
    """Count what the tips of a sign do with two sets of ends: those it may look at, those it may meet."""
    looked_at, held = looked_at_and_met
    held_tips, met_tips = known
    carried = meeting = 0
    standing: set[int] = set()
    strokes = [lines[k] for k in members]
    for k, stroke in zip(members, strokes, strict=True):
        for end in (0, -1):
            tip = stroke.points[end]
            out = tip - stroke.points[1 if end == 0 else -2]
            out = out / max(float(np.hypot(*out)), 1e-9)
            met = (k, end) in met_tips or _meets(tip, held, max(MEETS_PX, 0.7 * stroke.width))
            meeting += met
            if (
                met
                or (k, end) in held_tips
                or _carries_on(
                    tip, out, stroke, looked_at, settings, through_text=len(strokes) == 1
                )
            ):
                carried += 1
            else:
                standing |= _stood_on(tip, held, max(MEETS_PX, 0.6 * stroke.width))
    crosses = len(strokes) == 1 and len(
        held.lines.query(shapely.linestrings(strokes[0].points), predicate="crosses")
    )
    return _Ties(
        carried, meeting, bool(crosses), frozenset(standing), _is_bar(strokes), len(strokes) == 1
    )


def _stood_on(tip: F64, held: _Held, reach: float) -> set[int]:
    found = held.lines.query(shapely.points(tip), predicate="dwithin", distance=reach)
    return {int(k) for k in found}


def _meets(tip: F64, held: _Held, reach: float) -> bool:
    return held.tree is not None and bool(held.tree.query_ball_point(tip, reach))


def _carries_on(
    tip: F64,
    out: F64,
    stroke: Line,
    held: _Held,
    settings: ReaderSettings,
    *,
    through_text: bool,
) -> bool:
    """Does a tip look at the end of a line across a gap that looks back?

    A sign of several strokes does not look through other small strokes: it is more likely one of them.
    """
    if held.tree is None:
        return False
    for k in held.tree.query_ball_point(tip, settings.px(LOOKS_MM)):
        way = held.tree.data[k] - tip
        beside = abs(float(out[0] * way[1] - out[1] * way[0]))
        faces = float(out @ way) > 0 and float(out @ held.out[k]) < -0.995
        if faces and held.looks[k] == stroke.look and beside <= 0.3 * stroke.width:
            look = shapely.linestrings([tip + MEETS_PX * out, held.tree.data[k]])
            if through_text or not len(held.small.query(look, predicate="crosses")):
                return True
    return False


def _is_bar(strokes: Sequence[Line]) -> bool:
    """Tell one straight stroke."""
    if len(strokes) != 1:
        return False
    line = strokes[0]
    return line.length <= 1.02 * float(np.hypot(*(line.points[-1] - line.points[0])))


def _bars_beside(
    bars: list[list[int]], letters: list[list[int]], lines: Sequence[Line]
) -> list[list[int]]:
    """The bars that stand in a row with letters of about their height."""
    if not bars or not letters:
        return []
    boxes = np.array([_box_of([lines[k] for k in members]) for members in letters])
    size = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    found = []
    for members in bars:
        x0, y0, x1, y1 = _box_of([lines[k] for k in members])
        apart = np.hypot(
            np.maximum(np.maximum(boxes[:, 0] - x1, x0 - boxes[:, 2]), 0),
            np.maximum(np.maximum(boxes[:, 1] - y1, y0 - boxes[:, 3]), 0),
        )
        fits = (apart <= BESIDE_HEIGHTS * size) & (max(x1 - x0, y1 - y0) <= 1.15 * size)
        if fits.any():
            found.append(members)
    return found


def _box_of(strokes: Sequence[Line]) -> tuple[float, float, float, float]:
    every = np.vstack([s.points for s in strokes])
    (x0, y0), (x1, y1) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    return x0, y0, x1, y1
