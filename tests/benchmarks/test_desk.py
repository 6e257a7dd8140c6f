"""How long the desk takes to be there and to follow an edit, on a made-up vehicle of three sizes.

Compare the ratios of one run, never absolute times; the row differences stand beside a plain list copy.
"""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from pytestqt.qtbot import QtBot

from loomfolio.basics import MmPoint
from loomfolio.desk.derived import Derived, derive_all
from loomfolio.desk.ledgers.differences import row_changes
from loomfolio.desk.ledgers.lines import doubt_lines, lead_lines, net_lines, pin_lines
from loomfolio.nets import Memory
from loomfolio.project import NameMark
from support.make_desk import Answers, open_session
from support.make_vehicle import Vehicle, make_vehicle

SIZES = [
    pytest.param(2, id="2-sheets"),
    pytest.param(25, id="25-sheets", marks=pytest.mark.larger),
    pytest.param(100, id="100-sheets", marks=pytest.mark.larger),
]


@pytest.fixture(params=SIZES)
def vehicle(request: pytest.FixtureRequest) -> Vehicle:
    """A generated vehicle with this many sheets of 40 leads."""
    return make_vehicle(sheets=request.param)


def all_lines(state: Derived) -> int:
    """Lay out every ledger and return how many lines there are."""
    ledgers = (net_lines(state), pin_lines(state), lead_lines(state), doubt_lines(state))
    return sum(len(lines) for lines in ledgers)


def test_all_ledgers_of_a_vehicle(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    state = derive_all(0, vehicle.project, vehicle.readings, fit=None, memory=Memory())
    assert benchmark(all_lines, state) > vehicle.leads


def test_an_edit_up_to_the_ledgers(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    memory = Memory()
    name = NameMark(id="mark-900000", sheet="sheet-1", at=MmPoint(60.0, 20.0), name="TAIL LH")
    edited = vehicle.project.model_copy(update={"marks": (*vehicle.project.marks, name)})
    documents = [edited, vehicle.project]

    def edit() -> int:
        documents.reverse()
        return all_lines(derive_all(1, documents[0], vehicle.readings, fit=None, memory=memory))

    assert benchmark(edit) > vehicle.leads


@pytest.mark.parametrize(
    "count",
    [
        pytest.param(1_000, id="1k-rows"),
        pytest.param(10_000, id="10k-rows", marks=pytest.mark.larger),
        pytest.param(100_000, id="100k-rows", marks=pytest.mark.larger),
    ],
)
def test_differences_of_two_ledgers(benchmark: BenchmarkFixture, count: int) -> None:
    rng = random.Random(5)
    old = list(range(count))
    new = [row for row in old if rng.random() > 0.05] + list(range(count, count + count // 20))
    changes = benchmark(row_changes, old, new)
    assert changes.removed
    assert changes.added[-1].last == len(new) - 1


def test_import_of_the_window(benchmark: BenchmarkFixture) -> None:
    code = "import loomfolio.desk.window"
    source = Path(__file__).parents[2] / "app"

    def start() -> int:
        words = [sys.executable, "-c", code]
        environment = {"PYTHONPATH": str(source), "QT_QPA_PLATFORM": "offscreen"}
        return subprocess.run(words, check=False, env=environment).returncode

    assert benchmark.pedantic(start, rounds=1, iterations=1) == 0


def test_first_paint(
    benchmark: BenchmarkFixture, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From an open session to a painted window, imports not counted."""
    from loomfolio.desk.settings import Settings
    from loomfolio.desk.window import DeskWindow

    monkeypatch.setattr("loomfolio.desk.readers.kept_readings", lambda folder, project: {})
    monkeypatch.setattr("loomfolio.desk.readers.Readers._read", lambda *_: None)
    made: list[DeskWindow] = []

    def show() -> DeskWindow:
        session = open_session(tmp_path / f"job {len(made)}")
        window = DeskWindow(session, Settings(tmp_path / "desk.ini"), asker=Answers())
        made.append(window)
        window.show()
        window.grab()
        return window

    window = benchmark.pedantic(show, rounds=1, iterations=1)
    assert window.isVisible()
    for old in made:
        old.close()
        old.deleteLater()
