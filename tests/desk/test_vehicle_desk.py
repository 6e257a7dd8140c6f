"""Fits and specimens by their dialogs; the survey opens at the connector of the chosen gap."""

import pytest
from PIL import Image
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.fits import FitsDialog
from loomfolio.desk.dialogs.photos import PhotoShelf
from loomfolio.desk.dialogs.specimens import SpecimensDialog
from loomfolio.desk.theme import make_theme
from support.make_desk import Answers, fitted_job, small_job, surveyed_job


@pytest.fixture
def shown(qtbot):
    def show(dialog):
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        return dialog

    return show


def press(qtbot, dialog):
    qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    return dialog.step


# -------------------------------------------------------------------------------------------- fits


def test_a_fit_is_added(qtbot, shown):
    dialog = shown(FitsDialog(small_job()))
    dialog.name.setText("With tow bar")
    dialog.has.setText("TOW, ESP")
    step = press(qtbot, dialog)
    (fit,) = step.project.fits
    assert (fit.name, fit.options_with, fit.options_without) == ("With tow bar", ("TOW", "ESP"), ())


def test_the_two_fits_of_the_job_are_named(qtbot, shown):
    project = fitted_job(job=fitted_job().job.model_copy(update={"target_fit": ""}))
    dialog = shown(FitsDialog(project))
    dialog.target.setCurrentText("With tow bar")
    step = press(qtbot, dialog)
    assert (step.project.job.target_fit, step.project.job.vehicle_fit) == (
        "With tow bar",
        "As it came",
    )


def test_a_renamed_fit_stays_the_target(qtbot, shown):
    dialog = shown(FitsDialog(fitted_job()))
    dialog.name.setText("With hook")
    step = press(qtbot, dialog)
    assert step.project.fits[0].name == "With hook"
    assert step.project.job.target_fit == "With hook"


def test_an_option_in_both_lists_is_refused(qtbot, shown):
    dialog = shown(FitsDialog(fitted_job()))
    dialog.lacks.setText("TOW")
    assert press(qtbot, dialog) is None
    assert dialog.fault == "TOW stands in both lists; a fit has an option or lacks it."


def test_the_options_of_the_sheets_are_named(shown):
    dialog = shown(FitsDialog(fitted_job()))
    assert any("TOW" in label.text() for label in dialog.findChildren(type(dialog._fault)))


def test_a_fit_is_removed_and_the_job_follows(qtbot, shown):
    dialog = shown(FitsDialog(fitted_job()))
    qtbot.mouseClick(dialog.remove, Qt.MouseButton.LeftButton)
    assert [fit.name for fit in dialog.step.project.fits] == ["As it came"]
    assert dialog.step.project.job.target_fit == ""


# --------------------------------------------------------------------------------------- specimens


@pytest.fixture
def specimens(shown, tmp_path):
    (tmp_path / "photos").mkdir()
    Image.new("RGB", (80, 60), (200, 30, 30)).save(tmp_path / "photos" / "plug.jpg")
    shelf = PhotoShelf(tmp_path, lambda: ["photos/plug.jpg"], make_theme("light"))
    return lambda project: shown(SpecimensDialog(project, shelf))


def test_a_specimen_has_identity_date_and_photos(qtbot, specimens):
    dialog = specimens(small_job())
    dialog.fields["name"].setText("The van in bay 2")
    dialog.fields["year"].setText("2021")
    dialog.fields["on"].setText("2024-04-16")
    qtbot.mouseClick(dialog.photos.add, Qt.MouseButton.LeftButton)
    dialog.photos.strip.item(0).setText("Plug of the module")
    step = press(qtbot, dialog)
    (made,) = step.project.specimens
    assert (made.kind, made.vehicle.year, made.on.isoformat()) == (
        "this vehicle",
        2021,
        "2024-04-16",
    )
    assert [(p.file, p.caption) for p in made.photos] == [("photos/plug.jpg", "Plug of the module")]


def test_a_specimen_without_a_name_is_refused(qtbot, specimens):
    dialog = specimens(small_job())
    assert press(qtbot, dialog) is None
    assert "needs a name" in dialog.fault


def test_a_specimen_is_changed(qtbot, specimens):
    dialog = specimens(surveyed_job())
    assert dialog.fields["name"].text() == "The van in bay 2"
    dialog.kind.setCurrentText("donor loom")
    step = press(qtbot, dialog)
    assert step.project.specimens[0].kind == "donor loom"


def test_photos_are_copied_into_the_project(qtbot, open_window, tmp_path):
    photo = tmp_path / "plug.jpg"
    Image.new("RGB", (80, 60), (200, 30, 30)).save(photo)
    broken = tmp_path / "notes.jpg"
    broken.write_text("no picture")
    window = open_window(small_job(), Answers(photo_files=(photo, broken)))

    def run(dialog):
        dialog.fields["name"].setText("The van")
        qtbot.mouseClick(dialog.photos.add, Qt.MouseButton.LeftButton)
        qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
        return True

    window.vehicle.run = run
    window.book.by_id["specimens"].trigger()
    (made,) = window.workbench.project.specimens
    (kept,) = made.photos
    assert (window.workbench.path / kept.file).read_bytes() == photo.read_bytes()


# ------------------------------------------------------------------------------------------ survey


def test_the_survey_opens_at_the_connector_of_the_gap(qtbot, open_window):
    window = open_window(surveyed_job())
    shown = []

    def run(dialog):
        shown.append(dialog._chosen_key())
        return False

    window.vehicle.run = run
    for _ in range(12):
        window.gaps.next()
        half = window.gaps.half
        if half is not None and half.connector == "C1":
            break
    window.book.by_id["survey"].trigger()
    assert shown == [half]


def test_there_is_no_survey_without_a_specimen(open_window):
    window = open_window(fitted_job())
    assert not window.book.by_id["survey"].isEnabled()
