"""The desk as a person uses it: keys and mouse on the real window."""

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QGuiApplication

from loomfolio.desk.ledgers.lines import LeadLine
from loomfolio.desk.table.pointing import MenuAsked
from loomfolio.desk.table.things import Thing
from loomfolio.project import HalfKey, JoinMark, NameMark, ProjectFolder, edits
from support.make_desk import FRONT, X90, Answers, draw_page, pin, scoped_job, small_job

BRAKE = pin("TCU", "2", "C1")


def press(qtbot, window, key, modifier=Qt.KeyboardModifier.NoModifier):
    """Press a key wherever the keyboard is."""
    target = QGuiApplication.focusObject() or window
    qtbot.keyClick(target, key, modifier)


def ctrl(qtbot, window, key):
    press(qtbot, window, key, Qt.KeyboardModifier.ControlModifier)


def line(window, is_wanted):
    view = window.frame.ledger.view
    return next(
        row for row in view.all_rows() if is_wanted(view.lines.record(view.lines.index(row, 0)))
    )


def click_row(qtbot, window, row, column=1):
    view = window.frame.ledger.view
    place = view.visualRect(view.lines.index(row, column)).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)


def px_on_table(window, place):
    """Where a place of a sheet is seen on the table."""
    laid = window.table.scene.layout.get(place.sheet)
    x, y = window.table.view.to_px(laid.to_table(place.at))
    return QPoint(round(x), round(y))


# --------------------------------------------------------------------------------- first sight


def test_the_window_opens_on_the_leads_with_the_table_ready(window):
    assert window.frame.ledger.stage == "leads"
    assert window.frame.rail.buttons["leads"].isChecked()
    assert not window.frame.strip.isVisible()
    assert window.table.hasFocus()


def test_the_rail_counts_what_is_open_in_scope(open_window):
    window = open_window(scoped_job())
    lines = [ln for ln in window.showing._lines["leads"] if ln.in_scope and ln.is_open]
    assert window.frame.rail.buttons["leads"].count == len(lines) > 0
    assert window.frame.ledger.scope.isChecked()


def test_without_a_scope_there_is_nothing_to_narrow(window):
    assert not window.frame.ledger.scope.isEnabled()
    assert not window.frame.ledger.scope.isChecked()


def test_an_empty_table_says_what_to_do(open_window):
    from loomfolio.project import Project

    window = open_window(Project())
    assert window.empty.isVisible()
    assert window.empty.geometry() == window.table.rect()


def test_cautions_stay_in_sight(open_window):
    job = small_job().job.model_copy(update={"cautions": ("Wait until the bus sleeps.",)})
    window = open_window(small_job(job=job))
    assert window.frame.notices.cautions.isVisible()
    assert window.frame.notices.cautions.sentence == "Wait until the bus sleeps."


def test_a_project_held_elsewhere_says_read_only_and_refuses_edits(qtbot, window, tmp_path):
    from loomfolio.project import Session

    other = Session.open(window.workbench.path)
    assert other.is_read_only
    other.close()
    holder = ProjectFolder.create(tmp_path / "held", small_job())
    window.files.open_project(tmp_path / "held")
    assert window.frame.notices.read_only.isVisible()
    assert window.frame.notices.read_only.sentence.startswith("Read only.")
    before = window.workbench.project
    window.steps.title_sheet("sheet-1", "Nose")
    assert window.workbench.project == before
    assert window.frame.notices.stop.isVisible()
    assert not window.book.by_id["add_sheets"].isEnabled()
    holder.close()


# ------------------------------------------------------------------------------------- stages


@pytest.mark.parametrize(
    ("key", "stage"),
    [
        (Qt.Key.Key_1, "sheets"),
        (Qt.Key.Key_2, "names"),
        (Qt.Key.Key_3, "pins"),
        (Qt.Key.Key_4, "leads"),
        (Qt.Key.Key_5, "gaps"),
        (Qt.Key.Key_6, "work"),
        (Qt.Key.Key_7, "bench"),
        (Qt.Key.Key_8, "proof"),
        (Qt.Key.Key_9, "doubts"),
    ],
)
def test_each_stage_has_its_key(qtbot, window, key, stage):
    press(qtbot, window, key, Qt.KeyboardModifier.AltModifier)
    assert window.frame.ledger.stage == stage
    assert window.frame.rail.buttons[stage].isChecked()


