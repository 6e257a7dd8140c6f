"""What stands on a page beside the circuit: frame, zone letters, title block, tables, connector faces."""

from __future__ import annotations

from accuracy.draft import Draft
from accuracy.marks import (
    Box,
    Lettering,
    Mark,
    Point,
    Role,
    Stroke,
    Word,
    WordKind,
    ellipse,
    rectangle,
)

_TITLES = ("Electric parcel van, supply", "Orchard tractor, cab lamps", "Charge inlet and pilot line",
           "Tail lift", "Seat heating, left and right", "Body wiring, sheet 3 of 9")  # fmt: skip


def _line(draft: Draft, points: list[Point], width: float, *, closed: bool = False) -> None:
    stroke = Stroke(tuple(points), width, draft.style.ink, Role.FURNITURE, closed)
    draft.marks.append(stroke)


def _words(draft: Draft, text: str, at: Point, height: float) -> None:
    box = draft.text_box(text, at, height)
    draft.words.append(Word(text, box, WordKind.FURNITURE))
    draft.marks.append(Lettering(at, text, height, draft.style.ink))


def draw_frame(draft: Draft) -> None:
    """Draw the page frame with its zones, single or double, or none."""
    style, rng = draft.style, draft.rng
    manner = rng.choice(["none", "single", "zones", "zones"])
    if manner == "none":
        return
    m = draft.margin_mm - 3
    inner = (m, m, style.width_mm - m, style.height_mm - m)
    _line(draft, rectangle(inner), 0.5, closed=True)
    if manner == "zones":
        o = m - 5
        outer = (o, o, style.width_mm - o, style.height_mm - o)
        _line(draft, rectangle(outer), 0.25, closed=True)
        _zones(draft, inner, outer)
    draft.tags.add(f"frame {manner}")


def _zones(draft: Draft, inner: Box, outer: Box) -> None:
    x0, y0, x1, y1 = inner
    count = round((x1 - x0) / 50)
    for k in range(count):
        left = x0 + (x1 - x0) * k / count
        for a, b in ((outer[1], y0), (y1, outer[3])):
            if k:
                _line(draft, [(left, a), (left, b)], 0.25)
            _words(draft, str(k + 1), (left + (x1 - x0) / count / 2, (a + b) / 2), 2.2)
    count = round((y1 - y0) / 50)
    for k in range(count):
        top = y0 + (y1 - y0) * k / count
        for a, b in ((outer[0], x0), (x1, outer[2])):
            if k:
                _line(draft, [(a, top), (b, top)], 0.25)
            _words(draft, "ABCDEFGH"[k], ((a + b) / 2, top + (y1 - y0) / count / 2), 2.2)


def draw_title_block(draft: Draft) -> None:
    """Draw a title block in the lower right corner and keep the raster off it."""
    rng, style = draft.rng, draft.style
    if rng.random() < 0.3:
        return
    wide, high = rng.choice([(70.0, 16.0), (95.0, 20.0), (60.0, 24.0)])
    m = draft.margin_mm - 3
    box = (
        style.width_mm - m - wide,
        style.height_mm - m - high,
        style.width_mm - m,
        style.height_mm - m,
    )
    _table(draft, box, 3, [0.25, 0.75])
    _words(draft, rng.choice(_TITLES), ((box[0] + box[2]) / 2, box[1] + high / 6), 2.0)
    _keep_out(draft, box)
    draft.tags.add("title block")


def _keep_out(draft: Draft, box: Box) -> None:
    draft.grid.block(*draft.nodes_in(box, 2.5))
    draft.empty.fill(box)
    draft.pictures.append(box)


def _table(draft: Draft, box: Box, rows: int, columns: list[float]) -> None:
    x0, y0, x1, y1 = box
    _line(draft, rectangle(box), 0.35, closed=True)
    for k in range(1, rows):
        y = y0 + (y1 - y0) * k / rows
        _line(draft, [(x0, y), (x1, y)], 0.2)
    for share in columns:
        x = x0 + (x1 - x0) * share
        _line(draft, [(x, y0 + (y1 - y0) / rows), (x, y1)], 0.2)


def place_pictures(draft: Draft) -> None:
    """Draw a few connector faces and tables where the sheet is still empty."""
    rng = draft.rng
    for _ in range(rng.choice([0, 1, 1, 2, 3])):
        face = rng.random() < 0.7
        pins = rng.choice([4, 6, 9, 12, 16])
        wide, high = ((pins / 2 + 1) * 3.2 + 6, 11.0) if face else (46.0, 18.0)
        for _try in range(30):
            row = rng.randint(0, draft.grid.rows - 1)
            column = rng.randint(0, draft.grid.columns - 1)
            x, y = draft.at((row, column))
            box = (x, y, x + wide, y + high)
            if draft.is_clear(box, 3.0):
                _keep_out(draft, box)
                _face(draft, box, pins) if face else _list(draft, box)
                break


def _face(draft: Draft, box: Box, pins: int) -> None:
    """A connector face with its cavities in two rows; a picture, not a body."""
    x0, y0, x1, y1 = box
    ink = draft.style.ink
    slant = draft.rng.choice([0.0, 2.0])
    outline: list[Point] = [(x0, y0), (x1, y0), (x1 - slant, y1), (x0 + slant, y1)]
    _line(draft, outline, 0.3, closed=True)
    _line(draft, [(x0 + 1.2, y0 + 1), (x1 - 1.2, y0 + 1), (x1 - 1.2 - slant, y1 - 1),
                  (x0 + 1.2 + slant, y1 - 1)], 0.2, closed=True)  # fmt: skip
    round_ones = draft.rng.random() < 0.5
    for k in range(pins):
        x = x0 + 4.5 + (k % (pins // 2 + pins % 2)) * 3.2
        y = y0 + (3.4 if k < pins / 2 else 7.4)
        if round_ones:
            mark: Mark = Stroke(
                tuple(ellipse((x, y), 1.0, 1.0, 24)), 0.2, ink, Role.FURNITURE, True
            )
        else:
            mark = Stroke(
                tuple(rectangle((x - 1, y - 1, x + 1, y + 1))), 0.2, ink, Role.FURNITURE, True
            )
        draft.marks.append(mark)
        _words(draft, str(k + 1), (x, y), 1.1)
    draft.note("connector face", ((x0 + x1) / 2, (y0 + y1) / 2))


def _list(draft: Draft, box: Box) -> None:
    """A small table of fuses."""
    _table(draft, box, 5, [0.2, 0.5])
    x0, y0, _, y1 = box
    step = (y1 - y0) / 5
    for k in range(5):
        _words(draft, f"F{k + 1}", (x0 + 4.5, y0 + (k + 0.5) * step), 1.6)
    draft.note("table", (x0 + 20, y0 + 9))
