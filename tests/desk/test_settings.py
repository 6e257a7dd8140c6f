"""What the desk remembers from one start to the next."""

import pytest
from PySide6.QtCore import QByteArray, QSettings

from loomfolio.desk.settings import MOST_RECENT, Settings


@pytest.fixture
def file(tmp_path):
    return tmp_path / "desk.ini"


def test_what_was_chosen_is_there_at_the_next_start(file):
    first = Settings(file)
    first.theme = "dark"
    first.scale = 1.4
    first.moves = False
    first.geometry = QByteArray(b"where it was")
    first._store.sync()
    second = Settings(file)
    assert (second.theme, second.scale, second.moves) == ("dark", 1.4, False)
    assert second.geometry == QByteArray(b"where it was")


def test_a_first_start_takes_what_the_desktop_has(file):
    settings = Settings(file)
    assert (settings.theme, settings.scale, settings.moves) == ("system", 1.0, True)
    assert settings.recent == ()
    assert settings.geometry.isEmpty()


@pytest.mark.parametrize(
    ("name", "value", "read", "usual"),
    [
        ("look/theme", "purple", "theme", "system"),
        ("look/scale", "huge", "scale", 1.0),
        ("look/scale", "9", "scale", 2.0),
        ("look/scale", "0.1", "scale", 1.0),
        ("recent", "not a list", "recent", ()),
    ],
)
def test_a_damaged_entry_counts_as_missing(file, name, value, read, usual):
    store = QSettings(str(file), QSettings.Format.IniFormat)
    store.setValue(name, value)
    store.sync()
    assert getattr(Settings(file), read) == usual


def test_the_latest_project_stands_first_and_once(file, tmp_path):
    settings = Settings(file)
    one, other = tmp_path / "one", tmp_path / "other"
    for path in (one, other):
        path.mkdir()
    for path in (one, other, one):
        settings.note_recent(path)
    assert settings.recent == (one, other)


def test_projects_that_are_gone_are_not_offered(file, tmp_path):
    settings = Settings(file)
    gone = tmp_path / "gone"
    gone.mkdir()
    settings.note_recent(gone)
    gone.rmdir()
    assert settings.recent == ()


def test_only_the_last_few_are_kept(file, tmp_path):
    settings = Settings(file)
    for number in range(MOST_RECENT + 3):
        path = tmp_path / str(number)
        path.mkdir()
        settings.note_recent(path)
    assert len(settings.recent) == MOST_RECENT
    assert settings.recent[0].name == str(MOST_RECENT + 2)
