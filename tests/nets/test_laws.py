"""Laws of nets on any drawing: turning, shifting and scaling change no connection; taking away joins nothing."""

from __future__ import annotations

from collections.abc import Callable

import shapely
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import MM_PER_INCH, MmPoint, PxPoint
from loomfolio.nets import Netlist, derive
from loomfolio.project import ApartMark, JoinMark, LineMark, Mark, Project, Sheet
from loomfolio.reading import Conductor, PageSize, Reading

SIDE_PX = 1000
_DPI = 254.0

_cell = st.integers(2, 18).map(lambda n: n * 50)
_point = st.tuples(_cell, _cell)
_straight = st.one_of(
    st.tuples(_point, _cell).map(lambda t: (t[0], (t[1], t[0][1]))),
    st.tuples(_point, _cell).map(lambda t: (t[0], (t[0][0], t[1]))),
).filter(lambda line: line[0] != line[1])
_drawing = st.lists(_straight, min_size=1, max_size=8, unique=True)

Turn = Callable[[float, float], tuple[float, float]]


def _sheet(dpi: float = _DPI) -> Sheet:
    return Sheet(
        id="sheet-1",
        title="Drawn",
        file="sheets/a.png",
        sha256="0" * 64,
        width_px=SIDE_PX,
        height_px=SIDE_PX,
        x_dpi=dpi,
        y_dpi=dpi,
    )


def _netlist(
    drawing: list[tuple[tuple[int, int], tuple[int, int]]],
    turn: Turn,
    *marks: Mark,
    dpi: float = _DPI,
) -> Netlist:
    conductors = tuple(
        Conductor(id=n, lines=((PxPoint(*turn(*a)), PxPoint(*turn(*b))),), stroke_px=3.0)
        for n, (a, b) in enumerate(drawing, start=1)
    )
    page = PageSize(width_px=SIDE_PX, height_px=SIDE_PX, dpi=dpi)
    reading = Reading(page=page, conductors=conductors)
    project = Project(serial=9, sheets=(_sheet(dpi),), marks=marks)
    return derive(project, {"sheet-1": reading})


def _together(
    netlist: Netlist, drawing: list[tuple[tuple[int, int], tuple[int, int]]], turn: Turn
) -> set[tuple[int, int]]:
    """Which lines of the drawing are one net, by the conductor that each line's middle lies on."""
    nets = []
    for a, b in drawing:
        x, y = (
            turn((a[0] + b[0]) / 2 + 1, (a[1] + b[1]) / 2)
            if a[1] == b[1]
            else turn((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 + 1)
        )
        at = MmPoint(
            x * MM_PER_INCH / netlist.project.sheets[0].x_dpi,
            y * MM_PER_INCH / netlist.project.sheets[0].x_dpi,
        )
        near = netlist.graphs["sheet-1"].wiring.near(at, 0.2)
        nets.append(
            {netlist.conductors[netlist.graphs["sheet-1"].component[n.edge.a]].net for n in near}
        )
    return {(i, j) for i in range(len(nets)) for j in range(i + 1, len(nets)) if nets[i] & nets[j]}


def _as_is(x: float, y: float) -> tuple[float, float]:
    return x, y


TURNS: dict[str, Turn] = {
    "quarter turn": lambda x, y: (SIDE_PX - y, x),
    "mirrored": lambda x, y: (SIDE_PX - x, y),
    "shifted": lambda x, y: (x + 13, y + 7),
}


@given(_drawing, st.sampled_from(sorted(TURNS)), _point)
def test_turning_mirroring_and_shifting_change_no_connection(
    drawing: list[tuple[tuple[int, int], tuple[int, int]]], name: str, place: tuple[int, int]
) -> None:
    def marked(turn: Turn) -> set[tuple[int, int]]:
        x, y = turn(*place)
        join = JoinMark(id="mark-1", sheet="sheet-1", at=MmPoint(x / 10, y / 10))
        return _together(_netlist(drawing, turn, join), drawing, turn)

    assert marked(TURNS[name]) == marked(_as_is)


@given(_drawing)
def test_a_finer_scan_changes_no_connection(
    drawing: list[tuple[tuple[int, int], tuple[int, int]]],
) -> None:
    def finer(x: float, y: float) -> tuple[float, float]:
        return x * 1.5, y * 1.5

    fine = _together(_netlist(drawing, finer, dpi=_DPI * 1.5), drawing, finer)
    assert fine == _together(_netlist(drawing, _as_is), drawing, _as_is)


@given(_drawing, _point)
def test_keeping_apart_never_joins_anything(
    drawing: list[tuple[tuple[int, int], tuple[int, int]]], place: tuple[int, int]
) -> None:
    at = MmPoint(place[0] / 10, place[1] / 10)
    lines = [
        LineMark(
            id=f"mark-{n}",
            sheet="sheet-1",
            points=(MmPoint(a[0] / 10, a[1] / 10), MmPoint(b[0] / 10, b[1] / 10)),
        )
        for n, (a, b) in enumerate(drawing, start=1)
    ]
    before = _netlist([], _as_is, *lines)
    after = _netlist([], _as_is, *lines, ApartMark(id="mark-99", sheet="sheet-1", at=at))
    joined_before = _together(before, drawing, _as_is)
    assert len(after.conductors) >= len(before.conductors)
    assert _together(after, drawing, _as_is) <= joined_before


@given(_drawing, _point)
def test_a_mark_takes_the_nearest_conductor_or_none(
    drawing: list[tuple[tuple[int, int], tuple[int, int]]], place: tuple[int, int]
) -> None:
    netlist = _netlist(drawing, _as_is)
    at = MmPoint(place[0] / 10 + 0.7, place[1] / 10 + 0.3)
    snap = netlist.snap("sheet-1", at)
    reach = sorted(
        (min(shapely.LineString(line).distance(shapely.Point(at)) for line in c.lines), c.number)
        for c in netlist.conductors
    )
    if snap.conductor is None:
        assert reach[0][0] > 3.0 or (
            len(reach) > 1 and reach[1][0] < max(reach[0][0] + 0.4, reach[0][0] * 1.5)
        )
    else:
        assert snap.conductor == reach[0][1]
        assert reach[0][0] <= 3.0
