"""What is printed is confirmed instead of typed: numbers and names of a body, colours, words to find."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.basics import EditError, MmBox, MmPoint, Resolution
from loomfolio.desk.derived import derive_all
from loomfolio.desk.finder_entries import best_matches, entries_of
from loomfolio.desk.table.body_editor import BodyEditor
from loomfolio.desk.table.part_book import PartBook
from loomfolio.desk.table.preview import BodyDraft
from loomfolio.desk.taking_printed import take_printed_colours
from loomfolio.desk.theme import make_theme
from loomfolio.nets import Memory
from loomfolio.project import LeadMark
from loomfolio.reading import PrintedBody, Text
from support.make_desk import FRONT, readings, small_job

BOX = MmBox(10, 10, 30, 50)
PLACES = (MmPoint(30, 20), MmPoint(30, 30), MmPoint(30, 40))


@pytest.fixture
def editor(qtbot):
    from PySide6.QtWidgets import QWidget

    table = QWidget()
    qtbot.addWidget(table)
    table.resize(600, 500)
    shown = BodyEditor(make_theme("light"), table)
    shown.printed_by = table
    table.show()
    return shown


def open_on(editor, printed):
    draft = BodyDraft("sheet-1", BOX, PLACES)
    editor.open(draft, PartBook(small_job()), None, printed)


def test_one_key_takes_all_that_is_printed(qtbot, editor):
    open_on(editor, PrintedBody("A27", "C2", ("1", "2", "3")))
    with qtbot.waitSignal(editor.typed) as told:
        qtbot.keyClick(editor.part, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    text = told.args[1]

    assert (text.part, text.connector) == ("A27", "C2")
    assert [(pin.pin, pin.known.how) for pin in text.pins] == [
        ("1", "printed"),
        ("2", "printed"),
        ("3", "printed"),
    ]


def test_what_is_typed_over_a_proposal_is_stated(qtbot, editor):
    open_on(editor, PrintedBody("A27", "", ("1", "", "3")))
    assert editor.run.current == 1  # the first one that nobody knows
    editor.go_to_pin(0)
    editor.pin.setText("7")
    editor.go_to_pin(1)
    editor.pin.setText("2")
    with qtbot.waitSignal(editor.typed) as told:
        qtbot.keyClick(editor.pin, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)

    assert [(pin.pin, pin.known.how) for pin in told.args[1].pins] == [
        ("7", "stated"),
        ("2", "stated"),
        ("3", "printed"),
    ]


def test_without_print_the_fields_are_empty(editor):
    open_on(editor, PrintedBody())

    assert editor.part.text() == editor.connector.text() == ""
    assert editor.run.texts == ("", "", "")


# ------------------------------------------------------------------------------------- whole sheets


def with_words(*words):
    """The small job, with words printed at places of the front sheet: `(text, name of a place)`."""
    seen = readings()
    resolution = Resolution(FRONT.sheet.x_dpi, FRONT.sheet.y_dpi)
    texts = []
    for text, place in words:
        at = resolution.to_px(FRONT.at(place))
        texts.append(
            Text(text=text, box=(at.x - 14, at.y - 22, at.x + 14, at.y - 2), confidence=0.99)
        )
    seen["sheet-1"] = seen["sheet-1"].model_copy(update={"texts": tuple(texts)})
    return derive_all(0, small_job(), seen, fit=None, memory=Memory())


def test_printed_colours_are_noted_in_one_step_and_known_as_printed():
    state = with_words(("GN/YE", "a"))
    step = take_printed_colours(state)
    fresh = [
        m for m in step.project.marks if isinstance(m, LeadMark) and m not in state.project.marks
    ]

    assert [(mark.colour.text, mark.known.how) for mark in fresh] == [("GN/YE", "printed")]


def test_colours_that_are_noted_are_not_noted_again():
    state = with_words(("GN/YE", "a"))
    again = derive_all(
        0, take_printed_colours(state).project, state.readings, fit=None, memory=Memory()
    )
    with pytest.raises(EditError, match="not noted already"):
        take_printed_colours(again)


def test_every_printed_word_is_found_while_one_types():
    entries = entries_of(with_words(("WIPER", "b"), ("HORN", "c")))
    (found,) = [one for one in best_matches(entries, "wip") if one.kind == "word"]

    assert found.title == "WIPER"
    assert found.target.sheet == "sheet-1"
