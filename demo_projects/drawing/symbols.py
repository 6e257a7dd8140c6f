"""The bodies of a sheet as ink: our own hand after IEC 60617, one function for each look.

Each function takes a `BodyPlan` and gives the ink inside and at its box; wires end at the edge of the box.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from drawing.boxes import draw_in_line, draw_joint, draw_module
from drawing.plan import BodyPlan, Look
from drawing.shapes import Disc, Ink, Lettering, arc, line, rectangle
from loomfolio.basics import MmBox, MmPoint

PEN_MM = 0.3
WIRE_MM = 0.35
NAME_CAP_MM = 2.3
WORD_CAP_MM = 1.75
NUMBER_CAP_MM = 1.9


def draw_body(body: BodyPlan) -> tuple[Ink, ...]:
    """Return all ink of one body: its symbol, its pin numbers, its name and words."""
    return (*_SYMBOLS[body.look](body), *_caption(body))


def _caption(body: BodyPlan) -> Iterable[Ink]:
    """Name in bold, words under it; above the box, or from `words_at` downwards."""
    if body.look in {"in-line right", "supply"}:
        return
    if body.words_at is not None:
        at, step = body.words_at, 3.1
    else:
        at, step = MmPoint(body.box.x0, body.box.y0 - 2.2 - 3.1 * len(body.words)), 3.1
    yield Lettering(body.part, at, NAME_CAP_MM, is_bold=True)
    for number, words in enumerate(body.words, start=1):
        yield Lettering(words, MmPoint(at.x, at.y + step * number + 0.2), WORD_CAP_MM)


def _numbers_outside(body: BodyPlan) -> Iterable[Ink]:
    """Terminal numbers beside the leads, just outside the box."""
    for spot in body.pins:
        x, y = body.place_of(spot)
        match spot.side:
            case "top":
                yield Lettering(spot.pin, MmPoint(x + 1.1, y - 1.8), NUMBER_CAP_MM)
            case "bottom":
                yield Lettering(spot.pin, MmPoint(x + 1.1, y + 1.8), NUMBER_CAP_MM)
            case "left":
                yield Lettering(spot.pin, MmPoint(x - 1.1, y - 1.8), NUMBER_CAP_MM, "right")
            case "right":
                yield Lettering(spot.pin, MmPoint(x + 1.1, y - 1.8), NUMBER_CAP_MM)


def _fuse(body: BodyPlan) -> Iterable[Ink]:
    """Fuse: a slim rectangle with its conductor running through (IEC 60617)."""
    first, last = (body.place_of(spot) for spot in body.pins)
    yield rectangle(body.box, PEN_MM)
    yield line(first, last, WIRE_MM, "symbol")
    yield from _numbers_outside(body)


def _top_and_bottom(body: BodyPlan) -> tuple[MmPoint, MmPoint]:
    """Return the places of the top and the bottom pin of a body with one of each."""
    places = {spot.side: body.place_of(spot) for spot in body.pins}
    return places["top"], places["bottom"]


def _inner_numbers(body: BodyPlan) -> Iterable[Ink]:
    """Terminal numbers inside the box, right of the lead."""
    for spot in body.pins:
        x, y = body.place_of(spot)
        shift = {"top": 2.3, "bottom": -2.3}.get(spot.side, -1.8)
        yield Lettering(spot.pin, MmPoint(x + 1.2, y + shift), NUMBER_CAP_MM)


def _relay_coil(body: BodyPlan) -> Iterable[Ink]:
    """Relay coil: a rectangle with its leads at the long sides."""
    top, bottom = _top_and_bottom(body)
    middle = (top.y + bottom.y) / 2
    yield rectangle(body.box, PEN_MM)
    yield rectangle(MmBox(top.x - 6, middle - 3, top.x + 6, middle + 3), 0.45, "symbol")
    yield line(top, (top.x, middle - 3), WIRE_MM, "symbol")
    yield line((top.x, middle + 3), bottom, WIRE_MM, "symbol")
    yield from _inner_numbers(body)


def _blade(top: MmPoint, bottom: MmPoint, reach_mm: float) -> Iterable[Ink]:
    """A make contact: the blade stands open, to the left of the upper contact."""
    middle = (top.y + bottom.y) / 2
    yield line(top, (top.x, middle - 3.6), WIRE_MM, "symbol")
    yield line((top.x, middle + 3.6), bottom, WIRE_MM, "symbol")
    yield line((top.x, middle + 3.6), (top.x - reach_mm, middle - 3.4), 0.45, "symbol")


def _relay_contact(body: BodyPlan) -> Iterable[Ink]:
    """Relay contact, open at rest, with the dashed line to a coil that stands elsewhere."""
    top, bottom = _top_and_bottom(body)
    middle = (top.y + bottom.y) / 2
    yield rectangle(body.box, PEN_MM)
    yield from _blade(top, bottom, 3.4)
    for start in (7.6, 5.4, 3.2):
        yield line(
            (top.x - start, middle + 0.1), (top.x - start + 1.3, middle + 0.1), 0.25, "symbol"
        )
    yield from _inner_numbers(body)


def _switch(body: BodyPlan) -> Iterable[Ink]:
    """A switch worked by a pedal, open at rest."""
    top, bottom = _top_and_bottom(body)
    middle = (top.y + bottom.y) / 2
    yield rectangle(body.box, PEN_MM)
    yield from _blade(top, bottom, 3.4)
    for start in (6.0, 4.0):
        yield line(
            (top.x - start, middle + 0.1), (top.x - start + 1.2, middle + 0.1), 0.25, "symbol"
        )
    left = top.x - 6.6
    yield line((left, middle + 1.9), (left, middle - 1.7), 0.35, "symbol")
    yield line((left, middle + 1.9), (left + 1.4, middle + 2.8), 0.35, "symbol")
    yield from _inner_numbers(body)


def _lamps(body: BodyPlan) -> Iterable[Ink]:
    """A lamp cluster: one lamp for each pin on its left, and their common lead inside."""
    yield rectangle(body.box, PEN_MM)
    common = body.box.x0 + 17.0
    lamps = [spot for spot in body.pins if spot.side == "left"]
    for spot in lamps:
        y = spot.along_mm
        centre = MmPoint(body.box.x0 + 10.0, y)
        yield line((body.box.x0, y), (centre.x - 2.6, y), WIRE_MM, "symbol")
        yield line((centre.x + 2.6, y), (common, y), WIRE_MM, "symbol")
        yield arc(
            centre, (2.6, 2.6), from_degrees=0, to_degrees=360, width_mm=PEN_MM, role="symbol"
        )
        for slope in (1, -1):
            yield line(
                (centre.x - 1.84, y - 1.84 * slope),
                (centre.x + 1.84, y + 1.84 * slope),
                0.3,
                "symbol",
            )
        yield Lettering(spot.pin, MmPoint(body.box.x0 + 1.3, y - 1.9), NUMBER_CAP_MM)
        yield Lettering(spot.signal, MmPoint(common + 1.8, y - 1.9), 1.6)
    end = lamps[-1].along_mm + 6.0
    yield line((common, lamps[0].along_mm), (common, end), WIRE_MM, "symbol")
    yield from (Disc(MmPoint(common, spot.along_mm), 0.6) for spot in lamps[1:])
    yield Lettering("5: SHEET 6", MmPoint(common + 1.8, end - 0.6), 1.6)


def _battery(body: BodyPlan) -> Iterable[Ink]:
    """A battery of cells: long thin plates are plus, short thick ones minus."""
    top, bottom = _top_and_bottom(body)
    middle = (top.y + bottom.y) / 2
    yield rectangle(body.box, PEN_MM)
    yield line(top, (top.x, middle - 4), WIRE_MM, "symbol")
    for shift in (-4.0, 1.4):
        yield line((top.x - 4.5, middle + shift), (top.x + 4.5, middle + shift), 0.35, "symbol")
        yield line(
            (top.x - 2.2, middle + shift + 2), (top.x + 2.2, middle + shift + 2), 0.9, "symbol"
        )
    yield line((top.x, middle - 2), (top.x, middle + 1.4), 0.25, "symbol")
    yield line((top.x, middle + 3.4), bottom, WIRE_MM, "symbol")
    for spot, y in zip(body.pins, (top.y + 2.8, bottom.y - 2.8), strict=True):
        yield Lettering(spot.pin, MmPoint(top.x + 1.4, y), 2.8, is_bold=True)


def _sensor(body: BodyPlan) -> Iterable[Ink]:
    """A sensor that changes its resistance: a resistor, an oblique line with a foot across it."""
    first, last = (body.place_of(spot) for spot in body.pins[:2])
    yield rectangle(body.box, PEN_MM)
    middle = MmPoint(body.box.centre.x + (0 if first.x == last.x else 2), (first.y + last.y) / 2)
    stands = MmBox(middle.x - 1.6, middle.y - 3.4, middle.x + 1.6, middle.y + 3.4)
    yield rectangle(stands, 0.4, "symbol")
    for place, end in ((first, stands.y0), (last, stands.y1)):
        yield line(place, (middle.x, place.y), WIRE_MM, "symbol")
        yield line((middle.x, place.y), (middle.x, end), WIRE_MM, "symbol")
    yield line((middle.x - 3.6, middle.y + 3.2), (middle.x + 3.4, middle.y - 3.2), PEN_MM, "symbol")
    yield line((middle.x - 5.2, middle.y + 3.2), (middle.x - 3.6, middle.y + 3.2), PEN_MM, "symbol")
    for spot in body.pins:
        x, y = body.place_of(spot)
        shift = 2.3 if spot.side == "top" else -2.3 if spot.side == "bottom" else -1.9
        yield Lettering(spot.pin, MmPoint(x + 1.2, y + shift), NUMBER_CAP_MM)


def _lock(body: BodyPlan) -> Iterable[Ink]:
    """A lock actuator: a motor between its first two pins, and a switch that tells its position."""
    yield rectangle(body.box, PEN_MM)
    first, second, third = (body.place_of(spot) for spot in body.pins)
    turn = MmPoint(first.x + 15.0, (first.y + second.y) / 2)
    yield arc(turn, (3.0, 3.0), from_degrees=0, to_degrees=360, width_mm=PEN_MM)
    yield Lettering("M", turn, 2.2, "centre", is_bold=True)
    for place, end in ((first, turn.y - 3.0), (second, turn.y + 3.0)):
        yield line(place, (turn.x, place.y), WIRE_MM, "symbol")
        yield line((turn.x, place.y), (turn.x, end), WIRE_MM, "symbol")
    blade = first.x + 12.0
    yield line(third, (blade, third.y), WIRE_MM, "symbol")
    yield line((blade, third.y), (blade + 6.4, third.y - 2.6), 0.45, "symbol")
    yield line((blade + 6.8, third.y), (blade + 10.0, third.y), WIRE_MM, "symbol")
    yield line((blade + 10.0, third.y), (blade + 10.0, second.y), WIRE_MM, "symbol")
    yield line((blade + 10.0, second.y), (turn.x, second.y), WIRE_MM, "symbol")
    yield Disc(MmPoint(turn.x, second.y), 0.6)
    for spot in body.pins:
        yield Lettering(spot.pin, MmPoint(body.box.x0 + 1.3, spot.along_mm - 1.9), NUMBER_CAP_MM)


def _link(body: BodyPlan) -> Iterable[Ink]:
    """A link that is pulled out by hand, closed as drawn (IEC 60617)."""
    top, bottom = _top_and_bottom(body)
    middle = (top.y + bottom.y) / 2
    yield rectangle(body.box, PEN_MM)
    for place, side in ((top, -1), (bottom, 1)):
        ring = MmPoint(top.x, middle + 3.6 * side)
        yield arc(ring, (0.9, 0.9), from_degrees=0, to_degrees=360, width_mm=PEN_MM)
        yield line(place, (top.x, ring.y + 0.9 * side), WIRE_MM, "symbol")
    yield line((top.x, middle - 2.7), (top.x, middle + 2.7), 0.7, "symbol")
    yield line((top.x - 5.2, middle), (top.x - 0.9, middle), 0.25, "symbol")
    yield line((top.x - 5.2, middle - 1.6), (top.x - 5.2, middle + 1.6), 0.35, "symbol")
    yield from _inner_numbers(body)


def _supply(body: BodyPlan) -> Iterable[Ink]:
    """A supply: its terminal number large, and when it is live, in a frame."""
    yield rectangle(body.box, 0.45)
    centre = body.box.centre
    yield Lettering(body.part, MmPoint(centre.x, body.box.y0 + 3.2), 2.6, "centre", is_bold=True)
    for number, words in enumerate(body.words):
        yield Lettering(words, MmPoint(centre.x, body.box.y0 + 7.0 + 2.8 * number), 1.6, "centre")


def _splice(body: BodyPlan) -> Iterable[Ink]:
    """A splice: a dot larger than that of a joint, with its number."""
    centre = body.box.centre
    for spot in body.pins:
        yield line(centre, body.place_of(spot), WIRE_MM, "symbol")
    yield Disc(centre, 1.2)


def _ground(body: BodyPlan, pen_mm: float) -> Iterable[Ink]:
    """Three bars, each shorter than the one above; leads meet on a line over them."""
    middle = body.box.centre.x
    places = [body.place_of(spot) for spot in body.pins]
    meet = body.box.y0 + 3.0
    for place in places:
        yield line(place, (place.x, meet), WIRE_MM, "symbol")
    if len(places) > 1:
        yield line(
            (min(p.x for p in places), meet), (max(p.x for p in places), meet), WIRE_MM, "symbol"
        )
        yield Disc(MmPoint(middle, meet), 0.6)
    yield line((middle, meet), (middle, body.box.y0 + 6), WIRE_MM, "symbol")
    for number, half in enumerate((4.2, 2.7, 1.2)):
        y = body.box.y0 + 6 + 1.7 * number
        yield line((middle - half, y), (middle + half, y), pen_mm, "symbol")


def _chassis(body: BodyPlan) -> Iterable[Ink]:
    """Ground at the metal of the vehicle: heavy bars."""
    yield from _ground(body, 0.6)


def _sensor_ground(body: BodyPlan) -> Iterable[Ink]:
    """Ground of the sensors alone: printers draw it with the same bars, only lighter."""
    yield from _ground(body, 0.35)


_SYMBOLS: dict[Look, Callable[[BodyPlan], Iterable[Ink]]] = {
    "module": draw_module,
    "module part": draw_module,
    "in-line left": draw_in_line,
    "in-line right": draw_in_line,
    "joint": draw_joint,
    "fuse": _fuse,
    "relay coil": _relay_coil,
    "relay contact": _relay_contact,
    "switch": _switch,
    "lamps": _lamps,
    "battery": _battery,
    "sensor": _sensor,
    "supply": _supply,
    "splice": _splice,
    "chassis": _chassis,
    "sensor ground": _sensor_ground,
    "lock": _lock,
    "link": _link,
}
