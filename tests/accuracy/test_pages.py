"""The generator itself: what it draws must be what it says, or the report is worth nothing.

Checked with shapely on the strokes in mm, so neither by the reader nor by the raster that laid the
page out.
"""

from __future__ import annotations

import itertools
from collections import defaultdict

import numpy as np
import pytest
import shapely
import shapely.ops

from accuracy.marks import DrawnPage, Role, Stroke
from accuracy.pages import draw_page
from accuracy.paint import paint

SEEDS = (0, 1, 3, 6, 10, 13)
_HOP_MM = 2.4  # how far a hop with the width of its line reaches
_BROKEN = {"text gap", "crossing gap", "crossing broken", "dashes"}


@pytest.fixture(scope="module", params=SEEDS)
def page(request) -> DrawnPage:
    return draw_page(request.param)


def _ink_of(stroke: Stroke) -> shapely.Geometry:
    ring = [*stroke.points, stroke.points[0]] if stroke.closed else stroke.points
    line = shapely.LineString(ring).buffer(max(stroke.width_mm, 0.01) / 2, cap_style="flat")
    return line.union(shapely.Polygon(stroke.points)) if stroke.closed else line


def _ink_by_net(page: DrawnPage) -> dict[int, list[shapely.Geometry]]:
    """The strokes of conductors, each given to the net along whose lines it runs."""
    lines = [shapely.MultiLineString(net.lines) for net in page.nets]
    tree = shapely.STRtree(lines)
    inks = defaultdict(list)
    for mark in page.marks:
        if isinstance(mark, Stroke) and mark.role is Role.CONDUCTOR:
            places = [np.mean(mark.points, axis=0)] if mark.closed else mark.points
            points = shapely.MultiPoint(np.array(places))
            near = tree.query(points.buffer(_HOP_MM), predicate="intersects")
            net = min(
                near, key=lambda n: shapely.hausdorff_distance(points, _along(lines[n], points))
            )
            inks[int(net)].append(_ink_of(mark))
    return inks


def _along(lines: shapely.Geometry, points: shapely.Geometry) -> shapely.Geometry:
    """Where on some lines each point belongs."""
    return shapely.MultiPoint([shapely.ops.nearest_points(lines, p)[0] for p in points.geoms])


def test_nets_touch_only_where_the_page_says_they_cross(page: DrawnPage):
    inks = {net: shapely.unary_union(parts) for net, parts in _ink_by_net(page).items()}
    crossings = shapely.MultiPoint([cross.at for cross in page.crossings] or [(-99, -99)])
    near = crossings.buffer(_HOP_MM)
    nets = sorted(inks)
    tree = shapely.STRtree([inks[net] for net in nets])
    touching = tree.query([inks[net] for net in nets], predicate="intersects").T
    for i, j in ((i, j) for i, j in touching if i < j):
        shared = inks[nets[i]].intersection(inks[nets[j]])
        assert near.contains(shared), f"nets {nets[i]} and {nets[j]} touch at {shared.centroid}"


def test_the_ink_of_an_unbroken_net_is_one_piece(page: DrawnPage):
    if _BROKEN & set(page.tags):
        pytest.skip("the page breaks its lines on purpose")
    for net, parts in _ink_by_net(page).items():
        whole = shapely.unary_union([part.buffer(0.01) for part in parts])
        assert whole.geom_type == "Polygon", f"net {net} is drawn in pieces"


def test_terminals_lie_on_the_ink_of_their_net(page: DrawnPage):
    inks = _ink_by_net(page)
    for number, net in enumerate(page.nets):
        for terminal in net.terminals:
            at = shapely.Point(page.terminals[terminal].at)
            assert min(part.distance(at) for part in inks[number]) < 0.02


def test_terminals_are_dark_on_the_painted_page(page: DrawnPage):
    dpi = 300
    pixels = paint(page, dpi, wanted=lambda mark: getattr(mark, "role", None) is Role.CONDUCTOR)
    for terminal in page.terminals:
        x, y = (int(v * dpi / 25.4) for v in terminal.at)
        assert pixels[y - 1 : y + 2, x - 1 : x + 2].min() < 235


def test_conductors_end_at_the_bodies(page: DrawnPage):
    lines = shapely.union_all([shapely.MultiLineString(net.lines) for net in page.nets])
    for body in page.bodies:
        inside = shapely.box(*body.box).buffer(-0.05)
        assert not lines.intersects(inside), f"a line runs on inside {body.kind} {body.box}"


def test_every_terminal_belongs_to_exactly_one_net(page: DrawnPage):
    counted = list(itertools.chain.from_iterable(net.terminals for net in page.nets))
    assert sorted(counted) == list(range(len(page.terminals)))


def test_a_seed_always_gives_the_same_page():
    assert draw_page(4) == draw_page(4)
