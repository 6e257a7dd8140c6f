"""The bars under the head and the line at the foot: one sentence at a time, work with its progress."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from loomfolio.desk.notices import Notices
from loomfolio.desk.status import StatusLine
from loomfolio.desk.theme import make_theme
from loomfolio.desk.work import Standing


@pytest.fixture
def notices(qtbot):
    host = QWidget()
    qtbot.addWidget(host)
    shown = Notices(make_theme("light"), host)
    host.show()
    yield shown
    host.close()


@pytest.fixture
def status(qtbot):
    shown = StatusLine(make_theme("light"))
    qtbot.addWidget(shown)
    shown.show()
    return shown


def test_nothing_is_said_at_first(notices):
    assert not any(bar.isVisible() for bar in notices._bars)
    assert not notices.isVisible()


def test_a_sentence_replaces_the_one_before(notices):
    notices.tell("One.")
    notices.tell("Two.")
    assert notices.note.sentence == "Two."
    assert notices.note.isVisible()


def test_a_refusal_has_its_own_bar(notices):
    notices.tell("It is saved.")
    notices.tell("This cannot be.", "stop")
    assert notices.stop.sentence == "This cannot be."
    assert notices.note.sentence == "It is saved."


def test_a_bar_is_put_away_by_its_cross(qtbot, notices):
    notices.tell("One.")
    with qtbot.waitSignal(notices.note.changed):
        qtbot.mouseClick(notices.note._close, Qt.MouseButton.LeftButton)
    assert not notices.note.isVisible()


def test_cautions_have_no_cross(notices):
    notices.show_cautions(["Keep off.", "Wait."])
    assert notices.cautions.isVisible()
    assert not notices.cautions._close.isVisibleTo(notices.cautions)
    notices.show_cautions([])
    assert not notices.cautions.isVisible()


def test_what_was_said_is_settled(notices):
    notices.tell("One.")
    notices.tell("Two.", "stop")
    notices.settle()
    assert not notices.note.isVisible()
    assert not notices.stop.isVisible()
    assert not notices.isVisible()  # no room is taken while nothing is said


def test_work_is_shown_with_what_waits(status):
    status.show_work([Standing("a", "Reading Front", 0.25), Standing("b", "Reading Rear", 0.0)])
    assert status.work == "Reading Front, 1 waiting"
    assert status._bar.value() == 250
    status.show_work([])
    assert status.work == ""


def test_work_can_be_cancelled(qtbot, status):
    status.show_work([Standing("a", "Reading Front", 0.25)])
    with qtbot.waitSignal(status.cancelled):
        qtbot.mouseClick(status._cancel, Qt.MouseButton.LeftButton)


def test_the_last_step_stands_at_the_foot(status):
    status.show_done("Name net E7")
    assert status.done == "Name net E7"
    status.hint("Draw the missing line")
    assert status._hint.text() == "Draw the missing line"


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_bars_grow_with_the_text(notices, status, scale):
    theme = make_theme("light", scale=scale)
    notices.set_theme(theme)
    status.set_theme(theme)
    assert status.height() == round(32 * scale)
