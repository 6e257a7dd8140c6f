"""Marks that touch or cross conductors and are none: screens, core bars, twist signs, links, leaders."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from accuracy.changes import run_of
from accuracy.draft import Draft
from accuracy.marks import Box, Point, Role, Stroke, dashes, ellipse, rectangle

_LINE_CELLS = 2  # how many cells of used paper a line is wide at most


@dataclass(frozen=True, slots=True)
class Group:
    """Neighbouring parallel runs abreast of one place: their offsets across, in order."""

    level: bool
    place: float
    offsets: tuple[float, ...]
    keys: tuple[int, ...]

    def at(self, along: float, across: float) -> Point:
        """The point `along` from the place and `across` on the page."""
        here = self.place + along
        return (here, across) if self.level else (across, here)

    def box(self, half: float, beyond: float) -> Box:
        """The box round the group: `half` to both sides along it, `beyond` past its outer runs."""
        (ax, ay), (bx, by) = (
            self.at(-half, self.offsets[0] - beyond),
            self.at(half, self.offsets[-1] + beyond),
        )
        return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


def find_group(draft: Draft, *, least: int, most: int, half: float, beyond: float) -> Group | None:
    """Return a group of neighbouring runs with nothing else drawn round it, or none at this try."""
    rng = draft.rng
    run = run_of(draft, rng.choice(sorted(draft.wiring.edges)))
    if run is None or run.length < 2 * half + 1 or draft.wiring.edges[run.key].look.dash:
        return None
    level = run.along[1] == 0
    start = min(run.a[0], run.b[0]) if level else min(run.a[1], run.b[1])
    place = start + rng.uniform(half + 0.5, run.length - half - 0.5)
    abreast = _abreast(draft, level=level, place=place, half=half)
    here = run.a[1] if level else run.a[0]
    first = next(k for k, (offset, _) in enumerate(abreast) if offset >= here - 1e-9)
    chosen = [abreast[first]]
    for item in abreast[first + 1 :]:
        if item[0] - chosen[-1][0] > 3.2 * draft.style.pitch_mm or len(chosen) == most:
            break
        chosen.append(item)
    if len(chosen) < least:
        return None
    group = Group(level, place, tuple(o for o, _ in chosen), tuple(k for _, k in chosen))
    return group if _only_lines(draft, group, half, beyond) else None


def _abreast(draft: Draft, *, level: bool, place: float, half: float) -> list[tuple[float, int]]:
    """All runs of one sense that span a place, by their offset across."""
    out = []
    for key in draft.wiring.edges:
        run = run_of(draft, key)
        if run is None or (run.along[1] == 0) != level or draft.wiring.edges[key].look.dash:
            continue
        axis = 0 if level else 1
        low, high = sorted((run.a[axis], run.b[axis]))
        if low + half < place < high - half:
            out.append((run.a[1 - axis], key))
    return sorted(out)


def _only_lines(draft: Draft, group: Group, half: float, beyond: float) -> bool:
    """Is the paper round the group empty but for its own lines, which pass right through?"""
    box = group.box(half, beyond)
    whole = (box[0] - 0.1, box[1] - 0.1, box[2] + 0.1, box[3] + 0.1)
    if whole[0] < 0 or whole[1] < 0:
        return False
    window = draft.empty.window(whole)
    cells = window if group.level else window.T
    through = cells.all(axis=1)
    if through.sum() > _LINE_CELLS * len(group.offsets):
        return False
    return bool((cells.any(axis=1) == through).all()) and _bands(through) == len(group.offsets)


def _bands(flags: np.ndarray) -> int:
    padded = np.concatenate(([0], flags.astype(np.int8)))
    return int(np.count_nonzero(np.diff(padded) == 1))


def _stroke(draft: Draft, points: list[Point], width: float, *, closed: bool = False) -> None:
    draft.over.append(Stroke(tuple(points), width, draft.style.ink, Role.DECOY, closed))


def core_bar(draft: Draft) -> bool:
    """A bar across several lines with a slanted tick on each: the cores of one cable."""
    group = find_group(draft, least=2, most=6, half=1.6, beyond=2.0)
    if group is None:
        return False
    width = draft.style.line_mm
    _stroke(
        draft, [group.at(0, group.offsets[0] - 1.6), group.at(0, group.offsets[-1] + 1.6)], width
    )
    for offset in group.offsets:
        _stroke(draft, [group.at(-0.6, offset - 0.6), group.at(0.6, offset + 0.6)], width)
    draft.empty.fill(group.box(1.6, 2.0))
    draft.note("core bar", group.at(0, group.offsets[0]))
    return True


def screen_ellipse(draft: Draft) -> bool:
    """An ellipse, whole or dashed, round a group of lines: a screen that is tied to nothing here."""
    half = draft.rng.choice([1.2, 1.6, 2.2])
    group = find_group(draft, least=1, most=5, half=half + 0.5, beyond=1.8)
    if group is None:
        return False
    middle = (group.offsets[0] + group.offsets[-1]) / 2
    across = (group.offsets[-1] - group.offsets[0]) / 2 + 1.3
    radii = (half, across) if group.level else (across, half)
    points = ellipse(group.at(0, middle), *radii)
    if draft.rng.random() < 0.4:
        for piece in dashes([*points, points[0]], 1.0, 0.7):
            _stroke(draft, piece, draft.style.line_mm)
    else:
        _stroke(draft, points, draft.style.line_mm, closed=True)
    draft.empty.fill(group.box(half + 0.5, 1.8))
    draft.note("screen ellipse", group.at(0, middle))
    return True


def twist_sign(draft: Draft) -> bool:
    """A slanted S over two lines: the sign of a twisted pair."""
    group = find_group(draft, least=2, most=2, half=2.4, beyond=1.5)
    if group is None:
        return False
    a, b = group.offsets[0] - 0.9, group.offsets[1] + 0.9
    curve = [
        group.at(1.6 * math.sin(2 * math.pi * t / 20), a + (b - a) * t / 20) for t in range(21)
    ]
    _stroke(draft, curve, draft.style.line_mm)
    draft.empty.fill(group.box(2.4, 1.5))
    draft.note("twist sign", group.at(0, group.offsets[0]))
    return True


def leader_line(draft: Draft) -> bool:
    """A thin slanted line from a note to a conductor, with an arrowhead that touches it."""
    rng = draft.rng
    run = run_of(draft, rng.choice(sorted(draft.wiring.edges)))
    if run is None or run.length < 8:
        return False
    at = rng.uniform(3, run.length - 3)
    tip, tail = run.at(at, 0.0), run.at(at + 2.0, 3.4)
    text = rng.choice(["WITH HEATER", "EXC. VAN", "SEE 12", "1.5 m", "OPT. B"])
    foot = run.at(at + 2.0, 4.6 if run.along[1] == 0 else 3.4)
    area = draft.text_box(text, foot, 1.6)
    middle = foot
    if run.along[0] == 0:
        side = 1 if tail[0] > tip[0] else -1
        middle = (tail[0] + side * ((area[2] - area[0]) / 2 + 0.5), tail[1])
        area = draft.text_box(text, middle, 1.6)
    near = run.box(at - 1.5, at + 3.2, 0.45, 3.6)
    if not (draft.empty.is_free(area) and draft.empty.is_free(near)):
        return False
    _stroke(draft, [tip, tail], 0.18)
    head = (tip, run.at(at + 0.45, 1.3), run.at(at + 0.95, 1.05))
    ink = draft.style.ink
    draft.over.append(Stroke(head, 0.0, ink, Role.DECOY, True, ink))
    draft.over += draft.letters(text, middle, 1.6)
    draft.empty.fill(area)
    draft.empty.fill(near)
    draft.note("leader line", tip)
    return True


def voltage_arrow(draft: Draft) -> bool:
    """A free arrow beside a line that marks the voltage along it."""
    rng = draft.rng
    run = run_of(draft, rng.choice(sorted(draft.wiring.edges)))
    if run is None or run.length < 12:
        return False
    at = rng.uniform(2, run.length - 10)
    aside = rng.choice([2.0, 2.6])
    if not draft.empty.is_free(run.box(at - 0.5, at + 8.5, 0.45, aside + 1.5)):
        return False
    _stroke(draft, [run.at(at, aside), run.at(at + 8, aside)], 0.18)
    head = (run.at(at + 8, aside), run.at(at + 6.3, aside - 0.5), run.at(at + 6.3, aside + 0.5))
    ink = draft.style.ink
    draft.over.append(Stroke(head, 0.0, ink, Role.DECOY, True, ink))
    draft.empty.fill(run.box(at - 0.5, at + 8.5, aside - 1, aside + 1))
    draft.note("voltage arrow", run.at(at + 4, aside))
    return True


def dashed_outline(draft: Draft) -> bool:
    """A dashed outline round a few symbols that lines cross and run on through; nobody marked it."""
    symbols = [b for b in draft.bodies if b.kind in ("fuse", "contact", "coil", "lamp", "resistor")]
    if not symbols:
        return False
    x0, y0, x1, y1 = draft.rng.choice(symbols).box
    grow = draft.rng.choice([1.3, 1.6])
    box = (x0 - grow, y0 - grow, x1 + grow, y1 + grow)
    ring = rectangle(box)
    sides = list(zip(ring, ring[1:] + ring[:1], strict=True))
    if not all(_crossed_squarely(draft, a, b) for a, b in sides):
        return False
    for a, b in sides:
        for piece in dashes([a, b], 1.0, 0.7):
            _stroke(draft, piece, draft.style.line_mm)
    draft.note("dashed outline", (x0, y0))
    return True


def _crossed_squarely(draft: Draft, a: Point, b: Point) -> bool:
    """Does a side meet only lines across it, with nothing else within half a millimetre?"""
    box = (
        min(a[0], b[0]) - 0.5,
        min(a[1], b[1]) - 0.5,
        max(a[0], b[0]) + 0.5,
        max(a[1], b[1]) + 0.5,
    )
    if box[0] < 0 or box[1] < 0:
        return False
    cells = draft.empty.window(box)
    across = cells if a[1] == b[1] else cells.T
    return bool((across.any(axis=0) == across.all(axis=0)).all()) and across.any(axis=0).sum() <= 2


def mechanical_links(draft: Draft) -> None:
    """Dashed links between contacts, coils and switches that stand side by side."""
    movable = [b.box for b in draft.bodies if b.kind in ("contact", "coil", "switch")]
    for box in movable:
        middle = (box[1] + box[3]) / 2
        mates = [
            m for m in movable if 2 < m[0] - box[2] < 40 and abs((m[1] + m[3]) / 2 - middle) < 2
        ]
        if not mates or draft.rng.random() > 0.5:
            continue
        mate = min(mates, key=lambda m: m[0])
        ends = ((box[2] - 0.4, middle), (mate[0] + 0.4, middle))
        strip = draft.empty.window((box[2] + 0.6, middle - 0.8, mate[0] - 0.6, middle + 0.8))
        if (strip.any(axis=0) != strip.all(axis=0)).any():
            continue  # something else than lines right across lies there
        if any(
            b.box[0] < mate[0] - 0.1 and b.box[2] > box[2] + 0.1 and b.box[1] < middle < b.box[3]
            for b in draft.bodies
        ):
            continue
        for piece in dashes(ends, 1.4, 0.9):
            _stroke(draft, piece, 0.18)
        draft.empty.fill((ends[0][0], middle - 0.5, ends[1][0], middle + 0.5))
        draft.note("mechanical link", ends[0])


def place_decoys(draft: Draft) -> None:
    """Set all kinds of decoys, as many as chance and room allow."""
    rng = draft.rng
    mechanical_links(draft)
    kinds = [core_bar, screen_ellipse, twist_sign, leader_line, voltage_arrow, dashed_outline]
    for draw in kinds:
        wanted = rng.choice([0, 0, 1, 2, 4])
        for _ in range(wanted * 6):
            wanted -= bool(wanted and draw(draft))
