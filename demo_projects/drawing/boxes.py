"""The bodies that are boxes with rows of pins: modules, in-line connectors, joint connectors."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from drawing.plan import BodyPlan, PinSpot, Side
from drawing.shapes import Align, Area, Ink, Lettering, Stroke, arc, corners, line, rectangle
from loomfolio.basics import MmBox, MmPoint

PEN_MM = 0.3
WIRE_MM = 0.35
NUMBER_CAP_MM = 1.9
SIGNAL_CAP_MM = 1.6
STRIP_GREY = 224
DASH_MM = (2.4, 1.5)
_CLOCKWISE: tuple[Side, ...] = ("top", "right", "bottom", "left")
_STRIP_MM = {"left": 7.5, "right": 7.5, "top": 5.2, "bottom": 5.2}


def draw_module(body: BodyPlan) -> Iterable[Ink]:
    """A module: whole outline, or dashed where only a part of it is shown; a grey strip for each row of pins."""
    sides = sorted({spot.side for spot in body.pins})
    for side in sides:
        yield Area(corners(_strip(body.box, side)), STRIP_GREY)
        yield from _strip_name(body, side)
    is_part = body.look == "module part"
    points = (*corners(body.box), MmPoint(body.box.x0, body.box.y0))
    for edge, (a, b) in zip(_CLOCKWISE, itertools.pairwise(points), strict=True):
        dash = DASH_MM if is_part and edge not in sides else None
        yield Stroke((a, b), PEN_MM, "outline", dash)
    for spot in body.pins:
        yield from _numbered(body, spot)


def _strip(box: MmBox, side: Side) -> MmBox:
    """The band inside one side of a box in which the pin numbers stand."""
    width = _STRIP_MM[side]
    match side:
        case "left":
            return box._replace(x1=box.x0 + width)
        case "right":
            return box._replace(x0=box.x1 - width)
        case "top":
            return box._replace(y1=box.y0 + width)
        case "bottom":
            return box._replace(y0=box.y1 - width)


def _strip_name(body: BodyPlan, side: Side) -> Iterable[Ink]:
    """The name of the connector at the head of its strip."""
    strip = _strip(body.box, side)
    if not body.connector:
        return
    if side in ("left", "right"):
        at = MmPoint(strip.centre.x, strip.y0 + 2.7)
        yield Lettering(body.connector, at, 2.0, "centre", is_bold=True)
    else:
        at = MmPoint(strip.x0 + 1.4, strip.centre.y)
        yield Lettering(body.connector, at, 2.0, is_bold=True)


def _numbered(body: BodyPlan, spot: PinSpot) -> Iterable[Ink]:
    """The number of a pin in its strip and, where printed, its signal beside the strip."""
    x, y = body.place_of(spot)
    match spot.side:
        case "left":
            yield Lettering(spot.pin, MmPoint(x + 1.6, y), NUMBER_CAP_MM)
            yield Lettering(spot.signal, MmPoint(x + 9.0, y), SIGNAL_CAP_MM)
        case "right":
            yield Lettering(spot.pin, MmPoint(x - 1.6, y), NUMBER_CAP_MM, "right")
            yield Lettering(spot.signal, MmPoint(x - 9.0, y), SIGNAL_CAP_MM, "right")
        case "top":
            yield Lettering(spot.pin, MmPoint(x, y + 2.6), NUMBER_CAP_MM, "centre")
            yield Lettering(spot.signal, MmPoint(x, y + 7.2), SIGNAL_CAP_MM, "centre")
        case "bottom":
            yield Lettering(spot.pin, MmPoint(x, y - 2.6), NUMBER_CAP_MM, "centre")
            yield Lettering(spot.signal, MmPoint(x, y - 7.2), SIGNAL_CAP_MM, "centre")


def draw_in_line(body: BodyPlan) -> Iterable[Ink]:
    """One half of an in-line connector: pins in the left half (filled bars), sockets in the right (arcs)."""
    box, is_left = body.box, body.look == "in-line left"
    yield rectangle(box, PEN_MM)
    at = MmPoint(box.centre.x, box.y0 + 2.6)
    yield Lettering(body.half, at, 2.0, "centre", is_bold=True)
    for spot in body.pins:
        y = spot.along_mm
        if is_left:
            yield Lettering(spot.pin, MmPoint(box.x0 + 1.4, y), NUMBER_CAP_MM)
            yield line((box.x0 + 5.6, y), (box.x1 - 2.4, y), WIRE_MM, "symbol")
            yield Area(corners(MmBox(box.x1 - 3.2, y - 0.55, box.x1 - 0.8, y + 0.55)))
        else:
            yield Lettering(spot.pin, MmPoint(box.x1 - 1.4, y), NUMBER_CAP_MM, "right")
            yield arc(
                MmPoint(box.x0 + 2.4, y),
                (1.5, 1.5),
                from_degrees=105,
                to_degrees=255,
                width_mm=WIRE_MM,
            )
            yield line((box.x0 + 0.9, y), (box.x1 - 5.6, y), WIRE_MM, "symbol")


def draw_joint(body: BodyPlan) -> Iterable[Ink]:
    """A joint connector: the bar that its pins share, heavy, with a stub for each pin."""
    yield rectangle(body.box, PEN_MM)
    bar = body.box.centre.y
    places = [(spot, body.place_of(spot)) for spot in body.pins]
    ends = [p.x for _, p in places] + [
        body.box.x0 + 6.0 if spot.side == "left" else body.box.x1 - 6.0
        for spot, _ in places
        if spot.side in ("left", "right")
    ]
    inside = [x for x in ends if body.box.x0 < x < body.box.x1]
    if len(inside) == 1:
        inside.append(body.box.x0 + body.box.x1 - inside[0])
    yield line((min(inside), bar), (max(inside), bar), 1.0, "symbol")
    for spot, place in places:
        if spot.side in ("left", "right"):
            yield line(
                place, (min(inside) if spot.side == "left" else max(inside), bar), WIRE_MM, "symbol"
            )
            shift = 1.3 if spot.side == "left" else -1.3
            align: Align = "left" if spot.side == "left" else "right"
            yield Lettering(spot.pin, MmPoint(place.x + shift, place.y - 2.0), NUMBER_CAP_MM, align)
        else:
            yield line(place, (place.x, bar), WIRE_MM, "symbol")
            shift = 2.2 if spot.side == "top" else -2.2
            yield Lettering(spot.pin, MmPoint(place.x + 1.0, place.y + shift), NUMBER_CAP_MM)
