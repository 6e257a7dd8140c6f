"""When something goes wrong: one sentence, the work saved, a log, and on it goes."""

import logging
import sys

import pytest

from loomfolio.basics import DocumentError, EditError
from loomfolio.desk.faults import Faults, log_path


@pytest.fixture
def told():
    return []


@pytest.fixture
def saved():
    return []


@pytest.fixture
def faults(qapp, told, saved):
    caught = Faults(told.append, lambda: saved.append(True))
    caught.install()
    yield caught
    caught.remove()


def raise_in_a_callback(error):
    """What Qt does with an exception that a callback lets through."""
    try:
        raise error
    except type(error):
        sys.excepthook(*sys.exc_info())


def test_a_fault_is_told_logged_and_the_work_is_saved(faults, told, saved, caplog):
    raise_in_a_callback(ZeroDivisionError("by nothing"))
    assert saved == [True]
    assert told[0].startswith("Something went wrong in the program; your work is saved.")
    assert str(log_path()) in told[0]
    text = log_path().read_text(encoding="utf-8")
    assert "ZeroDivisionError: by nothing" in text
    assert "raise_in_a_callback" in text


def test_an_error_of_the_input_says_itself_what_is_wrong(faults, told, saved):
    raise_in_a_callback(EditError("A lead has two ends; choose another pin."))
    assert told == ["A lead has two ends; choose another pin."]
    assert saved == []
    assert not log_path().exists()


def test_where_saving_fails_too_the_person_is_told_where_the_edits_are(told, caplog, tmp_path):
    def save():
        raise DocumentError(tmp_path, "the disk is full", "make room")

    faults = Faults(told.append, save)
    faults.install()
    raise_in_a_callback(KeyError("x"))
    faults.remove()
    assert "your edits are in the journal" in told[0]
    assert "the disk is full" in told[0]


def test_the_earlier_hook_comes_back(qapp, told):
    before = sys.excepthook
    faults = Faults(told.append, lambda: None)
    faults.install()
    assert sys.excepthook == faults.caught
    faults.remove()
    assert sys.excepthook is before
    assert logging.getLogger("loomfolio.desk").handlers == []


def test_being_told_to_stop_is_not_caught(faults, told, monkeypatch):
    stopped = []
    monkeypatch.setattr(sys, "__excepthook__", lambda *what: stopped.append(what[0]))
    raise_in_a_callback(KeyboardInterrupt())
    assert stopped == [KeyboardInterrupt]
    assert told == []
