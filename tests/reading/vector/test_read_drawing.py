"""Rules of drawn pages that no page of the three writers shows: covers, bars, letters, coils, laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from accuracy.read_lines import ReadLines
from loomfolio.basics import PxBox
from loomfolio.reading import ReaderSettings, Reading
from loomfolio.reading.vector import read_drawing
from loomfolio.sheets import DrawnFill, DrawnStroke, PageDrawing, Rgb

INK, PAPER = Rgb(0, 0, 0), Rgb(255, 255, 255)
PX_PER_MM = 300 / 25.4
SIZE_MM = 120.0


class Sheet:
    """A page drawn in mm, in the order of the calls."""

    def __init__(self) -> None:
        self.strokes: list[DrawnStroke] = []
        self.fills: list[DrawnFill] = []

    def line(self, *points, width_mm: float = 0.3, colour: Rgb = INK, **options) -> Sheet:
        at = np.array(points, dtype=np.float64) * PX_PER_MM
        order = float(len(self.strokes) + len(self.fills))
        self.strokes.append(DrawnStroke(at, width_mm * PX_PER_MM, colour, order, **options))
        return self

    def fill(self, *points, colour: Rgb = INK) -> Sheet:
        ring = np.array([*points, points[0]], dtype=np.float64) * PX_PER_MM
        order = float(len(self.strokes) + len(self.fills))
        self.fills.append(DrawnFill((ring,), colour, order))
        return self

    def dot(self, x: float, y: float, radius_mm: float = 0.7) -> Sheet:
        angles = np.linspace(0, 2 * math.pi, 33)[:-1]
        return self.fill(
            *((x + radius_mm * math.cos(a), y + radius_mm * math.sin(a)) for a in angles)
        )

    def read(self, *bodies: PxBox) -> Reading:
        side = round(SIZE_MM * PX_PER_MM)
        drawing = PageDrawing(side, side, 300.0, tuple(self.strokes), tuple(self.fills))
        return read_drawing(
            drawing,
            bodies=bodies,
            settings=ReaderSettings(),
            cancelled=lambda: False,
            progress=lambda share: None,
        )


def are_joined(reading: Reading, *places) -> bool:
    owners = ReadLines(reading).nearest(np.array(places, dtype=float) * PX_PER_MM, PX_PER_MM)
    assert (owners >= 0).all()
    return len(set(owners.tolist())) == 1


def cross(sheet: Sheet) -> Sheet:
    return sheet.line((20, 50), (80, 50)).line((50, 20), (50, 80))


def test_page_without_strokes_has_no_conductors():
    assert Sheet().read().conductors == ()


def test_four_way_is_joined_by_a_dot_alone():
    assert not are_joined(cross(Sheet()).read(), (20, 50), (50, 20))
    assert are_joined(cross(Sheet()).dot(50, 50).read(), (20, 50), (50, 20))


def test_smallest_dot_is_one_and_a_dot_beside_is_none():
    assert are_joined(cross(Sheet()).dot(50, 50, 0.2).read(), (20, 50), (50, 20))
    assert not are_joined(cross(Sheet()).dot(53, 53, 0.7).read(), (20, 50), (50, 20))


def test_halo_makes_a_gap_and_the_line_goes_on_behind_it():
    sheet = Sheet().line((20, 50), (80, 50))
    sheet.line((50, 20), (50, 80), width_mm=1.8, colour=PAPER).line((50, 20), (50, 80))
    reading = sheet.read()
    assert are_joined(reading, (20, 50), (80, 50))
    assert not are_joined(reading, (20, 50), (50, 20))
    assert [c.kind for c in reading.crossings] == ["gap"]


def test_paper_laid_over_a_line_hides_it():
    reading = (
        Sheet()
        .line((20, 50), (80, 50))
        .fill((40, 40), (60, 40), (60, 60), (40, 60), colour=PAPER)
        .read()
    )
    assert not are_joined(reading, (20, 50), (80, 50))
    below = (
        Sheet().fill((40, 40), (60, 40), (60, 60), (40, 60), colour=PAPER).line((20, 50), (80, 50))
    )
    assert are_joined(below.read(), (20, 50), (80, 50))


def test_thin_filled_box_is_a_line():
    reading = (
        Sheet().fill((20, 49.9), (80, 49.9), (80, 50.1), (20, 50.1)).line((50, 50), (50, 80)).read()
    )
    assert are_joined(reading, (20, 50), (80, 50), (50, 80))


def test_stripe_on_a_line_changes_nothing():
    plain = cross(Sheet()).read()
    sheet = cross(Sheet())
    for start in range(20, 80, 5):
        sheet.line((start, 50), (start + 2, 50), colour=Rgb(250, 215, 0))
    striped = sheet.read()
    assert [c.lines for c in striped.conductors] == [c.lines for c in plain.conductors]


def test_end_that_almost_touches_is_joined_and_asked_about():
    reading = Sheet().line((20, 50), (80, 50)).line((50, 50.15 + 0.08), (50, 80)).read()
    assert are_joined(reading, (20, 50), (50, 80))
    assert [(d.kind, d.taken) for d in reading.doubts] == [("touch", "joined")]


def test_end_a_good_way_off_is_apart():
    reading = Sheet().line((20, 50), (80, 50)).line((50, 51), (50, 80)).read()
    assert not are_joined(reading, (20, 50), (50, 80))


def test_letters_drawn_as_strokes_are_no_conductors():
    sheet = Sheet().line((20, 50), (80, 50))
    for x in (30.0, 32.0, 34.0):  # three times E, above the line
        sheet.line((x + 1.2, 46), (x, 46), (x, 48), (x + 1.2, 48)).line((x, 47), (x + 0.9, 47))
    assert len(sheet.read().conductors) == 1


def test_coil_of_loops_parts_its_line():
    t = np.linspace(0, 8 * math.pi, 200)
    loops = np.stack([44 + 12 * t / t[-1] + 1.6 * np.sin(t), 50 - 1.2 + 1.2 * np.cos(t)], axis=1)
    reading = Sheet().line((20, 50), *loops.tolist(), (80, 50)).read()
    assert not are_joined(reading, (20, 50), (80, 50))


def test_marked_box_ends_lines_and_hides_what_is_in_it():
    box = PxBox(*(v * PX_PER_MM for v in (40, 40, 60, 60)))
    reading = Sheet().line((20, 50), (80, 50)).read(box)
    assert not are_joined(reading, (20, 50), (80, 50))
    ends = sorted(x for c in reading.conductors for poly in c.lines for x, _ in poly)
    assert ends[1:3] == pytest.approx([40 * PX_PER_MM, 60 * PX_PER_MM], abs=2.0)


def test_line_beside_a_marked_box_runs_on():
    box = PxBox(*(v * PX_PER_MM for v in (40, 40, 60, 60)))
    for y in (39.6, 40.3, 60.5):
        reading = Sheet().line((20, y), (80, y)).read(box)
        assert are_joined(reading, (20, y), (80, y))


def test_outline_drawn_just_outside_a_marked_box_joins_nothing():
    sheet = Sheet().line((40, 40), (60, 40), (60, 60), (40, 60), (40, 40), is_closed=True)
    sheet.line((20, 45), (40, 45)).line((20, 55), (40, 55))
    box = PxBox(*(v * PX_PER_MM for v in (40.2, 40.2, 59.8, 59.8)))
    reading = sheet.read(box)
    assert not are_joined(reading, (20, 45), (20, 55))


segment = st.tuples(*(st.integers(2, 10) for _ in range(4))).filter(lambda s: s[:2] != s[2:])
PLACES = st.lists(segment, min_size=1, max_size=6, unique=True)


def partition(reading: Reading, places: list[tuple[float, float]]) -> list[int]:
    owners = ReadLines(reading).nearest(np.array(places) * PX_PER_MM, 0.3 * PX_PER_MM).tolist()
    first: dict[int, int] = {}
    return [first.setdefault(owner, k) if owner >= 0 else -1 for k, owner in enumerate(owners)]


@given(
    segments=PLACES,
    dots=st.booleans(),
    quarter=st.sampled_from([0, 1, 2, 3]),
    cut=st.floats(0.2, 0.8),
)
def test_nets_do_not_hang_on_how_a_page_lies_or_in_which_order_it_was_drawn(
    segments, dots, quarter, cut
):
    """Turned by quarters, drawn backwards: the same ends are joined."""
    lines = shapely.linestrings(np.array(segments, dtype=float).reshape(-1, 2, 2) * 10)
    middles = shapely.line_interpolate_point(lines, cut, normalized=True)
    apart = shapely.distance(middles[:, None], lines[None, :]) + 9 * np.eye(len(lines))
    assume(apart.min() > 2.0)

    def draw(turn, ordered) -> tuple[Reading, list[tuple[float, float]]]:
        sheet, places = Sheet(), []
        for ax, ay, bx, by in ordered:
            sheet.line(turn(ax * 10, ay * 10), turn(bx * 10, by * 10))
        if dots:
            sheet.dot(*turn(60, 60))
        for ax, ay, bx, by in segments:
            places.append(turn(ax * 10 + cut * (bx - ax) * 10, ay * 10 + cut * (by - ay) * 10))
        return sheet.read(), places

    def turned(x: float, y: float) -> tuple[float, float]:
        for _ in range(quarter):
            x, y = SIZE_MM - y, x
        return x, y

    upright = draw(lambda x, y: (x, y), segments)
    other = draw(turned, segments[::-1])
    assert partition(*upright) == partition(*other)


def test_equal_pieces_side_by_side_are_no_row_of_dashes():
    """Two lines cut into equal pieces where others pass: never joined from piece to piece."""
    sheet = Sheet()
    starts = (20.0, 23.0, 26.0, 29.0)
    for x, downwards in ((50.0, starts), (51.5, starts[::-1])):
        for start in downwards:
            sheet.line((x, start), (x, start + 2.1))
        sheet.line((x, 32.0), (x, 60.0))
    for y in (22.55, 25.55, 28.55, 31.55):
        sheet.line((30, y), (70, y))
    reading = sheet.read()
    assert not are_joined(reading, (50, 21), (51.5, 21))
    assert are_joined(reading, (50, 21), (50, 50))
