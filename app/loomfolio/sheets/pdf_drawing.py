"""From the content of a PDF page to its strokes, fills, words and pictures; by way of PDFium's objects.

PDFium was taken after measuring: of a page of 20,000 operators it hands over all objects in a fifth of
the time that pypdf needs to cut the same stream into operators, and it holds broken files, forms
that draw themselves, and deep nesting in check.

The objects of a form lie in the form's own frame; each is carried to px of the drawn page by the
product of all frames it stands in (`_Frame`), and what a window hides of it is cut away.
"""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pypdfium2.raw as pdfium_raw
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.sheets.clipping import Window
from loomfolio.sheets.drawings import DrawnFill, DrawnPicture, DrawnStroke, PageDrawing, Rgb
from loomfolio.sheets.flattening import FLATTENING_PX, flattened
from loomfolio.sheets.limits import no_such_page
from loomfolio.sheets.pdf_files import check_weight, opened_pdf, page_size_px
from loomfolio.sheets.pdf_words import page_words

F64 = NDArray[np.float64]

MAX_OBJECTS = 150_000
"""Pages with more are read from their pixels: a dense A0 sheet has 60,000."""
MAX_POINTS = 1_500_000
DEEPEST_FORM = 60
"""PDFium itself stops nesting at about half of this."""
FARTHEST_PX = 1e7
"""A coordinate beyond this is a fault of the file; the line is left out."""
FAINTEST_ALPHA = 20
"""Paint with less cover than this of 255 is not seen on a print."""

_LINE, _CURVE, _MOVE = 0, 1, 2


class _Frame(NamedTuple):
    """x' = a x + c y + e, y' = b x + d y + f."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def within(self, outer: _Frame) -> _Frame:
        """Return this frame followed by the one it stands in."""
        return _Frame(
            self.a * outer.a + self.b * outer.c,
            self.a * outer.b + self.b * outer.d,
            self.c * outer.a + self.d * outer.c,
            self.c * outer.b + self.d * outer.d,
            self.e * outer.a + self.f * outer.c + outer.e,
            self.e * outer.b + self.f * outer.d + outer.f,
        )

    def at(self, x: float, y: float) -> tuple[float, float]:
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    @property
    def scale(self) -> float:
        """The mean of how much lengths grow."""
        return math.sqrt(abs(self.a * self.d - self.b * self.c))


class _TooMuchError(Exception):
    """The page holds more than `MAX_OBJECTS` or `MAX_POINTS`."""


def pdf_page_drawing(
    path: Path, data: bytes, page: int, dpi: float, password: str | None
) -> PageDrawing | None:
    """Return what is drawn on one page, or None where it is more than the limits allow.

    Raises
    ------
    FileUnreadableError, PasswordNeededError
        As `load_page`.
    """
    check_weight(path, data, page, password)
    with opened_pdf(path, data, password) as document:
        if not 1 <= page <= len(document):
            raise no_such_page(path, page, len(document))
        width_px, height_px = page_size_px(path, document, page - 1, dpi)
        opened = document[page - 1]
        if pdfium_raw.FPDFPage_CountObjects(opened) > MAX_OBJECTS:
            return None
        walk = _Walk(PxBox(0.0, 0.0, float(width_px), float(height_px)))
        frame = _page_frame(opened, width_px, height_px)
        try:
            walk.objects_of(opened, frame)
        except _TooMuchError:
            return None
        words = page_words(opened, frame.at, PxBox(0.0, 0.0, float(width_px), float(height_px)))
        return PageDrawing(
            width_px, height_px, dpi,
            tuple(walk.strokes), tuple(walk.fills), words, tuple(walk.pictures),
        )  # fmt: skip


def _page_frame(page: Any, width_px: int, height_px: int) -> _Frame:
    """From the page's own units, y up, to px of the drawn page: cropped, turned, stretched to whole px."""
    box = pdfium_raw.FS_RECTF()
    pdfium_raw.FPDF_GetPageBoundingBox(page, box)
    left, bottom, right, top = box.left, box.bottom, box.right, box.top
    turned = pdfium_raw.FPDFPage_GetRotation(page) % 4
    wide, high = right - left, top - bottom
    if turned % 2:
        wide, high = high, wide
    sx, sy = width_px / wide, height_px / high
    if turned == 0:
        return _Frame(sx, 0.0, 0.0, -sy, -left * sx, top * sy)
    if turned == 1:
        return _Frame(0.0, sy, sx, 0.0, -bottom * sx, -left * sy)
    if turned == 2:
        return _Frame(-sx, 0.0, 0.0, sy, right * sx, -bottom * sy)
    return _Frame(0.0, -sy, -sx, 0.0, top * sx, right * sy)


