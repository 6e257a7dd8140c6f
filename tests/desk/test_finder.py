"""Finding by typing: pins, parts, nets, sheets and actions."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from loomfolio.desk.finder import Finder
from loomfolio.desk.finder_entries import MOST_SHOWN, Entry, best_matches, entries_of
from loomfolio.desk.theme import make_theme
from support.make_desk import derived, pin


def titles(words, entries=None):
    return [entry.title for entry in best_matches(entries or entries_of(derived()), words)]


def test_everything_with_a_name_can_be_found():
    kinds = {entry.kind for entry in entries_of(derived())}
    assert kinds == {"pin", "net", "part", "sheet"}


def test_a_pin_is_found_by_its_words_in_any_order():
    assert titles("2 x90")[0] == "X90:2"


def test_what_begins_with_the_words_comes_first():
    entries = [
        Entry("net", "REAR X9", "", 1),
        Entry("part", "X9", "", "p"),
        Entry("net", "X90", "", 2),
    ]
    assert titles("x9", entries) == ["X9", "X90", "REAR X9"]


def test_pins_are_counted_as_a_person_does():
    entries = [Entry("pin", f"TCU:{n}", "", n) for n in (10, 2, 1)]
    assert titles("tcu", entries) == ["TCU:1", "TCU:2", "TCU:10"]


def test_a_net_is_found_by_the_hint_of_its_pins():
    assert "TCU C1:2" in titles("brake")


@pytest.mark.parametrize("words", ["", "   "])
def test_nothing_typed_finds_nothing(words):
    assert titles(words) == []


def test_no_more_is_shown_than_can_be_looked_over():
    entries = [Entry("net", f"N{n}", "", n) for n in range(500)]
    assert len(best_matches(entries, "n")) == MOST_SHOWN


@pytest.fixture
def finder(qtbot):
    host = QWidget()
    qtbot.addWidget(host)
    host.resize(900, 600)
    field = Finder(lambda: entries_of(derived()), make_theme("light"), host)
    host.show()
    qtbot.waitExposed(host)
    field.begin()
    yield field
    host.close()


def test_typing_brings_the_list_down(qtbot, finder):
    assert finder.shown == ()
    qtbot.keyClicks(finder, "x90")
    assert finder.shown[0].title == "X90"
    assert {entry.kind for entry in finder.shown} == {"part", "pin"}


def test_enter_takes_the_first(qtbot, finder):
    qtbot.keyClicks(finder, "x90:4")
    with qtbot.waitSignal(finder.chosen) as told:
        qtbot.keyClick(finder, Qt.Key.Key_Return)
    assert told.args[0].target == pin("X90", "4")
    assert finder.text() == ""
    assert finder.shown == ()


def test_arrows_choose_another_and_go_round(qtbot, finder):
    qtbot.keyClicks(finder, "tcu c1")
    found = finder.shown
    qtbot.keyClick(finder, Qt.Key.Key_Up)
    with qtbot.waitSignal(finder.chosen) as told:
        qtbot.keyClick(finder, Qt.Key.Key_Return)
    assert told.args[0] == found[-1]


def test_escape_puts_it_away(qtbot, finder):
    qtbot.keyClicks(finder, "tcu")
    with qtbot.waitSignal(finder.chosen) as told:
        qtbot.keyClick(finder, Qt.Key.Key_Escape)
    assert told.args == [None]
    assert finder.shown == ()


def test_a_found_thing_can_be_clicked(qtbot, finder):
    qtbot.keyClicks(finder, "brake")
    inner = finder._list._list
    place = inner.visualItemRect(inner.item(0)).center()
    with qtbot.waitSignal(finder.chosen) as told:
        qtbot.mouseClick(inner.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert told.args[0].title == "BRAKE"


def test_what_is_nowhere_is_said_and_enter_does_nothing(qtbot, finder):
    qtbot.keyClicks(finder, "zebra")
    assert finder._list._list.item(0).text() == "Nothing here is called that."
    with qtbot.assertNotEmitted(finder.chosen):
        qtbot.keyClick(finder, Qt.Key.Key_Return)


def test_the_list_hangs_below_the_field_inside_the_window(qtbot, finder):
    qtbot.keyClicks(finder, "tcu")
    assert finder._list.geometry().top() > finder.geometry().bottom()


def test_the_cross_empties_the_field(qtbot, finder):
    qtbot.keyClicks(finder, "tcu")
    finder._cross.trigger()
    assert finder.text() == ""
