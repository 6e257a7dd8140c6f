"""A long day at the desk: nothing grows, nothing is left behind, and the same stays fast to find."""

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt

from loomfolio.desk.stages import STAGES
from loomfolio.desk.table.intents import NameNet
from loomfolio.desk.table.pointing import MenuAsked
from loomfolio.desk.table.things import Thing
from support.make_desk import FRONT, pin

BRAKE = pin("TCU", "2", "C1")


def living(window):
    """How many objects of Qt hang on the window, once those that are due are gone."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return len(window.findChildren(QObject))


def confirm_and_undo(window):
    window.ways.follow(BRAKE)
    window.ways.confirm()
    window.steps.undo()
    window.ways.stop()


def walk_the_doubts(window):
    for _ in range(5):
        window.doubts.next()
    window.doubts.leave()


def look_through_the_ledgers(window):
    for stage in STAGES:
        window.looking.open_stage(stage.id)


def open_menus(window):
    thing = Thing("pin", "sheet-1", FRONT.at("e"), pin=pin("X90", "2"), body="mark-2")
    window.menu.actions_at(MenuAsked(None, (thing,)))
    window.menu.actions_at(MenuAsked(None, ()))


def change_the_look(window):
    window.looking.switch_theme()
    window.looking.switch_theme()


def find_things(window):
    window.frame.finder.begin()
    window.frame.finder.setText("x90")
    window.frame.finder.shut()


@pytest.mark.parametrize(
    "work",
    [
        confirm_and_undo,
        walk_the_doubts,
        look_through_the_ledgers,
        open_menus,
        change_the_look,
        find_things,
    ],
    ids=lambda work: work.__name__,
)
def test_doing_it_again_and_again_leaves_nothing_behind(window, work):
    for _ in range(3):
        work(window)
    before = living(window)
    for _ in range(10):
        work(window)
    assert living(window) == before


def test_forty_edits_are_forty_steps_back(qtbot, window):
    first = window.workbench.project
    for number in range(40):
        mark = next(m.id for m in window.workbench.project.marks if m.id == "mark-7")
        window.steps.intend(NameNet("sheet-1", FRONT.at("b"), f"N{number}", mark=mark))
    assert window.workbench.state.net_of(BRAKE).name == "N39"
    for _ in range(40):
        window.book.by_id["undo"].trigger()
    assert window.workbench.project == first
    assert not window.book.by_id["undo"].isEnabled()


def test_the_ledger_keeps_its_place_through_edits(qtbot, window):
    window.looking.open_stage("pins")
    view = window.frame.ledger.view
    view.sortByColumn(0, Qt.SortOrder.DescendingOrder)
    view.lead_to_key(BRAKE)
    for number in range(5):
        window.steps.intend(NameNet("sheet-1", FRONT.at("b"), f"N{number}", mark="mark-7"))
    assert [line.pin for line in view.chosen_lines()] == [BRAKE]
    assert view.chosen_lines()[0].net_name == "N4"


def test_the_view_of_the_table_is_left_alone_by_edits(qtbot, window):
    window.table.zoom_by(2.0)
    before = window.table.view
    window.steps.intend(NameNet("sheet-1", FRONT.at("b"), "STOP", mark="mark-7"))
    assert window.table.view == before