def test_a_stage_pressed_again_closes_the_ledger(qtbot, window):
    button = window.frame.rail.buttons["leads"]
    wide = window.table.width()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert not window.frame.ledger.isVisible()
    qtbot.waitUntil(lambda: window.table.width() > wide)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert window.frame.ledger.isVisible()


def test_the_ledger_opens_and_closes_by_key(qtbot, window):
    ctrl(qtbot, window, Qt.Key.Key_L)
    assert not window.frame.ledger.isVisible()
    ctrl(qtbot, window, Qt.Key.Key_L)
    assert window.frame.ledger.isVisible()


# ---------------------------------------------------------------------------------- both ways


def test_a_line_of_the_ledger_leads_the_table(qtbot, window):
    row = line(window, lambda ln: ln.row.a == BRAKE)
    click_row(qtbot, window, row)
    chosen = window.workbench.state.net_of(BRAKE).number
    assert window.table._hand.selected.net == chosen
    assert window.choosing.pin == BRAKE


def test_the_table_leads_the_ledger(qtbot, window):
    window.looking.open_stage("names")
    window.table.fit_all()
    place = window.workbench.state.places_of_pin(pin("X90", "2"))[0].anchor
    at = px_on_table(window, place) - QPoint(12, 0)
    qtbot.mouseMove(window.table, at)
    qtbot.mouseClick(window.table, Qt.MouseButton.LeftButton, pos=at)
    assert [ln.name for ln in window.frame.ledger.view.chosen_lines()] == ["BRAKE"]


def test_a_net_is_named_by_clicking_and_typing(qtbot, window):
    window.table.fit_all()
    place = window.workbench.state.places_of_pin(pin("X90", "1"))[0].anchor
    at = px_on_table(window, place) - QPoint(12, 0)
    qtbot.mouseMove(window.table, at)
    qtbot.mouseClick(window.table, Qt.MouseButton.LeftButton, pos=at)
    for key in "D30":
        press(qtbot, window, key)
    press(qtbot, window, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.workbench.state.net_of(pin("X90", "1")).name == "D30")
    assert window.frame.status.done == "Name net D30"


def test_a_name_typed_in_the_ledger_is_one_step_of_undo(qtbot, window):
    window.looking.open_stage("names")
    before = window.workbench.project
    net = window.workbench.state.net_of(pin("X90", "1")).number
    window.frame.ledger.view.lines.model.columns[0].edit(_net_line(window, net), "IGN")
    assert window.workbench.state.net_of(pin("X90", "1")).name == "IGN"
    ctrl(qtbot, window, Qt.Key.Key_Z)
    assert window.workbench.project == before


def _net_line(window, number):
    return next(ln for ln in window.showing._lines["names"] if ln.number == number)


# ---------------------------------------------------------------------------------- following


def follow(qtbot, window, key=BRAKE):
    window.looking.open_stage("pins")
    click_row(qtbot, window, line(window, lambda ln: ln.pin == key))
    press(qtbot, window, Qt.Key.Key_F)


def test_one_key_follows_the_chosen_pin(qtbot, window):
    follow(qtbot, window)
    assert window.frame.strip.isVisible()
    assert window.frame.strip.pieces[0].label == "TCU C1:2"


def test_one_key_per_piece_confirms_to_the_end(qtbot, window):
    follow(qtbot, window)
    for _ in range(window.ways.following.open_count):
        press(qtbot, window, Qt.Key.Key_C)
    assert window.ways.following.open_count == 0
    row = next(r for r in window.workbench.state.rows if BRAKE in (r.a, r.b))
    assert row.is_released


