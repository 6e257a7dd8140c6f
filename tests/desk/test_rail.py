"""The rail: every stage that has something behind it, with the count of what stands open."""

from itertools import pairwise

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.rail import Rail
from loomfolio.desk.stages import STAGES, stage
from loomfolio.desk.theme import make_theme


@pytest.fixture
def rail(qtbot):
    shown = Rail(make_theme("light"))
    qtbot.addWidget(shown)
    shown.resize(76, 700)
    shown.show()
    return shown


def test_no_stage_without_a_ledger_is_shown(rail):
    assert (
        list(rail.buttons)
        == [s.id for s in STAGES]
        == ["sheets", "names", "pins", "leads", "gaps", "work", "bench", "proof", "doubts"]
    )


@pytest.mark.parametrize("name", [s.id for s in STAGES])
def test_a_stage_is_picked_by_mouse_and_by_key(qtbot, rail, name):
    button = rail.buttons[name]
    with qtbot.waitSignal(rail.picked) as told:
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert told.args == [name]
    with qtbot.waitSignal(rail.picked) as told:
        qtbot.keyClick(button, Qt.Key.Key_Space)
    assert told.args == [name]


def test_counts_are_told_to_eye_and_ear(rail):
    rail.show_counts({"names": 6, "bench": 0})
    assert rail.buttons["names"].count == 6
    assert rail.buttons["names"].accessibleName() == "Names, 6 still open"
    assert rail.buttons["bench"].accessibleName() == "Bench, nothing open"
    assert "Alt+2" in rail.buttons["names"].toolTip()


def test_a_count_is_drawn_and_none_is_not(rail):
    button = rail.buttons["names"]
    empty = button.grab().toImage()
    rail.show_counts({"names": 6})
    six = button.grab().toImage()
    rail.show_counts({"names": 7})
    seven = button.grab().toImage()
    rail.show_counts({})
    assert button.grab().toImage() == empty
    assert six not in (empty, seven)


@pytest.mark.parametrize("count", [9, 99, 999, 12345])
def test_a_count_of_any_length_stays_on_its_button(rail, count):
    rail.show_counts({"names": count})
    button = rail.buttons["names"]
    picture = button.grab().toImage()
    ground = make_theme("light").colour("doubt")
    inked = [
        x for x in range(picture.width()) for y in range(30) if picture.pixelColor(x, y) == ground
    ]
    assert inked
    assert max(inked) < picture.width() - 1
    assert min(inked) > 0


def test_the_open_stage_is_marked_and_no_other(rail):
    rail.show_stage("pins")
    assert [n for n, b in rail.buttons.items() if b.isChecked()] == ["pins"]
    rail.show_stage(None)
    assert not any(button.isChecked() for button in rail.buttons.values())


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_buttons_do_not_overlap_at_any_text_size(qtbot, rail, scale):
    rail.set_theme(make_theme("light", scale=scale))
    rail.resize(rail.width(), 1200)
    qtbot.waitUntil(lambda: rail.buttons["sheets"].width() > 60 * scale)
    boxes = sorted((b.geometry().top(), b.geometry().bottom()) for b in rail.buttons.values())
    assert all(one[1] < other[0] for one, other in pairwise(boxes))


def test_each_stage_says_what_to_do_while_it_is_empty():
    assert all(s.empty.endswith(".") for s in STAGES)
    assert stage("pins").empty.startswith("No pin yet: drag a box")
