"""Where things stand on the wall picture of the map: connectors in layers, pins in order, few crossings.

Layered drawing in the manner of Sugiyama, Tagawa and Toda (1981): connectors get a layer by their distance
from the modules, then layers are swept to and fro, each connector going to the middle (median) of what it
is joined to, and the arrangement with the fewest crossings is kept. Pins stand in the order in which
one counts; each lead is one line from pin to pin with a channel of its own between two layers.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter, defaultdict, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from loomfolio.project import HalfKey, PinKey, Project, half_text, natural_order

PIN_MM, HEAD_MM, BOX_MM, APART_MM = 5.0, 7.0, 52.0, 6.0
"""Height of a pin's row and of a connector's head, width of a box, room between two boxes."""
CHANNEL_MM, MARGIN_MM, LEAST_CHANNEL_MM = 1.6, 10.0, 14.0
SWEEPS = 12
_FREE_ROW = "row"
"""Begins the name of a row that is kept free for a lead that runs past a layer; no part is called so."""
_ENDS = frozenset({"supply", "battery", "ground point"})


@dataclass(frozen=True, slots=True)
class PictureLead:
    """One lead to be drawn: its ends, what it is called, and its form."""

    a: PinKey
    b: PinKey
    label: str
    is_released: bool
    is_new: bool


@dataclass(frozen=True, slots=True)
class PictureBox:
    """One connector half: its upper left corner and size in mm, and its pins from the top."""

    half: HalfKey
    title: str
    kind: str
    x: float
    y: float
    height: float
    pins: tuple[str, ...]

    def pin_y(self, pin: str) -> float:
        """Return the height at which a pin's leads leave the box."""
        return self.y + HEAD_MM + (self.pins.index(pin) + 0.5) * PIN_MM


@dataclass(frozen=True, slots=True)
class PictureLine:
    """One lead as it is drawn: points in mm from its left end to its right one."""

    lead: PictureLead
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class MapPicture:
    """The picture in mm; `crossings` counts how often two leads cross between the layers."""

    width: float
    height: float
    boxes: tuple[PictureBox, ...]
    lines: tuple[PictureLine, ...]
    crossings: int


def map_picture(project: Project, leads: Sequence[PictureLead]) -> MapPicture:
    """Return where everything stands; without leads an empty picture. The same leads give the same picture."""
    pins: dict[HalfKey, set[str]] = defaultdict(set)
    for lead in leads:
        for pin in (lead.a, lead.b):
            pins[pin.half_key].add(pin.pin)
    if not pins:
        return MapPicture(2 * MARGIN_MM, 2 * MARGIN_MM, (), (), 0)
    in_order = {half: tuple(sorted(own, key=natural_order)) for half, own in pins.items()}
    layers = _layers(project, in_order, leads)
    segments = _in_segments(layers, in_order, leads)
    short = [segment.lead for segment in segments]
    layers = _swept(layers, in_order, short)
    return _placed(project, layers, in_order, segments)


@dataclass(frozen=True, slots=True)
class _Segment:
    """A piece of a lead between two neighbouring layers, or within one; `number` is the lead's place."""

    number: int
    lead: PictureLead
    whole: PictureLead


def _in_segments(
    layers: list[list[HalfKey]], pins: dict[HalfKey, tuple[str, ...]], leads: Sequence[PictureLead]
) -> list[_Segment]:
    """Cut leads that run past a layer into pieces, with a row of their own kept free for them in it."""
    layer_of = {half: number for number, layer in enumerate(layers) for half in layer}
    segments: list[_Segment] = []
    for number, lead in enumerate(leads):
        a, b = _left_first(lead, layer_of)
        at = a
        for layer in range(layer_of[a.half_key] + 1, layer_of[b.half_key]):
            row = HalfKey(part=f"{_FREE_ROW}-{number}", connector=str(layer))
            layers[layer].append(row)
            pins[row] = ("",)
            free = PinKey.model_construct(part=row.part, connector=row.connector, half="", pin="")
            segments.append(_Segment(number, replace(lead, a=at, b=free), lead))
            at = free
        segments.append(_Segment(number, replace(lead, a=at, b=b), lead))
    return segments


def _layers(
    project: Project, pins: Mapping[HalfKey, Sequence[str]], leads: Sequence[PictureLead]
) -> list[list[HalfKey]]:
    """Connectors by their distance from the modules; what feeds and what grounds stand where they are nearest."""
    kinds = {part.id: part.kind for part in project.parts}
    names = {half: half_text(project, half) for half in pins}
    beside: dict[HalfKey, set[HalfKey]] = defaultdict(set)
    for lead in leads:
        if lead.a.half_key != lead.b.half_key:
            beside[lead.a.half_key].add(lead.b.half_key)
            beside[lead.b.half_key].add(lead.a.half_key)
    in_order = sorted(pins, key=lambda half: natural_order(names[half]))
    first = [half for half in in_order if kinds.get(half.part) == "module"]
    rank: dict[HalfKey, int] = {}
    for start in (*first, *sorted(in_order, key=lambda half: -len(beside[half]))):
        if start not in rank and (start in first or not rank.keys() & beside[start]):
            rank[start] = 0
        _spread(rank, beside, kinds)
    layers: list[list[HalfKey]] = [[] for _ in range(max(rank.values()) + 1)]
    for half in in_order:
        layers[rank[half]].append(half)
    return [layer for layer in layers if layer]