def test_the_space_bar_confirms_too(qtbot, window):
    follow(qtbot, window)
    window.table.setFocus()
    count = window.ways.following.open_count
    qtbot.keyClick(window.table, Qt.Key.Key_Space)
    assert window.ways.following.open_count == count - 1


def test_the_space_bar_belongs_to_a_button_that_has_the_keyboard(qtbot, window):
    follow(qtbot, window)
    count = window.ways.following.open_count
    button = window.frame.rail.buttons["sheets"]
    button.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert window.ways.following.open_count == count
    assert window.frame.ledger.stage == "sheets"


def test_a_field_that_is_typed_in_keeps_its_keys(qtbot, window):
    press(qtbot, window, Qt.Key.Key_D)
    asked = window.doubts.asked
    window.frame.ledger.filter.setFocus()
    for key in "d j a ":
        qtbot.keyClick(window.frame.ledger.filter, key)
    qtbot.keyClick(window.frame.ledger.filter, Qt.Key.Key_Return)
    assert window.frame.ledger.filter.text() == "d j a "
    assert window.doubts.asked == asked
    assert window.workbench.project == small_job()
    window.table.setFocus()
    press(qtbot, window, Qt.Key.Key_D)
    assert window.doubts.asked != asked


def test_following_stops_by_key_and_by_cross(qtbot, window):
    follow(qtbot, window)
    press(qtbot, window, Qt.Key.Key_Escape, Qt.KeyboardModifier.ShiftModifier)
    assert not window.frame.strip.isVisible()
    follow(qtbot, window)
    qtbot.mouseClick(window.frame.strip._close, Qt.MouseButton.LeftButton)
    assert not window.frame.strip.isVisible()


def test_ways_and_pieces_are_walked_by_keys(qtbot, window):
    follow(qtbot, window, pin("TCU", "1", "C1"))
    press(qtbot, window, Qt.Key.Key_W)
    assert window.ways.following.way_number == 1
    press(qtbot, window, Qt.Key.Key_N)
    at = window.ways.following.step_number
    press(qtbot, window, Qt.Key.Key_B)
    assert window.ways.following.step_number == at - 1


def test_undo_opens_what_was_confirmed_on_the_strip(qtbot, window):
    follow(qtbot, window)
    count = window.ways.following.open_count
    press(qtbot, window, Qt.Key.Key_C)
    ctrl(qtbot, window, Qt.Key.Key_Z)
    assert window.ways.following.open_count == count


def test_an_opened_lead_is_followed(qtbot, window):
    row = line(window, lambda ln: ln.row.a == BRAKE)
    window.frame.ledger.view.selectRow(row)
    window.frame.ledger.view.setFocus()
    press(qtbot, window, Qt.Key.Key_Return)
    assert window.ways.following.pin == BRAKE


def test_from_pin_to_pin_is_typed(open_window):
    window = open_window(answers=Answers(text=["TCU C2:7", "E3:1"]))
    window.book.by_id["follow_to"].trigger()
    assert window.ways.following.pin == pin("TCU", "7", "C2")
    assert window.ways.following.to == pin("E3", "1")


def test_a_pin_that_is_unknown_is_said_with_the_nearest(open_window):
    window = open_window(answers=Answers(text=["TCU C9:7", ""]))
    window.book.by_id["follow_to"].trigger()
    assert window.ways.following is None
    assert "There is no pin called 'TCU C9:7'" in window.frame.notices.stop.sentence


# ------------------------------------------------------------------------------------- doubts


def to_spot(qtbot, window):
    for _ in range(50):
        press(qtbot, window, Qt.Key.Key_D)
        if window.doubts.asked.can_join:
            return window.doubts.asked
    raise AssertionError("no doubt about lines")


def test_a_key_leads_from_doubt_to_doubt_and_asks_at_the_place(qtbot, window):
    press(qtbot, window, Qt.Key.Key_D)
    assert window.card.card.isVisible()
    first = window.card.card.question.text
    press(qtbot, window, Qt.Key.Key_D)
    assert window.card.card.question.text != first
    press(qtbot, window, Qt.Key.Key_Escape)
    assert not window.card.card.isVisible()


