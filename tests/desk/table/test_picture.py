"""What is drawn on the sheets: forms of states, previews of gestures, titles. Judged by px of the picture."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.layout import SheetPlace, TablePoint
from loomfolio.desk.table.picture import Lit, TablePicture
from loomfolio.desk.table.pin_run import PinRun
from loomfolio.desk.table.preview import DrawnBox, DrawnLine, DrawnLink, Preview
from loomfolio.desk.table.scene import Release
from loomfolio.desk.table.selection import Selection
from loomfolio.desk.table.snapping import Grip
from loomfolio.desk.table.things import Thing
from loomfolio.desk.table.tiles import PaperTiles
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import make_theme
from loomfolio.nets import follow
from loomfolio.project import Anchor, ApartMark, Job, JoinMark, ValidFor, Vehicle
from support.make_table import BODY, LEFT, RIGHT, net_at, page_of, table_job, table_scene

WIDTH, HEIGHT = 900, 500
VIEW = View(8.0, left_mm=-4.0, top_mm=-8.0)
ON_UPPER = MmPoint(40, LEFT.at("a").y)
pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def tiles(qtbot):
    held = PaperTiles()
    yield held
    held.shut_down()


@pytest.fixture
def draw(qtbot, tiles):
    """Paint a scene; returns the picture as int (H, W, 3) and the canvas."""

    def make(scene, lit=None, view=VIEW):
        canvas = Canvas.of(view, WIDTH, HEIGHT, 1.0, make_theme("light"))
        tiles.show(scene.project.sheets, page_of)
        picture = TablePicture(tiles)

        def paint():
            target = canvas.blank()
            with QPainter(target) as painter:
                picture.paint(painter, canvas, scene, lit or Lit(), is_moving=False)
            return target

        paint()
        qtbot.waitUntil(lambda: tiles.is_idle)
        picture.forget_pages()
        image = paint().toImage().convertToFormat(QImage.Format.Format_RGB888)
        rows = np.frombuffer(image.constBits(), np.uint8).reshape(HEIGHT, image.bytesPerLine())
        return rows[:, : 3 * WIDTH].reshape(HEIGHT, WIDTH, 3).astype(int), canvas

    return make


def px(canvas, at, sheet="sheet-1", scene=None):
    laid = (scene or table_scene()).layout.get(sheet)
    spot = canvas.px(laid, at).toPoint()
    return spot.x(), spot.y()


def patch(picture, x, y, half=3):
    return picture[max(y - half, 0) : y + half + 1, max(x - half, 0) : x + half + 1]


def blueness(picture, x, y, half=3):
    """The largest lead of blue over red near a px: our ink against black print and white paper."""
    part = patch(picture, x, y, half)
    return int((part[..., 2] - part[..., 0]).max())


def changed_at(before, after, x, y, half=3):
    return bool((patch(before, x, y, half) != patch(after, x, y, half)).any())


def test_at_rest_the_print_keeps_its_strength_under_the_quiet_line(draw):
    picture, canvas = draw(table_scene())
    x, y = px(canvas, MmPoint(48, LEFT.at("a").y))
    across = picture[y - 6 : y + 7, x].sum(axis=1)
    assert across.min() < 200  # the ink of 4 px still shows beside our line of one


def test_a_selected_net_that_is_not_released_is_hollow(draw):
    scene = table_scene()
    net = net_at(scene, "sheet-1", ON_UPPER)
    picture, canvas = draw(scene, Lit(selected=Selection(net)))
    x, y = px(canvas, MmPoint(48, LEFT.at("a").y))
    assert picture[y, x].min() > 180  # between the rails there is paper
    assert blueness(picture, x, y, 6) > 80


def test_a_selected_net_that_is_released_is_a_solid_double_line(draw):
    scene = table_scene()
    net = net_at(scene, "sheet-1", ON_UPPER)
    scene.release = {net: Release(True, 0)}
    picture, canvas = draw(scene, Lit(selected=Selection(net)))
    x, y = px(canvas, MmPoint(48, LEFT.at("a").y))
    column = picture[y - 8 : y + 9, x].sum(axis=1)
    dark = column < 400
    edges = np.diff(dark.astype(int))
    assert (edges == 1).sum() == 2  # two rails, each of more than one px
    assert dark.sum() >= 4


def test_the_pins_of_the_net_pointed_at_are_squares(draw):
    scene = table_scene()
    thing = Thing("conductor", "sheet-1", ON_UPPER, net_at(scene, "sheet-1", ON_UPPER))
    before, canvas = draw(scene)
    after, _ = draw(scene, Lit(hovered=thing, pointer=QPointF(500, 400)))
    x, y = px(canvas, BODY.pins[0].at)
    assert changed_at(before, after, x, y)
    other = px(canvas, BODY.pins[1].at)
    assert not changed_at(before, after, *other)


def test_answers_of_the_person_show_their_forms(draw):
    blank, canvas = draw(table_scene())
    for mark in (
        JoinMark(id="mark-9", sheet="sheet-1", at=LEFT.at("u")),
        ApartMark(id="mark-9", sheet="sheet-1", at=LEFT.at("u")),
    ):
        picture, _ = draw(table_scene(table_job(mark)))
        assert changed_at(blank, picture, *px(canvas, LEFT.at("u")), half=8)


def test_a_doubt_stands_out_until_it_is_answered(draw):
    view = View(8.0, left_mm=146.0, top_mm=-8.0)
    doubt = MmPoint(RIGHT.at("r").x, RIGHT.at("p").y)
    doubtful, canvas = draw(table_scene(), view=view)
    answer = ApartMark(id="mark-9", sheet="sheet-2", at=doubt)
    answered, _ = draw(table_scene(table_job(answer)), view=view)
    x, y = px(canvas, doubt, "sheet-2")
    orange = patch(doubtful, x, y, 9)
    assert (orange[..., 0] - orange[..., 2]).max() > 100
    calm = patch(answered, x, y, 9)
    assert (calm[..., 0] - calm[..., 2]).max() < 60


# ------------------------------------------------------------------ previews


def preview_of(draw, preview, **lit):
    scene = table_scene()
    before, canvas = draw(scene)
    after, _ = draw(scene, Lit(preview=preview, **lit))
    return before, after, canvas


def test_a_box_being_drawn_shows_its_edge_and_its_pins(draw):
    box = MmBox(45, 18, 62, 36)
    crossings = (MmPoint(45, 22.5), MmPoint(45, 32.5))
    _, after, canvas = preview_of(draw, Preview(box=DrawnBox("sheet-1", box, crossings)))
    assert blueness(after, *px(canvas, MmPoint(45, 27))) > 80
    assert blueness(after, *px(canvas, crossings[1])) > 80


def test_a_line_being_drawn_shows_every_corner(draw):
    points = (MmPoint(60, 14), MmPoint(80, 14), MmPoint(80, 30))
    _, after, canvas = preview_of(draw, Preview(line=DrawnLine("sheet-1", points)))
    for at in (*points, MmPoint(70, 14), MmPoint(80, 22)):
        assert blueness(after, *px(canvas, at), half=4) > 80


def test_what_the_pointer_holds_on_to_is_ringed_and_said(draw):
    grip = Grip(SheetPlace("sheet-1", LEFT.at("u")), "end of a conductor")
    before, after, canvas = preview_of(draw, Preview(grip=grip))
    x, y = px(canvas, LEFT.at("u"))
    assert changed_at(before, after, x + 7, y)
    assert changed_at(before, after, x + 40, y - 18, half=6)


def test_a_free_pointer_is_not_ringed(draw):
    grip = Grip(SheetPlace("sheet-1", LEFT.at("u")), "free")
    before, after, _ = preview_of(draw, Preview(grip=grip))
    assert (before == after).all()


def test_a_link_being_drawn_leads_from_its_start_to_the_pointer(draw):
    link = DrawnLink(SheetPlace("sheet-1", LEFT.at("b")), TablePoint(100, 50))
    before, after, canvas = preview_of(draw, Preview(link=link))
    end = canvas.point(TablePoint(100, 50)).toPoint()
    assert changed_at(before, after, end.x(), end.y(), half=7)
    assert (before != after).any(axis=(1, 2)).sum() > 100


def test_each_candidate_of_a_question_carries_its_number(draw):
    places = (SheetPlace("sheet-1", MmPoint(40, 2.5)), SheetPlace("sheet-1", MmPoint(40, 7.5)))
    scene = table_scene()
    numbers = tuple(scene.netlist.snap("sheet-1", place.at).conductor for place in places)
    preview = Preview(lit=places, lit_conductors=numbers)
    _, after, canvas = preview_of(draw, preview)
    for place in places:
        part = patch(after, *px(canvas, place.at), half=9)
        assert (part[..., 0] - part[..., 2]).max() > 100
    beside = patch(after, *px(canvas, MmPoint(25, 7.5)), half=3)
    assert (beside[..., 0] - beside[..., 2]).max() > 100


def test_a_lifted_sheet_shows_where_it_would_lie(draw):
    before, after, canvas = preview_of(draw, Preview(sheet_at=("sheet-1", MmPoint(10, 10))))
    edge = canvas.point(TablePoint(10, 30)).toPoint()
    assert changed_at(before, after, edge.x(), edge.y())


def test_while_pins_are_numbered_the_next_one_is_ringed(draw):
    box = MmBox(45, 18, 62, 36)
    run = PinRun.over(box, (MmPoint(45, 22.5), MmPoint(45, 32.5))).typed("1")
    scene = table_scene()
    first, canvas = draw(scene, Lit(run=("sheet-1", run)))
    second, _ = draw(scene, Lit(run=("sheet-1", run.moved(1))))
    for at in run.places:
        x, y = px(canvas, at)
        assert changed_at(first, second, x - 9, y, half=2)


# ------------------------------------------------------------------ ways and titles


def test_a_followed_way_carries_chevrons_in_the_direction_walked(draw):
    scene = table_scene()
    ways = follow(scene.netlist, BODY.key(BODY.pins[0]))
    picture, canvas = draw(scene, Lit(ways=ways))
    y = px(canvas, ON_UPPER)[1]
    start, end = px(canvas, MmPoint(12, 0))[0], px(canvas, MmPoint(50, 0))[0]
    beside = picture[y - 6, start:end].sum(axis=1) < 400
    assert 0 < beside.sum() < 30  # chevrons reach out of the line, the line does not


def test_a_flash_rings_its_place(draw):
    scene = table_scene()
    before, canvas = draw(scene)
    after, _ = draw(scene, Lit(flash=(Anchor(sheet="sheet-1", at=LEFT.at("u")), 0.5)))
    x, y = px(canvas, LEFT.at("u"))
    assert changed_at(before, after, x + 21, y)


def test_a_sheet_for_another_vehicle_says_so_in_yellow_above_it(draw):
    project = table_job(job=Job(vehicle=Vehicle(year=2023)))
    older = project.sheets[0].model_copy(update={"valid_for": ValidFor(year_to=2021)})
    project = project.model_copy(update={"sheets": (older, project.sheets[1])})
    picture, canvas = draw(table_scene(project))
    above = picture[: px(canvas, MmPoint(0, 0))[1] - 1]
    yellow = (above[..., 0] > 200) & (above[..., 2] < 80)
    assert yellow.sum() > 500
    plain, _ = draw(table_scene())
    above = plain[: px(canvas, MmPoint(0, 0))[1] - 1]
    assert not ((above[..., 0] > 200) & (above[..., 2] < 80)).any()