def _spread(
    rank: dict[HalfKey, int], beside: Mapping[HalfKey, set[HalfKey]], kinds: Mapping[str, str]
) -> None:
    """Give each half that is joined to a ranked one the next layer; a ground or supply leads no further."""
    rest = deque(sorted(rank, key=lambda half: rank[half]))
    while rest:
        half = rest.popleft()
        if kinds.get(half.part) in _ENDS and rank[half] > 0:
            continue
        for other in sorted(beside[half], key=lambda one: (one.part, one.connector, one.half)):
            if other not in rank:
                rank[other] = rank[half] + 1
                rest.append(other)


# ------------------------------------------------------------------------------------------ sweeps


def _slots(
    layers: Sequence[Sequence[HalfKey]], pins: Mapping[HalfKey, Sequence[str]]
) -> dict[PinKey, tuple[int, float]]:
    """For each pin its layer and its place in it, from the top."""
    found: dict[PinKey, tuple[int, float]] = {}
    for number, layer in enumerate(layers):
        place = 0
        for half in layer:
            for pin in pins[half]:
                found[_pin_of(half, pin)] = (number, float(place))
                place += 1
    return found


def _pin_of(half: HalfKey, pin: str) -> PinKey:
    """The key of a pin; that of a free row has no name, which the document would not take."""
    return PinKey.model_construct(part=half.part, connector=half.connector, half=half.half, pin=pin)


def count_crossings(
    layers: Sequence[Sequence[HalfKey]],
    pins: Mapping[HalfKey, Sequence[str]],
    leads: Sequence[PictureLead],
) -> int:
    """Return how often leads cross between two neighbouring layers: inversions of their ends."""
    at = _slots(layers, pins)
    between: dict[tuple[int, int], list[tuple[float, float]]] = defaultdict(list)
    for lead in leads:
        (la, pa), (lb, pb) = sorted((at[lead.a], at[lead.b]))
        if la != lb:
            between[la, lb].append((pa, pb))
    return sum(_inversions([b for _, b in sorted(ends)]) for ends in between.values())


def _inversions(values: Sequence[float]) -> int:
    """Return how many pairs stand the wrong way round; n log n."""
    seen: list[float] = []
    count = 0
    for value in values:
        count += len(seen) - bisect_left(seen, value + 1e-9)
        insort(seen, value)
    return count


def _swept(
    layers: list[list[HalfKey]],
    pins: Mapping[HalfKey, Sequence[str]],
    leads: Sequence[PictureLead],
) -> list[list[HalfKey]]:
    best, fewest = layers, count_crossings(layers, pins, leads)
    now = [list(layer) for layer in layers]
    for sweep in range(SWEEPS):
        order = range(len(now)) if sweep % 2 == 0 else range(len(now) - 1, -1, -1)
        for number in order:
            at = _slots(now, pins)
            now[number] = _by_median(now[number], number, at, leads)
        count = count_crossings(now, pins, leads)
        if count < fewest:
            best, fewest = [list(layer) for layer in now], count
    return best


def _by_median(
    layer: Sequence[HalfKey],
    number: int,
    at: Mapping[PinKey, tuple[int, float]],
    leads: Sequence[PictureLead],
) -> list[HalfKey]:
    wanted: dict[HalfKey, list[float]] = defaultdict(list)
    sizes = Counter(layer_of for layer_of, _ in at.values())
    for lead in leads:
        for pin, other in ((lead.a, lead.b), (lead.b, lead.a)):
            if at[pin][0] == number and at[other][0] != number:
                wanted[pin.half_key].append(at[other][1] / sizes[at[other][0]])
    places = {half: place / max(len(layer), 1) for place, half in enumerate(layer)}
    return sorted(layer, key=lambda half: median(wanted[half]) if wanted[half] else places[half])


# ------------------------------------------------------------------------------------------ places


