"""Each demo job at the desk, without the shell: from the door in the menu to the gap list, by mouse and keys.

The person opens a demo as it is shipped, half way, boxes and numbers what is left, links the last arrows, looks
at the vehicle cavity by cavity, and reads the gaps in their ledger. What they read is held to the list that was
written by hand before any code that finds gaps was run.
"""

import sys

import pytest

from loomfolio.basics import demo_projects_path

sys.path.insert(0, str(demo_projects_path()))

import draw_orchard_tractor as tractor
import draw_parcel_van as van
from drawing.wiring import arrow_pairs
from orchard_tractor.survey import STATIONS as TRACTOR_STATIONS
from parcel_van.survey import STATIONS as VAN_STATIONS
from PySide6.QtCore import Qt

from loomfolio.project import Project, Session
from support import demo_sheets as sheets
from support.demo_hand import DemoHand, SurveyHand
from support.make_desk import Answers


@pytest.fixture
def open_demo(qtbot, tmp_path, monkeypatch):
    """Open the window on an empty project and go through the door to a demo."""
    from loomfolio.desk.settings import Settings
    from loomfolio.desk.window import DeskWindow

    monkeypatch.setattr("loomfolio.desk.files.projects_home", lambda: tmp_path / "home")
    opened = []

    def make(title):
        settings = Settings(tmp_path / "desk.ini")
        settings.moves = False
        settings.words = False
        session = Session.create(tmp_path / "empty", Project())
        answers = Answers(one_of=f"{title}: from the beginning")
        window = DeskWindow(session, settings, asker=answers)
        opened.append(window)
        window.resize(1500, 1000)
        window.show()
        qtbot.waitExposed(window)
        window.book.by_id["demo"].trigger()
        qtbot.waitUntil(lambda: not window.work.standing, timeout=600_000)
        return window

    yield make
    for window in opened:
        window.close()
        window.deleteLater()


def gaps_read_in_the_ledger(window):
    view = window.frame.ledger.view
    return tuple(view.lines.record(view.lines.index(row, 0)).gap for row in view.all_rows())


def survey(qtbot, window, stations):
    def run(dialog):
        dialog.show()
        qtbot.waitExposed(dialog)
        SurveyHand(qtbot, dialog, stations).look_at_all()
        dialog.close()
        return False

    window.vehicle.run = run
    window.book.by_id["survey"].trigger()


@pytest.mark.parametrize(
    ("demo", "stations", "title"),
    [
        pytest.param(van, VAN_STATIONS, "13-pin trailer socket for a parcel van", id="van"),
        pytest.param(
            tractor, TRACTOR_STATIONS, "DC charging inlet for an orchard tractor", id="tractor"
        ),
    ],
)
def test_the_gaps_read_at_the_desk_are_those_of_the_list_by_hand(
    qtbot, open_demo, demo, stations, title
):
    window = open_demo(title)
    counts = {stage: button.count for stage, button in window.frame.rail.buttons.items()}
    assert all(
        counts[stage] < 30 for stage in ("sheets", "names", "pins", "leads", "gaps", "doubts")
    )
    hand = DemoHand(qtbot, window, demo)
    hand.box_what_is_left()
    hand.link_what_is_left(arrow_pairs(demo.SHEETS))
    survey(qtbot, window, stations)

    qtbot.keyClick(window, Qt.Key.Key_5, Qt.KeyboardModifier.AltModifier)
    gaps = gaps_read_in_the_ledger(window)
    name = demo.TRUTH.name.replace("_truth", "_gaps")
    by_hand = sheets.gaps_by_hand(demo.TRUTH.with_name(name))
    assert sheets.gap_differences(window.workbench.project, by_hand, gaps) == ([], [])
