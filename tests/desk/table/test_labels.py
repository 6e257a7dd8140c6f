"""Labels cover neither each other nor, where there is room, a conductor; and one points at what one sees."""

from itertools import combinations

import pytest

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.ink import Ink
from loomfolio.desk.table.label_book import LabelBook
from loomfolio.desk.table.labels import lay_labels
from loomfolio.desk.table.lines import LineStore, SheetLines
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import make_theme
from loomfolio.project import NameMark
from support.make_netlist import make_link
from support.make_table import LEFT, RIGHT, table_job, table_scene

SCALES = [0.5, 1.0, 2.0, 4.0, 10.0, 40.0]


@pytest.fixture(autouse=True)
def _application(qapp):
    """Fonts need one."""


def crowd():
    names = tuple(
        NameMark(
            id=f"mark-{20 + i}", sheet="sheet-1", at=MmPoint(14 + 4 * i, y), name=f"SIGNAL {i}"
        )
        for i, y in enumerate([LEFT.at("a").y, LEFT.at("c").y] * 4)
    )
    return table_scene(table_job(*names, links=(make_link(9, (LEFT, "b"), (RIGHT, "m")),)))


def labels(scene, scale, *, text_scale=1.0):
    canvas = Canvas.of(View(scale), 800, 600, 1.0, make_theme("light", scale=text_scale))
    lines = SheetLines(scene.netlist.conductors_on("sheet-1"), None)
    return lay_labels(scene, "sheet-1", lines, Ink(canvas)), lines


@pytest.mark.parametrize("text_scale", [1.0, 2.0])
@pytest.mark.parametrize("scale", SCALES)
def test_no_label_covers_another(scale, text_scale):
    placed, _ = labels(crowd(), scale, text_scale=text_scale)
    pairs = combinations([label.box for label in placed], 2)
    assert not any(a.intersects(b) for a, b in pairs)


def test_with_room_every_name_is_shown_and_covers_no_conductor():
    scene = table_scene()
    placed, lines = labels(scene, 10.0)
    name = next(label for label in placed if label.record == "mark-2")
    box = name.box
    assert not lines.crosses(
        MmBox(box.left() / 10, box.top() / 10, box.right() / 10, box.bottom() / 10)
    )


def test_zoomed_far_out_no_name_is_shown():
    assert labels(crowd(), 0.5)[0] == ()


def test_a_label_lies_near_its_place():
    placed, _ = labels(table_scene(), 10.0)
    name = next(label for label in placed if label.record == "mark-2")
    at = MmPoint(30, LEFT.at("a").y)
    assert name.box.adjusted(-20, -20, 20, 20).contains(at.x * 10, at.y * 10)


def test_a_link_without_its_other_end_says_so():
    link = make_link(9, (LEFT, "b"), (RIGHT, "m")).model_copy(update={"b": None})
    placed, _ = labels(table_scene(table_job(links=(link,))), 10.0)
    label = next(label for label in placed if label.record == link.id)
    assert (label.text, label.role) == ("A ?", "stop")


def test_pushing_the_table_lays_no_label_anew():
    scene, book = table_scene(), LabelBook(LineStore())
    laid = scene.layout.get("sheet-1")
    canvas = Canvas.of(View(10.0), 800, 600, 1.0, make_theme("light"))
    pushed = Canvas.of(View(10.0, left_mm=-5.0), 800, 600, 1.0, make_theme("light"))
    ink = Ink(canvas)
    before = list(book.on(laid, canvas, scene, ink))
    after = list(book.on(laid, pushed, scene, ink))
    assert [label for label, _ in after] == [label for label, _ in before]
    assert [box.left() - 50 for _, box in after] == [box.left() for _, box in before]


def test_the_label_under_a_px_is_found():
    scene, book = table_scene(), LabelBook(LineStore())
    canvas = Canvas.of(View(10.0), 800, 600, 1.0, make_theme("light"))
    laid = scene.layout.get("sheet-1")
    name = next(
        box for label, box in book.on(laid, canvas, scene, Ink(canvas)) if label.record == "mark-2"
    )
    assert book.under(name.center(), canvas, scene) == ("mark-2",)
    assert book.under(name.topLeft() - name.bottomRight(), canvas, scene) == ()
