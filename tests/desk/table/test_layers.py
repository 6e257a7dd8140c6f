"""A shifted layer is the same picture as one painted anew, px by px, at every device ratio."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter, QPixmap

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.layers import KeptLayer
from loomfolio.desk.table.layout import TablePoint
from loomfolio.desk.table.picture import Lit, TablePicture
from loomfolio.desk.table.tiles import PaperTiles
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import make_theme
from loomfolio.project import ApartMark, JoinMark
from support.make_netlist import make_link
from support.make_table import LEFT, RIGHT, page_of, table_job, table_scene

WIDTH, HEIGHT = 320, 240
MOVES = [(7, 0), (-9, 0), (0, 5), (0, -11), (13, -6), (-40, 60), (500, 0)]
STRAY_STEPS = 24
"""A glyph or an edge between two px may be rounded differently by the last bit of a float."""
pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def tiles(qtbot):
    held = PaperTiles()
    yield held
    held.shut_down()


def canvas_at(view, ratio):
    return Canvas.of(view, WIDTH, HEIGHT, ratio, make_theme("light"))


def pixels(pixmap):
    image = pixmap.toImage().convertToFormat(QImage.Format.Format_RGB32)
    rows = np.frombuffer(image.constBits(), np.uint8)
    return rows.reshape(image.height(), image.bytesPerLine())[:, : image.width() * 4].copy()


def shown(picture, scene, canvas):
    target = canvas.blank()
    with QPainter(target) as painter:
        picture.paint(painter, canvas, scene, Lit(), is_moving=False)
    return pixels(target)


def full_scene():
    marks = (
        JoinMark(id="mark-8", sheet="sheet-1", at=LEFT.at("u")),
        ApartMark(id="mark-9", sheet="sheet-2", at=RIGHT.at("n")),
    )
    return table_scene(table_job(*marks, links=(make_link(7, (LEFT, "b"), (RIGHT, "m")),)))


@pytest.mark.parametrize("ratio", [1.0, 1.25, 1.5, 2.0])
@pytest.mark.parametrize(("dx", "dy"), MOVES)
def test_a_pushed_table_looks_as_if_painted_anew(qtbot, tiles, dx, dy, ratio):
    scene, view = full_scene(), View(3.0, left_mm=20.3, top_mm=-4.7)
    tiles.show(scene.project.sheets, page_of)
    kept = TablePicture(tiles)
    with qtbot.waitSignals([tiles.changed, tiles.changed]):
        shown(kept, scene, canvas_at(View(1.0), ratio))
    shown(kept, scene, canvas_at(view, ratio))
    pushed = canvas_at(view.panned(dx, dy), ratio)
    shifted = shown(kept, scene, pushed)
    anew = shown(TablePicture(tiles), scene, pushed)
    difference = np.abs(shifted.astype(int) - anew.astype(int))
    assert (difference > STRAY_STEPS).mean() < 0.001


@pytest.fixture
def painted():
    """The scales at which a layer was painted anew."""
    return []


@pytest.fixture
def layer(painted):
    return KeptLayer(lambda painter, canvas: painted.append(canvas.view.px_per_mm))


def draw(layer, scale, content, *, is_moving):
    target = QPixmap(WIDTH, HEIGHT)
    with QPainter(target) as painter:
        layer.draw(painter, canvas_at(View(scale), 1.0), content, is_moving=is_moving)


def test_while_a_move_runs_a_slow_layer_is_shown_scaled(layer, painted):
    draw(layer, 1.0, "same", is_moving=False)
    layer.took_s = 1.0
    draw(layer, 2.0, "same", is_moving=True)
    assert painted == [1.0]


def test_when_the_move_has_ended_it_is_painted_anew(layer, painted):
    draw(layer, 1.0, "same", is_moving=False)
    layer.took_s = 1.0
    draw(layer, 2.0, "same", is_moving=True)
    draw(layer, 2.0, "same", is_moving=False)
    assert painted == [1.0, 2.0]


def test_a_quick_layer_is_painted_anew_also_while_a_move_runs(layer, painted):
    draw(layer, 1.0, "same", is_moving=False)
    layer.took_s = 0.001
    draw(layer, 2.0, "same", is_moving=True)
    assert painted == [1.0, 2.0]


def test_other_content_is_painted_anew_also_while_a_move_runs(layer, painted):
    draw(layer, 1.0, "one", is_moving=False)
    layer.took_s = 1.0
    draw(layer, 1.0, "other", is_moving=True)
    assert painted == [1.0, 1.0]


def test_an_unmoved_layer_is_not_painted_again(layer, painted):
    draw(layer, 1.0, "same", is_moving=False)
    draw(layer, 1.0, "same", is_moving=False)
    assert painted == [1.0]


def test_a_forgotten_layer_is_painted_again(layer, painted):
    draw(layer, 1.0, "same", is_moving=False)
    layer.forget()
    draw(layer, 1.0, "same", is_moving=False)
    assert painted == [1.0, 1.0]


def test_a_canvas_holds_its_view_to_whole_device_px():
    canvas = canvas_at(View(3.7, left_mm=10.123, top_mm=-3.456), 1.5)
    corner = canvas.point(TablePoint(0, 0)) * 1.5
    assert corner == QPointF(round(corner.x()), round(corner.y()))