def test_a_doubt_is_answered_by_the_key_printed_in_it(qtbot, window):
    asked = to_spot(qtbot, window)
    press(qtbot, window, Qt.Key.Key_J)
    assert any(
        isinstance(m, JoinMark) and m.at == asked.spot.at for m in window.workbench.project.marks
    )


def test_enter_leaves_it_as_it_is(qtbot, window):
    to_spot(qtbot, window)
    count = len(window.workbench.state.open_findings)
    press(qtbot, window, Qt.Key.Key_Return)
    assert len(window.workbench.state.open_findings) < count


def test_the_question_stays_at_its_place_while_the_table_moves(qtbot, window):
    to_spot(qtbot, window)
    before = window.card.card.pos()
    window.table.zoom_by(1.5, QPointF(0, 0))
    qtbot.waitUntil(lambda: window.card.card.pos() != before)


def test_a_doubt_can_be_answered_by_the_mouse(qtbot, window):
    to_spot(qtbot, window)
    card = window.card.card
    box = next(box for choice, box, _ in card._boxes() if choice.key == "A")
    count = len(window.workbench.project.marks)
    qtbot.mouseClick(card, Qt.MouseButton.LeftButton, pos=box.center().toPoint())
    assert len(window.workbench.project.marks) == count + 1


# -------------------------------------------------------------------------------------- finding


def test_a_pin_is_found_by_typing_and_lit(qtbot, window):
    ctrl(qtbot, window, Qt.Key.Key_K)
    for key in "e3:1":
        press(qtbot, window, key)
    press(qtbot, window, Qt.Key.Key_Return)
    assert window.choosing.pin == pin("E3", "1")
    assert window.table._hand.selected.net == window.workbench.state.net_of(pin("E3", "1")).number


def test_an_action_is_found_by_typing_and_done(qtbot, window):
    ctrl(qtbot, window, Qt.Key.Key_K)
    for key in "dark or":
        press(qtbot, window, key)
    press(qtbot, window, Qt.Key.Key_Return)
    assert window.table.theme.is_dark


@pytest.mark.parametrize("name", ["x90", "rear", "brake"], ids=["part", "sheet", "net"])
def test_parts_sheets_and_nets_are_found(qtbot, window, name):
    ctrl(qtbot, window, Qt.Key.Key_K)
    for key in name:
        press(qtbot, window, key)
    press(qtbot, window, Qt.Key.Key_Return)
    assert window.frame.finder.text() == ""


def test_escape_gives_the_keyboard_back_to_the_table(qtbot, window):
    ctrl(qtbot, window, Qt.Key.Key_K)
    press(qtbot, window, "x")
    press(qtbot, window, Qt.Key.Key_Escape)
    assert window.table.hasFocus()


# --------------------------------------------------------------------------- dialogs and the job


def test_the_scope_is_set_through_its_dialog(window):
    def tick(dialog):
        from PySide6.QtCore import Qt

        for item in dialog.picker.items:
            if item.text().startswith("X90"):
                item.setCheckState(Qt.CheckState.Checked)
        dialog.go.click()
        return True

    window.job.run = tick
    window.book.by_id["scope"].trigger()
    assert window.workbench.project.job.scope == (HalfKey(part=X90.id),)
    assert window.frame.ledger.scope.isChecked()


def test_the_sheet_of_a_chosen_line_is_changed(qtbot, window):
    window.looking.open_stage("sheets")
    click_row(qtbot, window, 1)

    def rename(dialog):
        dialog.title.setText("Tail")
        dialog.go.click()
        return True

    window.job.run = rename
    window.book.by_id["edit_chosen"].trigger()
    assert window.workbench.project.sheet("sheet-2").title == "Tail"


