"""Starting: without a display one sentence, with one the window on what was named."""

import subprocess
import sys

import pytest

from loomfolio.basics import FileUnreadableError, LoomfolioError
from loomfolio.cli import main as shell
from loomfolio.desk.main import MAIN_JOB, has_display, open_window, run_desk
from support.make_desk import FRONT, draw_page, open_session, small_job


@pytest.fixture
def no_display(monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")


def test_without_a_display_one_sentence_shows_the_main_job(no_display):
    with pytest.raises(LoomfolioError) as told:
        run_desk([])
    assert MAIN_JOB in str(told.value)
    assert str(told.value).count("\n") == 0


def test_the_shell_says_it_and_ends_with_two(no_display, capsys):
    assert shell([]) == 2
    assert capsys.readouterr().err.strip().endswith(MAIN_JOB)


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_elsewhere_there_is_always_a_display(no_display, monkeypatch, platform):
    monkeypatch.setattr(sys, "platform", platform)
    assert has_display()


@pytest.mark.parametrize("name", ["DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"])
def test_any_of_three_names_says_where_to_show(no_display, monkeypatch, name):
    monkeypatch.setenv(name, ":0")
    assert has_display()


def test_importing_the_door_of_the_desk_costs_no_qt():
    code = "import sys, loomfolio.desk.main; sys.exit('PySide6' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.fixture
def opened(qtbot, drawn_readings, own_home):
    windows = []

    def make(paths):
        window = open_window(paths)
        windows.append(window)
        window.show()
        qtbot.waitUntil(lambda: not window.work.standing, timeout=30_000)
        return window

    yield make
    for window in windows:
        window.close()
        window.deleteLater()


def test_a_named_project_is_shown(opened, tmp_path):
    open_session(tmp_path / "job").close()
    window = opened([tmp_path / "job"])
    assert window.workbench.project == small_job()


def test_named_pages_come_into_a_new_project(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(
        "loomfolio.desk.readers.read_sheet", lambda folder, sheet, bodies, **_: FRONT.reading
    )
    window = opened([draw_page(FRONT, tmp_path / "van.png")])
    assert [sheet.title for sheet in window.workbench.project.sheets] == ["van"]
    assert "new project" in window.frame.notices.note.sentence


def test_the_project_is_there_again_at_the_next_start(opened, tmp_path):
    open_session(tmp_path / "job").close()
    opened([tmp_path / "job"]).close()
    assert opened([]).workbench.path == tmp_path / "job"


def test_what_cannot_be_opened_makes_no_window(qapp, tmp_path):
    with pytest.raises(FileUnreadableError):
        open_window([tmp_path / "missing"])
    assert qapp.topLevelWidgets() == []
