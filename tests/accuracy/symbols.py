"""Symbols of parts in our own hand, after the shapes of IEC 60617 that printed diagrams share.

A two-pole symbol lies along x round the origin, its poles at `(-length/2, 0)` and `(length/2, 0)`.
A one-pole symbol has its pole in the origin and grows along +x, away from the conductor. Curves are
flattened; a letter inside is a `(x, y, text)`. Lengths are mm at scale 1.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from accuracy.marks import Point, arc, ellipse, rectangle


@dataclass(frozen=True, slots=True)
class Shape:
    """The drawing of a symbol in its own frame."""

    kind: str
    length: float
    half_width: float
    lines: tuple[tuple[Point, ...], ...] = ()
    closed: tuple[tuple[Point, ...], ...] = ()
    filled: tuple[tuple[Point, ...], ...] = ()
    dashed: tuple[tuple[Point, ...], ...] = ()
    letter: str = ""


def _points(*xy: float) -> tuple[Point, ...]:
    return tuple(zip(xy[::2], xy[1::2], strict=True))


def _box(length: float, half: float) -> tuple[Point, ...]:
    return tuple(rectangle((-length / 2, -half, length / 2, half)))


def _fuse_box(rng: Random) -> Shape:
    length = rng.choice([5.0, 6.0, 7.0])
    return Shape(
        "fuse", length, 1.1, (_points(-length / 2, 0, length / 2, 0),), (_box(length, 1.1),)
    )


def _fuse_wave(rng: Random) -> Shape:
    radius = rng.choice([1.2, 1.5])
    wave = arc((-radius, 0), radius, 180, 360) + arc((radius, 0), radius, 180, 0)
    return Shape("fuse", 4 * radius, radius, (tuple(wave),))


def _resistor_box(rng: Random) -> Shape:
    length = rng.choice([5.0, 6.0, 7.5])
    return Shape("resistor", length, 1.2, (), (_box(length, 1.2),))


def _resistor_zigzag(_rng: Random) -> Shape:
    teeth = [(-3 + 0.5 + k, 1.2 if k % 2 else -1.2) for k in range(6)]
    return Shape("resistor", 6.0, 1.2, ((((-3.0, 0.0), *teeth, (3.0, 0.0))),))


def _diode(rng: Random) -> Shape:
    triangle = _points(-1.5, -1.5, 1.5, 0, -1.5, 1.5)
    bar = _points(1.5, -1.5, 1.5, 1.5)
    if rng.random() < 0.5:
        return Shape("diode", 3.0, 1.5, (bar,), (), (triangle,))
    return Shape("diode", 3.0, 1.5, (bar, _points(-1.5, 0, 1.5, 0)), (triangle,))


def _capacitor(_rng: Random) -> Shape:
    return Shape("capacitor", 1.1, 2.0, (_points(-0.55, -2, -0.55, 2), _points(0.55, -2, 0.55, 2)))


def _contact_open(rng: Random) -> Shape:
    lines = [_points(-4, 0, -2, 0, 2.1, -1.9), _points(2, 0, 4, 0)]
    closed = []
    if rng.random() < 0.5:
        closed = [tuple(ellipse((-2, 0), 0.45, 0.45)), tuple(ellipse((2, 0), 0.45, 0.45))]
        lines = [_points(-4, 0, -2.45, 0), _points(-1.7, -0.35, 2, -2), _points(2.45, 0, 4, 0)]
    return Shape("contact", 8.0, 2.2, tuple(lines), tuple(closed))


def _contact_closed(_rng: Random) -> Shape:
    lines = (_points(-4, 0, -2, 0, 2.4, 1.3), _points(2, 1.6, 2, 0, 4, 0))
    return Shape("contact", 8.0, 1.8, lines)


def _push_button(_rng: Random) -> Shape:
    closed = (tuple(ellipse((-2, 0), 0.5, 0.5)), tuple(ellipse((2, 0), 0.5, 0.5)))
    lines = (
        _points(-3.5, 0, -2.5, 0), _points(2.5, 0, 3.5, 0), _points(-2.2, -1.3, 2.2, -1.3),
        _points(0, -1.3, 0, -2.6),
    )  # fmt: skip
    return Shape("switch", 7.0, 2.7, lines, closed)


def _coil(_rng: Random) -> Shape:
    return Shape("coil", 3.0, 3.5, (), (_box(3.0, 3.5),))


def _valve_coil(_rng: Random) -> Shape:
    return Shape("coil", 3.0, 3.5, (_points(-1.5, 3.5, 1.5, -3.5),), (_box(3.0, 3.5),))


def _round(kind: str, radius: float, letter: str) -> Callable[[Random], Shape]:
    def draw(_rng: Random) -> Shape:
        return Shape(
            kind, 2 * radius, radius, (), (tuple(ellipse((0, 0), radius, radius)),), letter=letter
        )

    return draw


def _lamp(_rng: Random) -> Shape:
    radius = 2.6
    a = radius * math.sqrt(0.5)
    return Shape(
        "lamp",
        2 * radius,
        radius,
        (_points(-a, -a, a, a), _points(-a, a, a, -a)),
        (tuple(ellipse((0, 0), radius, radius)),),
    )


def _heater(_rng: Random) -> Shape:
    bars = tuple(_points(x, -1.3, x, 1.3) for x in (-1.75, 0.0, 1.75))
    return Shape("heater", 7.0, 1.3, bars, (_box(7.0, 1.3),))


def _inductor(_rng: Random) -> Shape:
    bows = [p for k in range(4) for p in arc((-3 + 2 * k, 0), 1.0, 180, 360, 10)]
    return Shape("inductor", 8.0, 1.1, (tuple(bows),))


def _battery(_rng: Random) -> Shape:
    lines = []
    for x in (-1.8, 0.6):
        lines += [_points(x, -2.2, x, 2.2), _points(x + 1.2, -1.1, x + 1.2, 1.1)]
    return Shape("battery", 3.6, 2.3, tuple(lines))


def _plug_pair(rng: Random) -> Shape:
    if rng.random() < 0.5:
        chevrons = (_points(-1.9, -0.9, -0.6, 0, -1.9, 0.9), _points(0.2, -0.9, 1.5, 0, 0.2, 0.9))
        lead = (_points(-1.9, 0, -0.6, 0), _points(1.5, 0, 1.9, 0))
        return Shape("in-line pair", 3.8, 0.95, chevrons + lead)
    socket = tuple(arc((-0.2, 0), 0.9, 90, 270))
    tab = _points(-0.4, -0.3, 1.6, -0.3, 1.6, 0.3, -0.4, 0.3)
    return Shape("in-line pair", 3.2, 0.95, (socket, _points(-1.6, 0, -1.1, 0)), (), (tab,))


TWO_POLES: dict[str, Callable[[Random], Shape]] = {
    "fuse box": _fuse_box,
    "fuse wave": _fuse_wave,
    "resistor box": _resistor_box,
    "resistor zigzag": _resistor_zigzag,
    "diode": _diode,
    "capacitor": _capacitor,
    "contact open": _contact_open,
    "contact closed": _contact_closed,
    "push button": _push_button,
    "coil": _coil,
    "valve coil": _valve_coil,
    "lamp": _lamp,
    "motor": _round("motor", 3.6, "M"),
    "sender": _round("sender", 3.0, "V"),
    "heater": _heater,
    "inductor": _inductor,
    "battery": _battery,
    "in-line pair": _plug_pair,
}


def _ground_bars(_rng: Random) -> Shape:
    widths = ((0.0, 2.2), (0.9, 1.4), (1.8, 0.6))
    return Shape("ground", 1.9, 2.2, tuple(_points(x, -w, x, w) for x, w in widths))


def _chassis(_rng: Random) -> Shape:
    slants = tuple(_points(0, y, 1.4, y - 1.0) for y in (-1.6, -0.4, 0.8, 2.0))
    return Shape("ground", 1.5, 2.7, (_points(0, -2.0, 0, 2.0), *slants))


def _ground_bar(_rng: Random) -> Shape:
    return Shape("ground", 0.7, 1.8, (), (), (_points(0, -1.7, 0.6, -1.7, 0.6, 1.7, 0, 1.7),))


def _ground_triangle(rng: Random) -> Shape:
    triangle = _points(0, -1.6, 2.4, 0, 0, 1.6)
    if rng.random() < 0.5:
        return Shape("ground", 2.4, 1.6, (), (triangle,))
    return Shape("ground", 2.4, 1.6, (), (), (triangle,))


def _ground_ring(_rng: Random) -> Shape:
    ring = tuple(ellipse((1.5, 0), 1.5, 1.5))
    return Shape(
        "ground", 3.0, 1.5, (_points(1.2, -0.9, 1.2, 0.9), _points(1.8, -0.5, 1.8, 0.5)), (ring,)
    )


def _supply_ring(_rng: Random) -> Shape:
    return Shape("supply", 1.4, 0.7, (), (tuple(ellipse((0.7, 0), 0.7, 0.7)),))


def _supply_bar(_rng: Random) -> Shape:
    return Shape("supply", 0.3, 1.8, (_points(0, -1.7, 0, 1.7),))


GROUNDS: tuple[Callable[[Random], Shape], ...] = (
    _ground_bars, _chassis, _ground_bar, _ground_triangle, _ground_ring,
)  # fmt: skip
SUPPLIES: tuple[Callable[[Random], Shape], ...] = (_supply_ring, _supply_bar)


def _arrow_open(_rng: Random) -> Shape:
    return Shape("page arrow", 2.6, 1.2, (), (_points(0, -1.2, 2.6, 0, 0, 1.2),))


def _arrow_filled(_rng: Random) -> Shape:
    return Shape("page arrow", 2.4, 0.8, (), (), (_points(0, -0.8, 2.4, 0, 0, 0.8),))


def _arrow_flag(_rng: Random) -> Shape:
    flag = _points(0, 0, 1.3, -1.4, 8.0, -1.4, 8.0, 1.4, 1.3, 1.4)
    return Shape("page arrow", 8.0, 1.4, (), (flag,), letter="A4")


PAGE_ARROWS: tuple[Callable[[Random], Shape], ...] = (_arrow_open, _arrow_filled, _arrow_flag)
