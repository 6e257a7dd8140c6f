"""The desk's fixtures: a workbench on a small job, and the real window on it."""

import pytest

from loomfolio.desk.steps import Steps
from loomfolio.desk.workbench import Workbench
from support.make_desk import Answers, open_session, readings


@pytest.fixture
def session(tmp_path):
    with open_session(tmp_path / "job") as opened:
        yield opened


@pytest.fixture
def workbench(session):
    return Workbench(session, readings())


@pytest.fixture
def told():
    """What the person was told, in order."""
    return []


@pytest.fixture
def steps(workbench, told):
    return Steps(workbench, told.append, told.append)


@pytest.fixture
def drawn_readings(monkeypatch):
    """Sheets are read as they were drawn, at once, whatever bodies lie on them."""
    known = readings()
    monkeypatch.setattr(
        "loomfolio.desk.readers.kept_readings",
        lambda folder, project: {s.id: known[s.id] for s in project.sheets if s.id in known},
    )
    monkeypatch.setattr(
        "loomfolio.desk.readers.read_sheet",
        lambda folder, sheet, bodies, **watch: known[sheet.id],
    )
    monkeypatch.setattr(
        "loomfolio.desk.readers.read_sheet_words",
        lambda folder, sheet, reading, **watch: reading.texts,
    )


@pytest.fixture
def open_window(qtbot, tmp_path, drawn_readings):
    """Open the real window on a project, with its sheets read; it is closed after the test."""
    from loomfolio.desk.settings import Settings
    from loomfolio.desk.window import DeskWindow

    opened = []

    def make(project=None, answers=None):
        settings = Settings(tmp_path / "desk.ini")
        settings.moves = False
        settings.words = False
        session = open_session(tmp_path / f"job {len(opened) + 1}", project)
        window = DeskWindow(session, settings, asker=answers or Answers())
        opened.append(window)
        window.resize(1400, 900)
        window.show()
        qtbot.waitExposed(window)
        qtbot.waitUntil(lambda: not window.work.standing, timeout=20_000)
        return window

    yield make
    for window in opened:
        window.close()
        window.deleteLater()


@pytest.fixture
def window(open_window):
    return open_window()
