"""Pages laid out and drawn by a graph drawing program, so by nobody here.

Where Graphviz is installed, small graphs are laid out with level and upright edges and read with the
boxes of their nodes given. The places of boxes and edges come from the program's own account of its
drawing. Edges that it lays onto each other, or lets end on each other, are joined in the drawing and
so in the truth; edges that only cross are not.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from random import Random

import numpy as np
import pytest
import shapely

from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines
from accuracy.score import misread
from loomfolio.basics import PxBox
from loomfolio.reading import read_page
from loomfolio.sheets import load_page

DOT = shutil.which("dot")
DPI = 200
POINTS_PER_INCH = 72
MARGIN_PT = 4.0  # what the program leaves round its drawing
OUTSIDE_PX = 4  # a terminal lies this far along its edge, outside its node

pytestmark = pytest.mark.skipif(DOT is None, reason="Graphviz is not installed")


@dataclass(frozen=True)
class Layout:
    """A drawn graph: its picture, the boxes of its nodes, and its edges as polylines in px."""

    picture: Path
    boxes: tuple[PxBox, ...]
    edges: tuple[shapely.LineString, ...]


def make_graph(seed: int, nodes: int, edges: int) -> str:
    """A graph in the program's language: boxes with edges between random pairs."""
    rng = Random(seed)
    pairs = rng.sample(list(combinations(range(nodes), 2)), edges)
    lines = "\n".join(f"n{a} -- n{b};" for a, b in pairs)
    look = f"graph [splines=ortho, nodesep=0.7, ranksep=0.8, dpi={DPI}, pad={MARGIN_PT / 72}];"
    return f"graph g {{ {look} node [shape=box, width=1.2, fontsize=10];\n{lines} }}"


def lay_out(source: str, folder: Path) -> Layout:
    """Let the program draw a graph, and take the places from its account."""
    picture, account_file = folder / "graph.png", folder / "graph.json"
    command = [str(DOT), "-Tpng", f"-o{picture}", "-Tjson", f"-o{account_file}"]
    subprocess.run(command, input=source.encode(), capture_output=True, check=True)
    account = json.loads(account_file.read_text(encoding="utf-8"))
    height_pt = float(account["bb"].split(",")[3])
    scale = DPI / POINTS_PER_INCH

    def to_px(x: float, y: float) -> tuple[float, float]:
        return (x + MARGIN_PT) * scale, (height_pt - y + MARGIN_PT) * scale

    boxes = []
    for node in account["objects"]:
        x, y = to_px(*map(float, node["pos"].split(",")))
        wide, high = (float(node[side]) * DPI / 2 for side in ("width", "height"))
        boxes.append(PxBox(x - wide, y - high, x + wide, y + high))
    edges = []
    for edge in account["edges"]:
        curve = next(step["points"] for step in edge["_draw_"] if step["op"] == "b")
        corners = [to_px(x, y) for x, y in curve[::3]]
        edges.append(shapely.LineString(corners).simplify(0.01))
    return Layout(picture, tuple(boxes), tuple(edges))


def nets_of(layout: Layout) -> list[tuple[int, ...]]:
    """Terminals 2k and 2k+1 are the ends of edge k; edges that touch otherwise than by crossing join."""
    groups = [{number} for number in range(len(layout.edges))]
    for a, b in combinations(range(len(layout.edges)), 2):
        if _are_drawn_as_one(layout.edges[a], layout.edges[b]):
            ours = [g for g in groups if a in g or b in g]
            groups = [g for g in groups if g not in ours] + [set().union(*ours)]
    return [tuple(sorted(t for k in group for t in (2 * k, 2 * k + 1))) for group in groups]


def _are_drawn_as_one(a: shapely.LineString, b: shapely.LineString) -> bool:
    near = 2.0  # px: a line's own width
    if a.distance(b) > near:
        return False
    shared = a.buffer(near, cap_style="flat").intersection(b.buffer(near, cap_style="flat"))
    along = shared.length / 2 > 5 * near  # more than the square of a crossing
    ends = [shapely.Point(p) for line in (a, b) for p in (line.coords[0], line.coords[-1])]
    return along or any(end.distance(a) < near and end.distance(b) < near for end in ends)


def terminals_of(layout: Layout) -> np.ndarray:
    """Both ends of every edge, a little outside its node, (2 E, 2)."""
    places = []
    for edge in layout.edges:
        places += [edge.interpolate(OUTSIDE_PX), edge.interpolate(edge.length - OUTSIDE_PX)]
    return np.array([(p.x, p.y) for p in places])


@pytest.mark.parametrize(("nodes", "edges"), [(6, 8), (10, 14), (14, 18)])
@pytest.mark.parametrize("seed", [1, 2])
def test_every_edge_of_a_drawn_graph_is_one_conductor(seed: int, nodes: int, edges: int, tmp_path):
    layout = lay_out(make_graph(seed, nodes, edges), tmp_path)
    page = load_page(layout.picture)
    lines = ReadLines(read_page(page.pixels, dpi=DPI, bodies=layout.boxes))
    owner = lines.nearest(terminals_of(layout), DPI / MM_PER_INCH)
    assert [w.fault for w in misread(nets_of(layout), owner)] == []


def test_the_account_of_the_drawing_fits_the_picture(tmp_path):
    """The truth itself: there is ink all along the edges that the program says it drew."""
    layout = lay_out(make_graph(1, 8, 10), tmp_path)
    pixels = load_page(layout.picture).pixels
    for edge in layout.edges:
        for share in np.linspace(0.02, 0.98, 50):
            at = edge.interpolate(share, normalized=True)
            x, y = int(at.x), int(at.y)
            assert pixels[y - 2 : y + 3, x - 2 : x + 3].min() < 128