def test_the_part_of_a_chosen_pin_is_changed(qtbot, window):
    window.looking.open_stage("pins")
    click_row(qtbot, window, line(window, lambda ln: ln.pin == pin("F5", "1")))
    seen = []
    window.job.run = lambda dialog: bool(seen.append(dialog._part.name))
    window.book.by_id["edit_chosen"].trigger()
    assert seen == ["F5"]


def test_a_part_is_asked_for_where_none_is_chosen(open_window):
    window = open_window(answers=Answers(one_of="X90"))
    seen = []
    window.job.run = lambda dialog: bool(seen.append(dialog._part.name))
    window.book.by_id["part"].trigger()
    assert seen == ["X90"]


def test_confirming_as_measured_is_asked_how(qtbot, window):
    follow(qtbot, window)

    def measured(dialog):
        dialog.how.setCurrentText("Measured")
        dialog.source.setText("meter 3")
        return True

    window.job.run = measured
    press(qtbot, window, Qt.Key.Key_C, Qt.KeyboardModifier.ShiftModifier)
    assert window.workbench.project.confirmations[-1].known.how == "measured"


def test_a_fit_is_chosen_and_named_in_the_head(open_window):
    project, _ = edits.add_fit(small_job(), name="with towing", options_with=("towing",))
    window = open_window(project, Answers(one_of=["with towing", "All that the sheets say"]))
    window.book.by_id["fit_choice"].trigger()
    assert "fit with towing" in window.frame.title.text()
    window.book.by_id["fit_choice"].trigger()
    assert "fit" not in window.frame.title.text()


def test_a_sheet_can_be_taken_off_and_comes_back(window):
    window.job.remove_sheet("sheet-2")
    assert [s.id for s in window.workbench.project.sheets] == ["sheet-1"]
    window.book.by_id["undo"].trigger()
    assert window.workbench.project == small_job()


def test_the_manual_opens_and_closes(qtbot, window):
    from loomfolio.desk.dialogs.manual import ManualDialog

    press(qtbot, window, Qt.Key.Key_F1)
    manual = window.findChild(ManualDialog)
    assert manual.isVisible()
    manual.close()


def test_the_log_is_not_there_before_the_first_fault(window):
    window.book.by_id["log"].trigger()
    assert "No fault was ever logged" in window.frame.notices.note.sentence


# ------------------------------------------------------------------------------- in and out


