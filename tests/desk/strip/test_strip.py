"""The strip as a person works it: pieces are buttons, ways can be chosen, one button confirms."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.following import Following
from loomfolio.desk.strip.piece_button import PieceButton
from loomfolio.desk.strip.strip import PathStrip
from loomfolio.desk.theme import make_theme
from loomfolio.nets import follow
from support.make_desk import derived, pin, small_job


def following(state, key):
    return Following(key, follow(state.netlist, key))


@pytest.fixture
def state():
    return derived(small_job())


@pytest.fixture
def strip(qtbot, state):
    shown = PathStrip(make_theme("light"))
    qtbot.addWidget(shown)
    shown.resize(1200, 140)
    shown.show()
    shown.show_following(following(state, pin("TCU", "1", "C1")), "TCU C1:1", state.rows)
    return shown


def buttons(strip):
    shown = [b for b in strip.findChildren(PieceButton) if b.isVisibleTo(strip)]
    return sorted(shown, key=lambda button: button.x())


def test_every_step_is_a_button_in_its_order(strip):
    labels = [button.piece.label for button in buttons(strip)]
    assert labels == [piece.label for piece in strip.pieces]
    assert labels[0] == "TCU C1:1"


def test_a_clicked_piece_is_told(qtbot, strip):
    with qtbot.waitSignal(strip.step_chosen) as told:
        qtbot.mouseClick(buttons(strip)[1], Qt.MouseButton.LeftButton)
    assert told.args == [1]


def test_a_piece_can_be_chosen_with_the_keyboard_alone(qtbot, strip):
    button = buttons(strip)[2]
    button.setFocus()
    with qtbot.waitSignal(strip.step_chosen) as told:
        qtbot.keyClick(button, Qt.Key.Key_Space)
    assert told.args == [2]


def test_the_piece_looked_at_is_marked(strip, state):
    followed = following(state, pin("TCU", "1", "C1")).at_step(2)
    strip.show_following(followed, "TCU C1:1", state.rows)
    assert [button.isChecked() for button in buttons(strip)].index(True) == 2


def test_several_ways_can_be_chosen(qtbot, strip):
    ways = strip.findChild(ChoiceBox)
    assert ways.isVisibleTo(strip)
    assert ways.itemText(0).startswith(f"Way 1 of {ways.count()}")
    with qtbot.waitSignal(strip.way_chosen) as told:
        ways.setFocus()
        qtbot.keyClick(ways, Qt.Key.Key_Down)
    assert told.args == [1]


def test_a_single_way_needs_no_choice(strip, state):
    strip.show_following(following(state, pin("TCU", "2", "C1")), "TCU C1:2", state.rows)
    assert not strip.findChild(ChoiceBox).isVisibleTo(strip)


def test_a_pin_that_goes_nowhere_says_so(strip, state):
    strip.show_following(Following(pin("TCU", "1", "C1"), ()), "TCU C1:1", state.rows)
    assert buttons(strip) == []
    words = [label.text() for label in strip.findChildren(type(strip._open))]
    assert "goes nowhere on these sheets" in words


def test_confirming_is_offered_while_something_is_open(qtbot, strip):
    assert strip._confirm.isEnabled()
    with qtbot.waitSignal(strip.confirm_asked):
        qtbot.mouseClick(strip._confirm, Qt.MouseButton.LeftButton)


def test_pieces_that_did_not_change_stay_the_same_buttons(strip, state):
    before = buttons(strip)
    strip.show_following(following(state, pin("TCU", "1", "C1")), "TCU C1:1", state.rows)
    assert buttons(strip) == before


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("name", ["light", "dark"])
def test_words_fit_their_piece_at_every_size(strip, scale, name):
    strip.set_theme(make_theme(name, scale=scale))
    for button in buttons(strip):
        assert button.width() >= button.sizeHint().width()
        assert button.height() >= button.sizeHint().height()
    assert strip._area.height() >= max(button.height() for button in buttons(strip))


def test_a_piece_tells_a_screen_reader_what_it_is(strip):
    assert buttons(strip)[0].accessibleName().startswith("pin TCU C1:1")


def test_pieces_are_drawn_differently_for_each_relation(strip):
    """Joined, passes and loads differ as forms, without any colour."""
    pictures = set()
    for relation in ("joined", "passes", "loads"):
        piece = strip.pieces[1]
        shown = type(piece)(**{**_fields(piece), "relation": relation})
        button = PieceButton(shown, make_theme("light"), strip, is_last=False)
        picture = button.grab().toImage().convertToFormat(_grey())
        pictures.add(bytes(picture.constBits()))
    assert len(pictures) == 3


def _fields(piece):
    return {name: getattr(piece, name) for name in type(piece).__dataclass_fields__}


def _grey():
    from PySide6.QtGui import QImage

    return QImage.Format.Format_Grayscale8
