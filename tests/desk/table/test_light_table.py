"""The light table as a person uses it: real mouse and keys on the real widget."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QInputMethodEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QMenu

from loomfolio.basics import FileUnreadableError, MmBox, MmPoint
from loomfolio.desk.table import (
    Answer,
    BodyText,
    ChangeBody,
    DrawLine,
    MakeBody,
    MakeLink,
    MoveSheet,
    NameNet,
    NumberPins,
    Remove,
)
from loomfolio.desk.table.layout import TablePoint
from loomfolio.desk.table.view import View
from loomfolio.nets import connector_map, follow
from loomfolio.project import Anchor, BodyPin, LineMark, Project
from support.make_netlist import make_link
from support.make_table import (
    BODY,
    LEFT,
    RIGHT,
    net_at,
    page_of,
    table_job,
    table_netlist,
    table_scene,
)

LEFT_BUTTON, RIGHT_BUTTON = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton
MIDDLE_BUTTON = Qt.MouseButton.MiddleButton
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
PLAIN = Qt.KeyboardModifier.NoModifier
ON_UPPER = MmPoint(40, LEFT.at("a").y)
ON_LOWER = MmPoint(40, LEFT.at("c").y)
CROSSING = MmPoint(LEFT.at("j").x, LEFT.at("e").y)
BLANK = LEFT.at("u")
# Qt's offscreen platform says this of every list or menu that opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)", extend=True)


def px(table, at, sheet="sheet-1"):
    return table.canvas().px(table.scene.layout.get(sheet), at).toPoint()


def drag(qtbot, table, start, end, *, button=LEFT_BUTTON, modifiers=PLAIN, drop=True):
    qtbot.mousePress(table, button, modifiers, start)
    for share in (0.3, 0.7, 1.0):
        qtbot.mouseMove(table, start + (end - start) * share)
    if drop:
        qtbot.mouseRelease(table, button, modifiers, end)


def click(qtbot, table, at, sheet="sheet-1"):
    qtbot.mouseClick(table, LEFT_BUTTON, PLAIN, px(table, at, sheet))


def told_by(signal):
    """What a signal tells from now on, one tuple of arguments each."""
    heard = []
    signal.connect(lambda *args: heard.append(args))
    return heard


def show(table, project):
    netlist = table_netlist(project)
    table.show_document(project, netlist, connector_map(netlist), page_of)


def type_into(qtbot, field, text, then=Qt.Key.Key_Return):
    qtbot.waitUntil(field.hasFocus)
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, then)


@pytest.fixture
def editors(table):
    return table._editors


@pytest.fixture
def near(table):
    """The table zoomed to where its first sheet is easy to point at."""
    table.centre_on(Anchor(sheet="sheet-1", at=MmPoint(45, 20)), 8.0)
    return table


# ------------------------------------------------------------------ pointing


def test_pointing_at_a_conductor_tells_its_net_and_the_place(qtbot, near):
    nets, places = told_by(near.net_hovered), told_by(near.place_hovered)
    qtbot.mouseMove(near, px(near, ON_UPPER))
    assert nets == [(net_at(near.scene, "sheet-1", ON_UPPER),)]
    sheet, at = places[-1]
    assert sheet == "sheet-1"
    assert at.distance_mm(ON_UPPER) < 0.2


def test_the_net_pointed_at_is_lit_on_every_sheet(qtbot, open_table):
    link = make_link(9, (LEFT, "s"), (RIGHT, "m"))
    table = open_table(table_job(links=(link,)))
    other = MmPoint(20, RIGHT.at("m").y)
    spot = px(table, other, "sheet-2")
    before = table.grab().toImage().pixelColor(spot)
    qtbot.mouseMove(table, px(table, MmPoint(LEFT.at("s").x + 8, LEFT.at("s").y)))
    after = table.grab().toImage().pixelColor(spot)
    assert after.blue() - after.red() > 80 > before.blue() - before.red()


def test_off_the_sheets_nothing_is_pointed_at(qtbot, near):
    qtbot.mouseMove(near, px(near, ON_UPPER))
    nets, places = told_by(near.net_hovered), told_by(near.place_hovered)
    qtbot.mouseMove(near, px(near, MmPoint(-12, 20)))
    assert (nets, places) == ([(None,)], [("", None)])


def test_a_click_selects_the_net_and_tells_it(qtbot, near):
    nets, things = told_by(near.net_selected), told_by(near.thing_selected)
    click(qtbot, near, ON_UPPER)
    assert nets == [(net_at(near.scene, "sheet-1", ON_UPPER),)]
    assert [thing.kind for (thing,) in things] == ["conductor"]


def test_what_the_ledger_selects_is_not_told_back(qtbot, near):
    with qtbot.assertNotEmitted(near.net_selected):
        near.select_net(net_at(near.scene, "sheet-1", ON_UPPER))
    assert near._hand.selected.net is not None


def test_a_click_on_the_bare_table_selects_nothing(qtbot, near):
    click(qtbot, near, ON_UPPER)
    with qtbot.waitSignal(near.net_selected) as told:
        click(qtbot, near, MmPoint(-12, 20))
    assert told.args == [None]


# ------------------------------------------------------------------ names


def test_click_and_type_names_the_net(qtbot, near, intents, editors):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, "B")
    type_into(qtbot, editors.name, "RAKE")
    assert len(intents) == 1
    assert (intents[0].sheet, intents[0].name, intents[0].mark) == ("sheet-1", "BRAKE", None)
    assert intents[0].at.distance_mm(ON_LOWER) < 0.2
    qtbot.waitUntil(near.hasFocus)


def test_the_name_that_stands_there_is_changed(qtbot, near, intents, editors):
    click(qtbot, near, ON_UPPER)
    qtbot.keyClick(near, Qt.Key.Key_F2)
    assert editors.name.text() == "SUPPLY"
    type_into(qtbot, editors.name, "SUPPLY 30")
    assert [(i.name, i.mark) for i in intents] == [("SUPPLY 30", "mark-2")]


def test_a_click_on_a_printed_name_label_selects_that_mark(qtbot, near):
    near.grab()
    canvas = near.canvas()
    found = [
        (x, y)
        for x in range(0, near.width(), 4)
        for y in range(0, near.height(), 4)
        if near._picture.book.under(QPointF(x, y), canvas, near.scene) == ("mark-2",)
    ]
    qtbot.mouseClick(near, LEFT_BUTTON, PLAIN, QPoint(*found[len(found) // 2]))
    assert near._hand.selected.thing.record == "mark-2"


@pytest.mark.parametrize("text", ["X", "SUPPLY"])
def test_escape_while_naming_leaves_no_trace(qtbot, near, intents, editors, text):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, text[0])
    qtbot.waitUntil(editors.name.hasFocus)
    qtbot.keyClicks(editors.name, text[1:])
    editors.name.hide_list()
    qtbot.keyClick(editors.name, Qt.Key.Key_Escape)
    assert intents == []
    assert not editors.name.isVisible()


def test_a_press_on_the_table_leaves_the_name_as_it_was(qtbot, near, intents, editors):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, "X")
    click(qtbot, near, BLANK)
    assert intents == []
    assert not editors.is_open


@pytest.mark.parametrize("text", ["", "SUPPLY"], ids=["empty", "the same"])
def test_a_name_that_changes_nothing_is_no_edit(qtbot, near, intents, editors, text):
    click(qtbot, near, ON_UPPER)
    qtbot.keyClick(near, Qt.Key.Key_Return)
    editors.name.setText(text)
    qtbot.keyClick(editors.name, Qt.Key.Key_Return)
    assert intents == []


def test_known_names_are_offered_but_never_filled_in_by_themselves(qtbot, near, intents, editors):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, "S")
    qtbot.waitUntil(editors.name.hasFocus)
    qtbot.keyClicks(editors.name, "UP")
    assert editors.name.completer().currentCompletion() == "SUPPLY"
    qtbot.keyClick(editors.name, Qt.Key.Key_Return)
    assert [intent.name for intent in intents] == ["SUP"]


def test_a_composed_character_begins_a_name_too(qtbot, near, editors):
    click(qtbot, near, ON_LOWER)
    composed = QInputMethodEvent()
    composed.setCommitString("Ü")
    QApplication.sendEvent(near, composed)
    assert editors.name.text() == "Ü"


def test_letters_of_a_name_are_not_stolen_by_shortcuts(qtbot, near):
    key = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_N, PLAIN, "n")
    key.ignore()
    QApplication.sendEvent(near, key)
    assert not key.isAccepted()
    click(qtbot, near, ON_LOWER)
    again = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_N, PLAIN, "n")
    again.ignore()
    QApplication.sendEvent(near, again)
    assert again.isAccepted()


def test_the_editor_stays_with_its_place_while_the_view_moves(qtbot, near, editors):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, "X")
    before = editors.name.pos()
    near.go_to(near.view.panned(60, 30))
    assert editors.name.pos() - before == QPoint(60, 30)


# ------------------------------------------------------------------ bodies

BOX = (MmPoint(62, 28), MmPoint(42, 36))
"""Round the right end of the conductor k-l, whose one crossing is on the left edge."""


def test_a_box_round_a_part_becomes_a_body_with_its_pins(qtbot, near, intents, editors):
    drag(qtbot, near, px(near, BOX[0]), px(near, BOX[1]))
    body = editors.body
    type_into(qtbot, body.part, "X90")
    qtbot.waitUntil(body.kind.hasFocus)
    body.kind.setCurrentText("socket")
    qtbot.keyClick(body.kind, Qt.Key.Key_Return)
    type_into(qtbot, body.connector, "C2", Qt.Key.Key_Tab)
    type_into(qtbot, body.half, "", Qt.Key.Key_Tab)
    type_into(qtbot, body.pin, "7")
    made = intents[0]
    assert isinstance(made, MakeBody)
    assert made.sheet == "sheet-1"
    assert made.box == pytest.approx(MmBox(42, 28, 62, 36), abs=0.2)
    pins = made.text.pins
    assert made.text == BodyText("X90", "socket", "C2", "", pins)
    assert [(round(pin.at.x), pin.at.y, pin.pin) for pin in pins] == [(42, LEFT.at("k").y, "7")]
    assert not body.isVisible()


def test_a_part_that_exists_has_its_kind_already(qtbot, near, intents, editors):
    drag(qtbot, near, px(near, BOX[0]), px(near, BOX[1]))
    type_into(qtbot, editors.body.part, "TCU")
    assert not editors.body.kind.isVisible()
    qtbot.keyClick(editors.body.connector, Qt.Key.Key_Return, CTRL)
    assert intents[0].text.kind is None


def test_numbers_are_typed_in_a_run_from_pin_to_pin(qtbot, near, intents, editors):
    drag(qtbot, near, px(near, MmPoint(24, 12)), px(near, MmPoint(36, 38)))
    body = editors.body
    count = len(body.run.places)
    assert count == 5
    type_into(qtbot, body.part, "X1")
    body.pin.setFocus()
    type_into(qtbot, body.pin, "1..3")
    assert body.run.texts == ("1", "2", "3", "", "")
    type_into(qtbot, body.pin, "")
    type_into(qtbot, body.pin, "A5")
    assert [pin.pin for pin in intents[0].text.pins] == ["1", "2", "3", "A5"]


def test_shift_tab_goes_back_a_pin_and_then_to_the_field_before(qtbot, near, editors):
    drag(qtbot, near, px(near, MmPoint(24, 12)), px(near, MmPoint(36, 38)))
    body = editors.body
    body.pin.setFocus()
    type_into(qtbot, body.pin, "1")
    qtbot.keyClick(body.pin, Qt.Key.Key_Backtab)
    assert (body.run.current, body.pin.text()) == (0, "1")
    qtbot.keyClick(body.pin, Qt.Key.Key_Backtab)
    qtbot.waitUntil(body.half.hasFocus)


def test_a_run_that_does_not_fit_says_so_and_stays(qtbot, near, intents, editors):
    drag(qtbot, near, px(near, BOX[0]), px(near, BOX[1]))
    type_into(qtbot, editors.body.part, "TCU")
    editors.body.pin.setFocus()
    type_into(qtbot, editors.body.pin, "1..8")
    assert editors.body.note.text() == "1..8 is 8 numbers, but 1 pin is left from here."
    assert intents == []
    assert editors.body.isVisible()


def test_a_body_without_a_part_stays_open_and_says_why(qtbot, near, intents, editors):
    drag(qtbot, near, px(near, BOX[0]), px(near, BOX[1]))
    qtbot.keyClick(editors.body.part, Qt.Key.Key_Return, CTRL)
    assert editors.body.note.text() == "Type the name of the part first."
    assert intents == []


def test_escape_while_typing_a_body_leaves_no_trace(qtbot, near, intents, editors):
    drag(qtbot, near, px(near, BOX[0]), px(near, BOX[1]))
    type_into(qtbot, editors.body.part, "X90")
    qtbot.keyClick(editors.body.connector, Qt.Key.Key_Escape)
    assert intents == []
    assert editors.run is None
    assert not editors.body.isVisible()


def test_a_press_on_a_pin_numbers_that_one_next(qtbot, near, editors):
    drag(qtbot, near, px(near, MmPoint(24, 12)), px(near, MmPoint(36, 38)))
    last = editors.body.run.places[-1]
    click(qtbot, near, last)
    assert editors.body.run.current == len(editors.body.run.places) - 1


def test_a_press_beside_a_body_does_not_lose_it(qtbot, near, editors):
    drag(qtbot, near, px(near, BOX[0]), px(near, BOX[1]))
    type_into(qtbot, editors.body.part, "X90")
    click(qtbot, near, BLANK)
    assert editors.body.part.text() == "X90"
    assert editors.body.isVisible()


def test_a_double_click_on_a_body_changes_it_and_keeps_what_is_known(qtbot, near, intents, editors):
    middle = px(near, MmPoint(BODY.box.centre.x - 3, BODY.box.centre.y))
    qtbot.mouseDClick(near, LEFT_BUTTON, PLAIN, middle)
    assert (editors.body.part.text(), editors.body.connector.text()) == ("TCU", "C1")
    qtbot.keyClick(editors.body.part, Qt.Key.Key_Return, CTRL)
    assert intents == [ChangeBody("mark-1", BodyText("TCU", None, "C1", "", BODY.pins))]


def test_a_changed_number_is_known_as_stated(qtbot, near, intents, editors):
    near.edit_body("mark-1")
    editors.body.pin.setFocus()
    editors.body.go_to_pin(0)
    editors.body.pin.setText("9")
    qtbot.keyClick(editors.body.pin, Qt.Key.Key_Return, CTRL)
    assert intents[0].text.pins[0] == BodyPin(at=BODY.pins[0].at, pin="9")
    assert intents[0].text.pins[1] == BODY.pins[1]


def test_the_order_of_the_run_can_be_turned(qtbot, near, editors):
    drag(qtbot, near, px(near, MmPoint(24, 12)), px(near, MmPoint(36, 38)))
    before = editors.body.run.places
    qtbot.mouseClick(editors.body.order, LEFT_BUTTON)
    assert editors.body.run.order == "by side"
    assert editors.body.run.places != before


# ------------------------------------------------------------------ joined, apart, which one


def test_a_click_on_a_crossing_and_one_key_answer_it(qtbot, near, intents, editors):
    click(qtbot, near, CROSSING)
    assert editors.card.isVisible()
    assert editors.card.accessibleName().startswith("Two conductors cross here; taken as apart.")
    qtbot.keyClicks(near, "j")
    assert intents == [Answer("sheet-1", CROSSING, "joined")]
    assert not editors.card.isVisible()


def test_the_question_never_lies_over_its_place(qtbot, near, editors):
    click(qtbot, near, CROSSING)
    assert not editors.card.geometry().contains(px(near, CROSSING))


def test_an_answer_can_be_clicked(qtbot, near, intents, editors):
    click(qtbot, near, CROSSING)
    _, box, _ = editors.card._boxes()[1]
    qtbot.mouseClick(editors.card, LEFT_BUTTON, PLAIN, box.center().toPoint())
    assert intents == [Answer("sheet-1", CROSSING, "apart")]


def test_leaving_can_be_clicked_too(qtbot, near, intents, editors):
    click(qtbot, near, CROSSING)
    _, box, _ = editors.card._boxes()[-1]
    qtbot.mouseClick(editors.card, LEFT_BUTTON, PLAIN, box.center().toPoint())
    assert intents == []
    assert not editors.card.isVisible()


def test_between_two_conductors_the_table_asks_instead_of_guessing(qtbot, table, editors):
    table.go_to(View.holding(2.0, TablePoint(30, 5), 400, 300))
    click(qtbot, table, MmPoint(30, (ON_UPPER.y + ON_LOWER.y) / 2))
    assert editors.card.question.text == "Which one?"
    qtbot.keyClicks(table, "1")
    assert table._hand.selected.net == net_at(table.scene, "sheet-1", ON_UPPER)


# ------------------------------------------------------------------ lines and links


def test_a_missing_line_is_dragged_with_shift(qtbot, near, intents):
    start, end = px(near, LEFT.at("b")), px(near, LEFT.at("s"))
    drag(qtbot, near, start + QPoint(2, 1), end - QPoint(3, 0), modifiers=SHIFT)
    assert intents == [DrawLine("sheet-1", (LEFT.at("b"), LEFT.at("s")))]


def test_the_hint_tells_how_a_line_is_ended(qtbot, near):
    with qtbot.waitSignal(near.hint_changed) as told:
        qtbot.keyClicks(near, "l")
    assert "Enter ends it" in told.args[0]
    with qtbot.waitSignal(near.hint_changed) as told:
        qtbot.keyClick(near, Qt.Key.Key_Escape)
    assert told.args == [""]


def test_a_line_with_a_corner_is_clicked_and_ended_by_enter(qtbot, near, intents):
    near.begin_line()
    for at in (LEFT.at("b"), MmPoint(65, LEFT.at("b").y), MmPoint(65, 14)):
        click(qtbot, near, at)
    qtbot.keyClick(near, Qt.Key.Key_Return)
    points = intents[0].points
    assert points[0] == LEFT.at("b")
    assert points[1].y == LEFT.at("b").y
    assert points[2].x == points[1].x


def test_two_ends_on_two_sheets_are_linked_by_a_drag(qtbot, table, intents):
    qtbot.keyClicks(table, "k")
    drag(qtbot, table, px(table, LEFT.at("t")), px(table, RIGHT.at("m"), "sheet-2"))
    a, b = Anchor(sheet="sheet-1", at=LEFT.at("t")), Anchor(sheet="sheet-2", at=RIGHT.at("m"))
    assert intents == [MakeLink(a, b)]


def test_a_link_begun_in_a_menu_ends_with_a_click(qtbot, table, intents):
    start = Anchor(sheet="sheet-1", at=LEFT.at("t"))
    table.begin_link(start)
    click(qtbot, table, RIGHT.at("m"), "sheet-2")
    assert [intent.a for intent in intents] == [start]


def test_cancel_comes_back_to_rest(qtbot, near, intents, editors):
    near.begin_line()
    click(qtbot, near, LEFT.at("b"))
    near.cancel()
    qtbot.keyClick(near, Qt.Key.Key_Return)
    assert intents == []


def test_a_document_that_changes_does_not_break_off_a_line(qtbot, near, intents):
    near.begin_line()
    click(qtbot, near, LEFT.at("b"))
    show(near, table_job())
    click(qtbot, near, LEFT.at("s"))
    qtbot.keyClick(near, Qt.Key.Key_Return)
    assert intents == [DrawLine("sheet-1", (LEFT.at("b"), LEFT.at("s")))]


# ------------------------------------------------------------------ marks and sheets


def test_delete_removes_the_selected_mark(qtbot, open_table):
    line = LineMark(id="mark-9", sheet="sheet-1", points=(MmPoint(60, 30), MmPoint(80, 30)))
    table = open_table(table_job(line))
    emitted = []
    table.intended.connect(emitted.append)
    click(qtbot, table, MmPoint(70, 30))
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    assert emitted == [Remove(("mark-9",))]


def test_delete_on_a_pin_takes_that_pin_only(qtbot, near, intents):
    click(qtbot, near, BODY.pins[0].at)
    qtbot.keyClick(near, Qt.Key.Key_Delete)
    assert intents == [NumberPins("mark-1", (BODY.pins[1],))]


def test_a_sheet_is_moved_by_its_title(qtbot, table, intents):
    title = px(table, MmPoint(20, 0)) - QPoint(0, 8)
    drag(qtbot, table, title, title + QPoint(80, 40))
    scale = table.view.px_per_mm
    assert isinstance(intents[0], MoveSheet)
    assert intents[0].table_at == pytest.approx((80 / scale, 40 / scale), abs=0.01)


# ------------------------------------------------------------------ the context menu


def open_menus():
    return [w for w in QApplication.topLevelWidgets() if isinstance(w, QMenu) and w.isVisible()]


def test_a_right_click_opens_the_menu_of_what_lies_there(qtbot, near):
    asked, done = [], []
    follow_pin = QAction("Follow", near)
    follow_pin.triggered.connect(lambda: done.append("followed"))

    def actions(about):
        asked.append(about)
        return [follow_pin, None]

    near.set_menu_source(actions)
    qtbot.mouseClick(near, RIGHT_BUTTON, PLAIN, px(near, BODY.pins[0].at))
    assert [thing.kind for thing in asked[0].things] == ["pin", "conductor", "body", "sheet"]
    menu = open_menus()[0]
    menu.actions()[0].trigger()
    menu.close()
    assert done == ["followed"]
    assert near._hand.selected.thing.kind == "pin"


def test_a_right_drag_pans_and_opens_no_menu(qtbot, near):
    asked = []
    near.set_menu_source(lambda about: asked.append(about) or [])
    before = px(near, ON_UPPER)
    drag(qtbot, near, QPoint(300, 300), QPoint(340, 320), button=RIGHT_BUTTON)
    assert asked == []
    assert px(near, ON_UPPER) - before == QPoint(40, 20)


# ------------------------------------------------------------------ pan and zoom


def wheel(table, at, notches, modifiers=PLAIN):
    event = QWheelEvent(
        QPointF(at),
        QPointF(table.mapToGlobal(at)),
        QPoint(),
        QPoint(0, round(120 * notches)),
        Qt.MouseButton.NoButton,
        modifiers,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(table, event)


@pytest.mark.parametrize("notches", [1, -1, 4, -6, 0.25])
def test_the_wheel_zooms_about_the_pointer(qtbot, near, notches):
    at = QPoint(333, 222)
    before, scale = near.view.to_table(333, 222), near.view.px_per_mm
    wheel(near, at, notches)
    assert near.view.to_table(333, 222) == pytest.approx(before, abs=1e-6)
    assert (near.view.px_per_mm > scale) == (notches > 0)


def test_shift_and_wheel_push_sideways(qtbot, near):
    before = px(near, ON_UPPER)
    wheel(near, QPoint(333, 222), 1, SHIFT)
    moved = px(near, ON_UPPER) - before
    assert moved.x() > 0
    assert moved.y() == 0


@pytest.mark.parametrize("button", [MIDDLE_BUTTON, RIGHT_BUTTON], ids=["middle", "right"])
def test_a_drag_with_another_button_pans(qtbot, near, intents, button):
    before = px(near, ON_UPPER)
    drag(qtbot, near, px(near, ON_UPPER), px(near, ON_UPPER) + QPoint(50, -30), button=button)
    assert px(near, ON_UPPER) - before == QPoint(50, -30)
    assert intents == []


def test_with_space_held_the_left_button_pans(qtbot, near, intents):
    before = px(near, BLANK)
    qtbot.keyPress(near, Qt.Key.Key_Space)
    drag(qtbot, near, before, before + QPoint(50, 40))
    qtbot.keyRelease(near, Qt.Key.Key_Space)
    assert px(near, BLANK) - before == QPoint(50, 40)
    drag(qtbot, near, px(near, BLANK), px(near, BLANK) + QPoint(-90, 60), drop=False)
    assert near._hand.preview.box is not None  # without Space it draws a body again
    qtbot.keyClick(near, Qt.Key.Key_Escape)


def test_a_drag_on_the_bare_table_pans(qtbot, near, intents):
    start = px(near, MmPoint(-12, 20))
    before = px(near, BLANK)
    drag(qtbot, near, start, start + QPoint(25, 35))
    assert px(near, BLANK) - before == QPoint(25, 35)
    assert intents == []


@pytest.mark.parametrize(
    ("key", "way"),
    [
        (Qt.Key.Key_Left, (1, 0)),
        (Qt.Key.Key_Right, (-1, 0)),
        (Qt.Key.Key_Up, (0, 1)),
        (Qt.Key.Key_Down, (0, -1)),
    ],
)
def test_arrows_pan(qtbot, near, key, way):
    before = px(near, BLANK)
    qtbot.keyClick(near, key)
    moved = px(near, BLANK) - before
    assert (moved.x(), moved.y()) == (way[0] * 96, way[1] * 96)


def test_page_keys_zoom_in_and_out(qtbot, near):
    scale = near.view.px_per_mm
    qtbot.keyClick(near, Qt.Key.Key_PageUp)
    assert near.view.px_per_mm == pytest.approx(1.5 * scale)
    qtbot.keyClick(near, Qt.Key.Key_PageDown)
    assert near.view.px_per_mm == pytest.approx(scale)


def test_ctrl_0_shows_all_sheets(qtbot, near):
    qtbot.keyClick(near, Qt.Key.Key_0, CTRL)
    window = near.canvas().window
    bounds = near.scene.layout.bounds
    assert window.holds(bounds.corner)
    assert window.holds(TablePoint(bounds.x1, bounds.y1))


def test_ctrl_9_shows_the_selected_net(qtbot, table):
    click(qtbot, table, ON_LOWER)
    qtbot.keyClick(table, Qt.Key.Key_9, CTRL)
    assert table.view.px_per_mm > 8
    assert table.canvas().window.holds(TablePoint(*LEFT.at("d")))


def test_f_shows_the_selected_mark(qtbot, table):
    click(qtbot, table, MmPoint(BODY.box.centre.x - 3, BODY.box.centre.y))
    qtbot.keyClick(table, Qt.Key.Key_F)
    window = table.canvas().window
    assert window.holds(TablePoint(BODY.box.x0, BODY.box.y0))
    assert window.width < 120


def test_with_a_net_selected_f_is_the_first_letter_of_its_name(qtbot, near, editors):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, "F")
    assert editors.name.text() == "F"


def test_moves_take_their_time_and_end_where_they_should(qtbot, near):
    near.set_moves_animated(True)
    target = near.view.zoomed(3, 400, 300)
    with qtbot.waitSignal(near.settled):
        near.go_to(target)
        assert near.view != target
    assert near.view == target


def test_moves_that_are_switched_off_jump(near):
    target = near.view.zoomed(3, 400, 300)
    near.go_to(target)
    assert near.view == target


# ------------------------------------------------------------------ what the frame asks


def test_the_first_document_is_fitted_and_later_ones_leave_the_view(qtbot, table):
    assert table.canvas().window.holds(TablePoint(150, 20))
    table.go_to(table.view.zoomed(2.5, 100, 100))
    before = table.view
    show(table, table_job(LineMark(id="mark-9", sheet="sheet-1", points=((1, 1), (9, 1)))))
    assert table.view == before


def test_centre_on_moves_to_a_place(table):
    at = Anchor(sheet="sheet-2", at=RIGHT.at("q"))
    table.centre_on(at, 10.0)
    assert table.view.px_per_mm == 10.0
    middle = QPoint(table.width() // 2, table.height() // 2)
    assert (px(table, RIGHT.at("q"), "sheet-2") - middle).manhattanLength() <= 2


def test_a_place_that_is_well_in_view_needs_no_move(near):
    before = near.view
    near.centre_on(Anchor(sheet="sheet-1", at=MmPoint(50, 25)))
    assert near.view == before
    near.centre_on(Anchor(sheet="sheet-2", at=RIGHT.at("q")))
    assert near.view != before


def test_a_place_on_a_sheet_that_is_gone_moves_nothing(near):
    before = near.view
    near.centre_on(Anchor(sheet="sheet-99", at=MmPoint(1, 1)), 20.0)
    assert near.view == before


def test_the_visible_pins_are_those_in_the_window(near):
    assert {placed.pin.pin for placed in near.visible_pins()} == {"1", "2"}
    near.centre_on(Anchor(sheet="sheet-2", at=RIGHT.at("q")), 10.0)
    assert near.visible_pins() == ()


def test_while_a_way_is_followed_all_else_fades(qtbot, near):
    beside = px(near, MmPoint(60 / 2, LEFT.at("e").y))
    on_way = px(near, ON_UPPER)
    before = near.grab().toImage()
    pin = BODY.key(BODY.pins[0])
    near.set_followed(follow(near.scene.netlist, pin))
    after = near.grab().toImage()
    assert after.pixelColor(beside).lightness() > 170 > before.pixelColor(beside).lightness()
    assert after.pixelColor(on_way) != before.pixelColor(on_way)
    near.set_followed(None)
    assert near.grab().toImage().pixelColor(beside) == before.pixelColor(beside)


def test_a_flash_draws_the_eye_and_goes(qtbot, near):
    quiet = near.grab().toImage()
    near.flash(Anchor(sheet="sheet-1", at=BLANK))
    assert near.grab().toImage() != quiet
    qtbot.waitUntil(lambda: near._flash.now is None)
    assert near.grab().toImage() == quiet


def test_a_page_that_cannot_be_read_is_told_with_its_sheet(qtbot, open_table):
    def missing(sheet):
        raise FileUnreadableError(Path("x.png"), "the file is missing", "bring it in again")

    table = open_table(Project())
    told = told_by(table.sheet_failed)
    project = table_job()
    table.show_document(project, table_netlist(project), (), missing)
    table.grab()
    qtbot.waitUntil(lambda: len(told) == 2)
    assert {sheet.id for sheet, _ in told} == {"sheet-1", "sheet-2"}
    assert told[0][1] == "x.png: the file is missing; bring it in again."


def test_an_empty_project_is_a_bare_table(qtbot, open_table):
    table = open_table(Project())
    table.fit_all()
    qtbot.mouseMove(table, QPoint(50, 50))
    assert table.grab().toImage().pixelColor(50, 50) == table.theme.colour("table")


def test_the_table_can_be_thrown_away_while_pages_load(qtbot, open_table):
    table = open_table()
    table.grab()
    table.shut_down()
    table.close()
    assert table_scene().layout.sheets


def test_the_selection_survives_an_edit(qtbot, near):
    click(qtbot, near, ON_LOWER)
    with qtbot.assertNotEmitted(near.net_selected):
        show(near, table_job(LineMark(id="mark-9", sheet="sheet-1", points=((1, 1), (9, 1)))))
    assert near._hand.selected.net == net_at(near.scene, "sheet-1", ON_LOWER)


def test_a_named_net_is_emitted_as_one_frozen_intent(qtbot, near, intents, editors):
    click(qtbot, near, ON_LOWER)
    qtbot.keyClicks(near, "Z")
    type_into(qtbot, editors.name, "")
    assert isinstance(intents[0], NameNet)
    assert hash(intents[0]) == hash(
        NameNet(*(getattr(intents[0], f) for f in intents[0].__slots__))
    )
