"""The early answer: shown with its alternatives, and written as a page."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.estimate import EstimateDialog, span_text
from loomfolio.retrofit import Span, estimate
from support.make_desk import Answers, derived, fitted_job


@pytest.fixture
def dialog(qtbot):
    shown = EstimateDialog(estimate(derived(fitted_job()).job_gaps))
    qtbot.addWidget(shown)
    shown.show()
    qtbot.waitExposed(shown)
    return shown


def cells(dialog, row):
    return [dialog.table.item(row, column).text() for column in range(dialog.table.columnCount())]


@pytest.mark.parametrize(
    ("span", "words"),
    [
        pytest.param(Span(3.0, 3.0), "3", id="one"),
        pytest.param(Span(0.0, 13.0), "0 to 13", id="range"),
        pytest.param(Span(1.25, 2.5), "1.2 to 2.5", id="rounded"),
    ],
)
def test_a_span_in_figures(span, words):
    assert span_text(span) == words


def test_every_way_is_shown_and_what_is_impossible_says_why(dialog):
    kinds = [cells(dialog, row)[0] for row in range(dialog.table.rowCount())]
    assert kinds == ["whole loom", "part of a loom", "direct leads   ✓ fewest hours"]
    assert "Not possible" in cells(dialog, 0)[-1]
    assert cells(dialog, 2)[4]


def test_what_is_not_known_is_said(dialog):
    assert "Not known yet" in dialog.unknowns.text()


def test_the_page_is_written(qtbot, open_window, tmp_path):
    page = tmp_path / "estimate.pdf"
    window = open_window(fitted_job(), Answers(file_to_write=page))

    def run(dialog):
        qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
        return True

    window.gaps.run = run
    window.book.by_id["estimate"].trigger()
    qtbot.waitUntil(lambda: not window.work.standing, timeout=30_000)
    assert page.read_bytes().startswith(b"%PDF")