@dataclass
class _Pen:
    """The numbers that PDFium writes into, made once: a call then costs about a microsecond."""

    x: Any = field(default_factory=ctypes.c_float)
    y: Any = field(default_factory=ctypes.c_float)
    fill_rule: Any = field(default_factory=ctypes.c_int)
    is_stroked: Any = field(default_factory=ctypes.c_int)
    matrix: Any = field(default_factory=pdfium_raw.FS_MATRIX)
    rgba: Any = field(default_factory=lambda: tuple(ctypes.c_uint() for _ in range(4)))


class _Walk:
    """Gathers what the objects of a page draw, in the order of painting."""

    def __init__(self, page_box: PxBox) -> None:
        self.strokes: list[DrawnStroke] = []
        self.fills: list[DrawnFill] = []
        self.pictures: list[DrawnPicture] = []
        self.window = Window(page_box)
        self.objects, self.points = 0, 0
        self.pen = _Pen()
        self.windows: dict[tuple[Any, ...], Window] = {}
        self.outer: list[Window] = []  # kept alive, for `windows` knows them by their id

    def objects_of(self, page: Any, frame: _Frame) -> None:
        """Walk over the objects of a page and of the forms in it."""
        for k in range(pdfium_raw.FPDFPage_CountObjects(page)):
            self._object(pdfium_raw.FPDFPage_GetObject(page, k), frame, self.window, 0)

    def _object(self, item: Any, frame: _Frame, window: Window, depth: int) -> None:
        self.objects += 1
        if self.objects > MAX_OBJECTS:
            raise _TooMuchError
        kind = pdfium_raw.FPDFPageObj_GetType(item)
        if kind == pdfium_raw.FPDF_PAGEOBJ_PATH:
            self._path(item, self._own(item, frame), self._seen_by(item, frame, window))
        elif kind == pdfium_raw.FPDF_PAGEOBJ_IMAGE:
            self._picture(self._own(item, frame), self._seen_by(item, frame, window))
        elif kind == pdfium_raw.FPDF_PAGEOBJ_FORM and depth < DEEPEST_FORM:
            inner, seen = self._own(item, frame), self._seen_by(item, frame, window)
            for k in range(pdfium_raw.FPDFFormObj_CountObjects(item)):
                self._object(pdfium_raw.FPDFFormObj_GetObject(item, k), inner, seen, depth + 1)

    def _own(self, item: Any, frame: _Frame) -> _Frame:
        m = self.pen.matrix
        if not pdfium_raw.FPDFPageObj_GetMatrix(item, m):
            return frame
        return _Frame(m.a, m.b, m.c, m.d, m.e, m.f).within(frame)

    def _seen_by(self, item: Any, frame: _Frame, window: Window) -> Window:
        """The window of an object: what it stands in, narrowed by its own."""
        clip = pdfium_raw.FPDFPageObj_GetClipPath(item)
        count = pdfium_raw.FPDFClipPath_CountPaths(clip) if clip else -1
        for k in range(max(count, 0)):
            length = pdfium_raw.FPDFClipPath_CountPathSegments(clip, k)
            segments = (pdfium_raw.FPDFClipPath_GetPathSegment(clip, k, n) for n in range(length))
            rings = [points for points, _ in self._subpaths(segments, frame)]
            key = (id(window), tuple(tuple(map(tuple, ring)) for ring in rings))
            if key not in self.windows:
                made = window.narrowed([np.array(ring) for ring in rings])
                self.windows[key] = made
                self.outer.append(window)
            window = self.windows[key]
        return window

    def _path(self, item: Any, frame: _Frame, window: Window) -> None:
        pen = self.pen
        pdfium_raw.FPDFPath_GetDrawMode(item, pen.fill_rule, pen.is_stroked)
        filled = (
            self._colour(pdfium_raw.FPDFPageObj_GetFillColor, item) if pen.fill_rule.value else None
        )
        stroked = (
            self._colour(pdfium_raw.FPDFPageObj_GetStrokeColor, item)
            if pen.is_stroked.value
            else None
        )
        if filled is None and stroked is None:
            return
        is_even_odd = pen.fill_rule.value == pdfium_raw.FPDF_FILLMODE_ALTERNATE
        length = pdfium_raw.FPDFPath_CountSegments(item)
        segments = (pdfium_raw.FPDFPath_GetPathSegment(item, n) for n in range(length))
        drawn = [(np.array(p, dtype=np.float64), c) for p, c in self._subpaths(segments, frame)]
        drawn = [(p, c) for p, c in drawn if np.isfinite(p).all() and np.abs(p).max() < FARTHEST_PX]
        width_px = self._width(item, frame) if stroked is not None else 0.0
        if filled is not None:
            same = width_px if stroked == filled else 0.0
            self._fill([p for p, _ in drawn], filled, window, same, is_even_odd=is_even_odd)
        if stroked is not None and not (filled == stroked and all(len(p) > 2 for p, _ in drawn)):
            is_dashed = pdfium_raw.FPDFPageObj_GetDashCount(item) > 0
            cap = pdfium_raw.FPDFPageObj_GetLineCap(item)
            for points, curved in drawn:
                look = _Look(width_px, stroked, is_dashed, curved, cap)
                self._stroke(points, look, window)

    def _colour(self, ask: Any, item: Any) -> Rgb | None:
        red, green, blue, alpha = self.pen.rgba
        if not ask(item, red, green, blue, alpha) or alpha.value < FAINTEST_ALPHA:
            return None
        return Rgb(red.value, green.value, blue.value)

    def _width(self, item: Any, frame: _Frame) -> float:
        pdfium_raw.FPDFPageObj_GetStrokeWidth(item, self.pen.x)
        width = float(self.pen.x.value) * frame.scale
        return max(width, 1.0) if math.isfinite(width) else 1.0

    def _subpaths(
        self, segments: Iterator[Any], frame: _Frame
    ) -> list[tuple[list[tuple[float, float]], bool]]:
        """The polylines of a path in px, and whether each has a curve; closed ones end where they began."""
        x, y = self.pen.x, self.pen.y
        found: list[tuple[list[tuple[float, float]], bool]] = []
        points: list[tuple[float, float]] = []
        control: list[tuple[float, float]] = []
        curved = False
        for segment in segments:
            pdfium_raw.FPDFPathSegment_GetPoint(segment, x, y)
            here = frame.at(x.value, y.value)
            kind = pdfium_raw.FPDFPathSegment_GetType(segment)
            if kind == _MOVE:
                if len(points) > 1:
                    found.append((points, curved))
                points, control, curved = [here], [], False
                continue
            if kind == _CURVE:
                control.append(here)
                if len(control) == 3 and points:
                    points += flattened(points[-1], control, FLATTENING_PX)
                    control, curved = [], True
            else:
                points.append(here)
            if pdfium_raw.FPDFPathSegment_GetClose(segment) and points:
                points.append(points[0])
                found.append((points, curved))
                points = [points[0]]
        if len(points) > 1:
            found.append((points, curved))
        self.points += sum(len(p) for p, _ in found)
        if self.points > MAX_POINTS:
            raise _TooMuchError
        return found

    def _fill(
        self, rings: list[F64], colour: Rgb, window: Window, pen_px: float, *, is_even_odd: bool
    ) -> None:
        closed = tuple(
            p if np.array_equal(p[0], p[-1]) else np.vstack([p, p[:1]]) for p in rings if len(p) > 2
        )
        if not closed:
            return
        every = np.vstack(closed)
        if window.shows_none(every):
            return
        if not window.shows_all(every):
            closed = window.seen_rings(closed, even_odd=is_even_odd)
        if closed:
            self.fills.append(DrawnFill(closed, colour, float(self.objects), is_even_odd, pen_px))

    def _stroke(self, points: F64, look: _Look, window: Window) -> None:
        moved = np.ones(len(points), dtype=np.bool_)
        moved[1:] = (np.diff(points, axis=0) != 0).any(axis=1)
        points = points[moved]
        order = self.objects + 0.5
        if len(points) < 2:
            if look.cap == pdfium_raw.FPDF_LINECAP_ROUND and window.shows_all(points):
                ring = _circle(points[0], look.width_px / 2)
                self.fills.append(DrawnFill((ring,), look.colour, order))
            return
        if window.shows_none(points):
            return
        cap_px = 0.0 if look.cap == pdfium_raw.FPDF_LINECAP_BUTT else look.width_px / 2
        pieces = [points] if window.shows_all(points) else window.seen_lines(points)
        for piece in pieces:
            is_closed = len(piece) > 3 and bool(np.hypot(*(piece[0] - piece[-1])) < 1e-6)
            self.strokes.append(
                DrawnStroke(
                    piece,
                    look.width_px,
                    look.colour,
                    order,
                    is_closed,
                    look.is_dashed,
                    look.is_curved,
                    cap_px,
                )
            )

    def _picture(self, frame: _Frame, window: Window) -> None:
        corners = np.array([frame.at(u, v) for u, v in ((0, 0), (1, 0), (1, 1), (0, 1))])
        if not np.isfinite(corners).all() or window.shows_none(corners):
            return
        (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
        seen = window.box
        box = PxBox(max(x0, seen.x0), max(y0, seen.y0), min(x1, seen.x1), min(y1, seen.y1))
        self.pictures.append(DrawnPicture(box, float(self.objects)))


class _Look(NamedTuple):
    width_px: float
    colour: Rgb
    is_dashed: bool
    is_curved: bool
    cap: int


def _circle(centre: F64, radius: float, pieces: int = 32) -> F64:
    angles = np.linspace(0.0, 2 * math.pi, pieces + 1)
    return np.asarray(centre + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1))
