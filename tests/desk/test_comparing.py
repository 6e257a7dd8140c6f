"""Two fits over each other: which leads both have, only one has, or go elsewhere, and where that is drawn."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.basics import MmPoint
from loomfolio.desk.comparing import two_fits
from loomfolio.desk.dialogs.two_fits import TwoFitsDialog
from loomfolio.project import edits
from support.make_desk import FRONT, REAR, fitted_job, readings


def compared(project=None, *, turned=False):
    project = project or fitted_job()
    target, own = project.fits
    pair = (target, own) if turned else (own, target)
    return two_fits(project, readings(), *pair)


def signs_through(found, sheet, place):
    """The signs of the runs of which an end or corner lies at a place."""
    return {
        run.sign
        for run in found.runs
        if run.sheet == sheet and any(at.distance_mm(place) < 1.5 for at in run.points)
    }


def test_what_only_the_target_has_is_drawn_so():
    found = compared()
    assert found.counts["only a"] == 0
    assert found.counts["only b"] > 0
    assert signs_through(found, "sheet-1", FRONT.at("e")) == {"only b"}


def test_turned_round_it_is_only_in_the_first():
    found = compared(turned=True)
    assert found.counts["only b"] == 0
    assert signs_through(found, "sheet-1", FRONT.at("e")) == {"only a"}


def test_what_both_have_is_the_same():
    found = compared()
    assert found.counts["same"] > 0
    assert signs_through(found, "sheet-2", REAR.at("i")) == {"same"}


def test_a_piece_that_both_have_is_drawn_once_and_as_the_same():
    found = compared()
    shared = {(run.sheet, run.points) for run in found.runs if run.sign == "same"}
    own = {(run.sheet, run.points) for run in found.runs if run.sign != "same"}
    assert not shared & own


def test_a_fit_is_the_same_as_itself():
    project = fitted_job()
    found = two_fits(project, readings(), project.fits[0], project.fits[0])
    assert {run.sign for run in found.runs} == {"same"}
    assert [found.counts[sign] for sign in ("only a", "only b", "elsewhere")] == [0, 0, 0]


def test_the_legend_counts_each_sign():
    words = dict(compared().legend)
    assert words["only b"].endswith("only in With tow bar")
    assert words["same"].endswith("the same in both")


# ---------------------------------------------------------------------------------------- the desk


@pytest.fixture
def window(open_window):
    return open_window(fitted_job())


def lay_over(qtbot, window):
    def run(dialog):
        qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
        return dialog.step is not None

    window.vehicle.run = run
    window.book.by_id["two_fits"].trigger()


def test_the_vehicle_lies_below_and_the_target_over_it(qtbot):
    dialog = TwoFitsDialog(fitted_job())
    qtbot.addWidget(dialog)
    assert [fit.name for fit in dialog.fits] == ["As it came", "With tow bar"]


def test_a_fit_is_not_laid_over_itself(qtbot):
    dialog = TwoFitsDialog(fitted_job())
    qtbot.addWidget(dialog)
    dialog.b.setCurrentIndex(dialog.a.currentIndex())
    qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    assert dialog.step is None
    assert "over itself" in dialog.fault


def test_two_fits_over_each_other_change_no_document(qtbot, window):
    before = window.workbench.project
    lay_over(qtbot, window)
    assert window.legend.isVisible()
    assert window.workbench.project is before
    assert {run.sign for run in window.table._overlay} == {"same", "only b"}


def test_the_cross_takes_them_apart(qtbot, window):
    lay_over(qtbot, window)
    assert window.book.by_id["fits_apart"].isEnabled()
    qtbot.mouseClick(window.legend._close, Qt.MouseButton.LeftButton)
    assert not window.legend.isVisible()
    assert window.table._overlay == ()
    assert not window.book.by_id["fits_apart"].isEnabled()


def test_they_follow_an_edit(qtbot, window):
    from loomfolio.desk.gestures import Step

    lay_over(qtbot, window)
    count = len(window.table._overlay)
    project = window.workbench.project
    gone = [mark.id for mark in project.marks if mark.kind == "body" and mark.part == "part-2"]
    window.workbench.do(Step("Remove", edits.remove_marks(project, gone)))
    assert len(window.table._overlay) < count


def test_a_fit_that_goes_takes_the_comparison_with_it(qtbot, window):
    from loomfolio.desk.gestures import Step

    lay_over(qtbot, window)
    project = window.workbench.project
    window.workbench.do(Step("Remove", edits.remove_fit(project, project.fits[0].id)))
    assert not window.legend.isVisible()


def ink_near(window, place, sheet):
    """Pixels of the window round a place, as plain bytes."""
    laid = window.table.scene.layout.get(sheet)
    at = window.table.canvas().px(laid, place).toPoint()
    image = window.table.grab().toImage()
    return [
        image.pixelColor(at.x() + dx, at.y() + dy).name()
        for dx in range(-12, 13)
        for dy in range(-12, 13)
    ]


def test_the_signs_are_painted(qtbot, window):
    b, e = FRONT.at("b"), FRONT.at("e")
    middle = MmPoint((b.x + 3 * e.x) / 4, b.y)
    before = ink_near(window, middle, "sheet-1")
    lay_over(qtbot, window)
    assert ink_near(window, middle, "sheet-1") != before