def drop(window, *paths):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    event = QDropEvent(
        QPointF(100, 100),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    window.dropEvent(event)


def test_dropped_pages_come_onto_the_table(qtbot, window, tmp_path, monkeypatch):
    monkeypatch.setattr(
        "loomfolio.desk.readers.read_sheet", lambda folder, sheet, bodies, **_: FRONT.reading
    )
    drop(window, draw_page(FRONT, tmp_path / "more.png"))
    qtbot.waitUntil(lambda: not window.work.standing, timeout=20_000)
    assert window.workbench.project.sheets[-1].title == "more"
    assert len(window.table.scene.layout.sheets) == 3


def test_copied_rows_are_ready_for_a_spreadsheet(qtbot, window):
    window.book.by_id["copy"].trigger()
    text = QGuiApplication.clipboard().text()
    rows = text.strip().split("\n")
    assert rows[0].split("\t")[:2] == ["From", "To"]
    assert len(rows) == len(window.workbench.state.rows) + 1
    assert "TCU C1:2\tX90:2" in text


def test_only_chosen_rows_are_copied_where_some_are_chosen(qtbot, window):
    from PySide6.QtCore import QItemSelectionModel

    view = window.frame.ledger.view
    flags = QItemSelectionModel.SelectionFlag
    for row in (0, 2):
        index = view.lines.index(row, 0)
        view.selectionModel().select(index, flags.Select | flags.Rows)
    window.book.by_id["copy"].trigger()
    assert len(QGuiApplication.clipboard().text().strip().split("\n")) == 3
    assert window.frame.status.done == "Copied 2 rows"


def test_closing_writes_the_project(open_window):
    window = open_window()
    window.steps.title_sheet("sheet-1", "Nose")
    path = window.workbench.path
    window.close()
    with ProjectFolder.open(path) as folder:
        assert folder.project.sheet("sheet-1").title == "Nose"
        assert folder.is_saved
        assert folder.notes == ()


# -------------------------------------------------------------------------------------- looks


def test_the_theme_switches_everywhere(qtbot, window):
    ctrl(qtbot, window, Qt.Key.Key_T)
    assert window.table.theme.is_dark
    assert window.settings.theme == "dark"
    ctrl(qtbot, window, Qt.Key.Key_T)
    assert not window.table.theme.is_dark


def test_the_paper_is_inverted_by_key(qtbot, window):
    ctrl(qtbot, window, Qt.Key.Key_I)
    assert window.table.theme.paper_colours.name == "dark"


def test_text_grows_to_twice_its_size_and_no_further(window):
    for _ in range(15):
        window.book.by_id["text_larger"].trigger()
    assert window.table.theme.scale == 2.0
    window.book.by_id["text_usual"].trigger()
    assert window.table.theme.scale == 1.0


def test_moves_can_be_switched_off(window):
    before = window.settings.moves
    window.book.by_id["moves"].trigger()
    assert window.settings.moves != before


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_nothing_is_cut_or_overlaps_at_any_text_size(qtbot, window, scale):
    window.settings.scale = scale
    window.looking.refresh()
    frame = window.frame
    parts = [frame.header, frame.rail, frame.status]
    for part in parts:
        assert part.height() >= part.minimumSizeHint().height() or part.height() > 0
    qtbot.waitUntil(lambda: frame.rail.geometry().right() < frame.split.geometry().left() + 1)
    assert frame.split.geometry().bottom() <= frame.status.geometry().top()
    assert frame.finder.geometry().right() <= frame.header.width()


# ------------------------------------------------------------------------------ the right button


def titles(window, asked):
    return [action.text() if action else "-" for action in window.menu.actions_at(asked)]


def test_the_menu_of_a_conductor_offers_to_follow_and_name_it(window):
    net = window.workbench.state.net_of(BRAKE).number
    thing = Thing("conductor", "sheet-1", FRONT.at("e"), net=net)
    offered = titles(window, MenuAsked(None, (thing,)))
    assert offered[:3] == ["Follow TCU C1:2", "Follow X90:2", "Name this net"]


def test_the_menu_of_a_pin_offers_its_box_and_part(window):
    thing = Thing("pin", "sheet-1", FRONT.at("e"), pin=pin("X90", "2"), body="mark-2")
    offered = titles(window, MenuAsked(None, (thing,)))
    assert "Follow X90:2" in offered
    assert "Change this box" in offered
    assert "Change its part…" in offered


def test_a_mark_is_removed_from_the_menu(window):
    thing = Thing("name", "sheet-1", FRONT.at("b"), record="mark-7")
    remove = next(
        a for a in window.menu.actions_at(MenuAsked(None, (thing,))) if a and a.text() == "Remove"
    )
    remove.trigger()
    assert not any(isinstance(m, NameMark) for m in window.workbench.project.marks)


def test_the_menu_of_bare_paper_speaks_of_the_sheet(window):
    from loomfolio.desk.table.layout import SheetPlace

    offered = titles(window, MenuAsked(SheetPlace("sheet-1", FRONT.at("a")), ()))
    assert offered[0] == "Link from here to another sheet"
    assert "About this sheet…" in offered
    assert "-" in offered


def test_the_menu_of_the_bare_table_still_finds_and_fits(window):
    assert titles(window, MenuAsked(None, ())) == ["Show all sheets", "Find"]


def test_following_from_the_menu(window):
    thing = Thing("pin", "sheet-1", FRONT.at("e"), pin=pin("X90", "2"), body="mark-2")
    window.menu.actions_at(MenuAsked(None, (thing,)))[0].trigger()
    assert window.ways.following.pin == pin("X90", "2")


def test_leads_of_the_ledger_are_leads(window):
    assert all(isinstance(ln, LeadLine) for ln in window.showing._lines["leads"])