def _placed(
    project: Project,
    layers: Sequence[Sequence[HalfKey]],
    pins: Mapping[HalfKey, Sequence[str]],
    segments: Sequence[_Segment],
) -> MapPicture:
    layer_of = {half: number for number, layer in enumerate(layers) for half in layer}
    short = [segment.lead for segment in segments]
    channels = _channels(layer_of, short)
    heights = [sum(_height(half, pins) + APART_MM for half in layer) for layer in layers]
    high = max(heights)
    boxes: dict[HalfKey, PictureBox] = {}
    x = MARGIN_MM
    rooms: list[float] = []
    for number, layer in enumerate(layers):
        y = MARGIN_MM + (high - heights[number]) / 2
        for half in layer:
            height = _height(half, pins)
            boxes[half] = _box(project, half, (x, y), height, tuple(pins[half]))
            y += height + APART_MM
        rooms.append(max(LEAST_CHANNEL_MM, (len(channels[number]) + 2) * CHANNEL_MM))
        x += BOX_MM + rooms[-1]
    pieces = _lines(layer_of, channels, rooms, boxes, short)
    return MapPicture(
        width=x + MARGIN_MM,
        height=high + 2 * MARGIN_MM,
        boxes=tuple(box for box in boxes.values() if not _is_free(box.half)),
        lines=_joined_up(segments, pieces),
        crossings=count_crossings(layers, pins, short),
    )


def _is_free(half: HalfKey) -> bool:
    return half.part.startswith(_FREE_ROW)


def _height(half: HalfKey, pins: Mapping[HalfKey, Sequence[str]]) -> float:
    return 0.0 if _is_free(half) else HEAD_MM + len(pins[half]) * PIN_MM


def _box(
    project: Project, half: HalfKey, at: tuple[float, float], height: float, pins: tuple[str, ...]
) -> PictureBox:
    if _is_free(half):
        return PictureBox(half, "", "", *at, height, pins)
    kind = project.part(half.part).kind
    return PictureBox(half, half_text(project, half), kind, *at, height, pins)


def _joined_up(
    segments: Sequence[_Segment], pieces: Sequence[tuple[tuple[float, float], ...]]
) -> tuple[PictureLine, ...]:
    """Put the pieces of each lead together again, in the order of the leads."""
    points: dict[int, list[tuple[float, float]]] = defaultdict(list)
    wholes: dict[int, PictureLead] = {}
    for segment, piece in zip(segments, pieces, strict=True):
        points[segment.number].extend(piece)
        wholes[segment.number] = segment.whole
    return tuple(PictureLine(wholes[number], tuple(own)) for number, own in points.items())


def _channels(
    layer_of: Mapping[HalfKey, int], leads: Sequence[PictureLead]
) -> dict[int, list[int]]:
    """The leads that turn in the room right of each layer, by their place in `leads`."""
    found: dict[int, list[int]] = defaultdict(list)
    for number, lead in enumerate(leads):
        low = min(layer_of[lead.a.half_key], layer_of[lead.b.half_key])
        found[low].append(number)
    return found


def _lines(
    layer_of: Mapping[HalfKey, int],
    channels: Mapping[int, Sequence[int]],
    rooms: Sequence[float],
    boxes: Mapping[HalfKey, PictureBox],
    leads: Sequence[PictureLead],
) -> list[tuple[tuple[float, float], ...]]:
    turns: dict[int, float] = {}
    for layer, own in channels.items():
        in_order = sorted(own, key=lambda number: _turn_order(leads[number], layer_of, boxes))
        step = rooms[layer] / (len(in_order) + 1)
        turns.update({number: place * step for place, number in enumerate(in_order, 1)})
    return [_line(lead, layer_of, boxes, turns[number]) for number, lead in enumerate(leads)]


def _turn_order(
    lead: PictureLead, layer_of: Mapping[HalfKey, int], boxes: Mapping[HalfKey, PictureBox]
) -> tuple[float, float]:
    """Leads that go down turn early the lower they start, so that they do not run over each other."""
    a, b = _left_first(lead, layer_of)
    ya, yb = _y(boxes, a), _y(boxes, b)
    return (-ya if yb >= ya else ya, yb)


def _y(boxes: Mapping[HalfKey, PictureBox], pin: PinKey) -> float:
    box = boxes[pin.half_key]
    return box.y if _is_free(box.half) else box.pin_y(pin.pin)


def _left_first(lead: PictureLead, layer_of: Mapping[HalfKey, int]) -> tuple[PinKey, PinKey]:
    if layer_of[lead.a.half_key] <= layer_of[lead.b.half_key]:
        return lead.a, lead.b
    return lead.b, lead.a


def _line(
    lead: PictureLead,
    layer_of: Mapping[HalfKey, int],
    boxes: Mapping[HalfKey, PictureBox],
    turn: float,
) -> tuple[tuple[float, float], ...]:
    a, b = _left_first(lead, layer_of)
    box_a, box_b = boxes[a.half_key], boxes[b.half_key]
    ya, yb = _y(boxes, a), _y(boxes, b)
    x_turn = box_a.x + BOX_MM + turn
    is_same_layer = layer_of[a.half_key] == layer_of[b.half_key]
    end = (box_b.x + (BOX_MM if is_same_layer else 0.0), yb)
    return ((box_a.x + BOX_MM, ya), (x_turn, ya), (x_turn, yb), end)
