"""The one table of actions: every entry can be found, reached by keys, and done without the desk."""

import importlib
import inspect

import pytest
from PySide6.QtGui import QKeySequence

from loomfolio.cli import shell_parser
from loomfolio.desk.action_book import tip_of
from loomfolio.desk.actions import ACTIONS, MENUS, action
from loomfolio.desk.dialogs.manual import GESTURES, manual_html
from loomfolio.desk.icons import icon_names
from loomfolio.desk.theme import make_theme

# About the view, the walk, or the window: they leave the document alone and have no other door.
VIEW_ONLY = {
    *("quit", "copy", "fit", "zoom_in", "zoom_out", "ledger", "theme", "theme_system", "paper"),
    *("text_larger", "text_smaller", "text_usual", "moves", "find", "to_table"),
    *("stage_sheets", "stage_names", "stage_pins", "stage_leads", "stage_gaps", "fits_apart"),
    *("stage_work", "stage_bench", "stage_proof", "stage_doubts"),
    *("next_step", "previous_step", "next_way", "stop", "leave_doubts", "call_off"),
    *("manual", "log"),
}
ids = [a.id for a in ACTIONS]


def test_ids_are_unique():
    assert len(set(ids)) == len(ids)


def test_no_key_means_two_things():
    keys = [key for a in ACTIONS for key in a.keys]
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("a", ACTIONS, ids=ids)
def test_an_action_is_complete(a):
    assert a.menu in MENUS
    assert a.title[0].isupper()
    assert not a.icon or a.icon in icon_names()
    assert all(not QKeySequence(key).isEmpty() for key in a.keys)


@pytest.mark.parametrize("a", [a for a in ACTIONS if a.id not in VIEW_ONLY], ids=lambda a: a.id)
def test_what_concerns_the_document_can_be_done_by_a_script(a):
    assert a.library, f"{a.id} names no library function"
    module, name = _split(a.library)
    target = importlib.import_module(module)
    for part in name.split("."):
        target = getattr(target, part)
    assert callable(target)
    assert inspect.getdoc(target)


@pytest.mark.parametrize("a", [a for a in ACTIONS if a.shell], ids=lambda a: a.id)
def test_its_shell_command_is_one_that_the_shell_takes(a):
    words = a.shell.split()
    assert words[0] == "loomfolio"
    parsed = shell_parser().parse_args(words[1:])
    assert parsed.command.name == words[1]


@pytest.mark.parametrize("a", [a for a in ACTIONS if a.id in VIEW_ONLY], ids=lambda a: a.id)
def test_what_only_concerns_the_view_claims_no_other_door(a):
    assert not a.library
    assert not a.shell


def _split(path):
    """The module and what is in it: the longest part that can be imported is the module."""
    parts = path.split(".")
    for length in range(len(parts) - 1, 0, -1):
        try:
            importlib.import_module(".".join(parts[:length]))
        except ModuleNotFoundError:
            continue
        return ".".join(parts[:length]), ".".join(parts[length:])
    raise AssertionError(path)


def test_the_manual_holds_every_action_and_every_gesture(qapp):
    page = manual_html(make_theme("light"))
    for a in ACTIONS:
        assert a.title.removesuffix("…") in page
        for key in a.keys:
            assert key in page
    for what, _ in GESTURES:
        assert what in page


def test_a_tooltip_says_what_it_does_and_by_which_key():
    assert tip_of(action("confirm")).endswith("(C or Space)")
    assert tip_of(action("pack")) == "Pack into one file"


def test_conditions_follow_what_is_there(window):
    book, desk = window.book, window.desk
    assert not book.by_id["confirm"].isEnabled()
    assert not book.by_id["joined"].isEnabled()
    assert not book.by_id["undo"].isEnabled()
    desk.doubts.next()
    assert book.by_id["as_it_is"].isEnabled()
    assert book.by_id["leave_doubts"].isEnabled()


def test_undo_says_what_it_would_undo(window):
    window.steps.title_sheet("sheet-1", "Nose")
    assert window.book.by_id["undo"].text() == "Undo Rename sheet Nose"
    window.book.by_id["undo"].trigger()
    assert window.book.by_id["redo"].text() == "Redo Rename sheet Nose"
    assert window.book.by_id["undo"].text() == "Undo"


def test_every_action_stands_in_its_menu(window):
    titles = {
        menu.text(): {entry.objectName() for entry in menu.menu().actions()}
        for menu in window.frame.menus.actions()
    }
    for a in ACTIONS:
        assert a.id in titles[a.menu]


def test_every_action_that_can_be_done_is_found_by_its_name(window):
    found = {entry.target for entry in window.book.entries()}
    assert {"add_sheets", "scope", "theme", "manual"} <= found
    assert "confirm" not in found  # nothing is followed
