"""A survey by real keys: the side first, a letter for each cavity, one step for each connector."""

from datetime import date

import pytest
from PIL import Image
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.photos import PhotoShelf
from loomfolio.desk.steps import Steps
from loomfolio.desk.survey.asked import what_is_asked
from loomfolio.desk.survey.survey_dialog import SurveyDialog
from loomfolio.desk.theme import make_theme
from loomfolio.desk.workbench import Workbench
from loomfolio.project import HalfKey, PhotoMark, PicturePoint, cavity_entries, half_entry
from support.make_desk import TCU, X90, open_session, readings, small_job, surveyed_job

PLUG = HalfKey(part=TCU.id, connector="C1")
VAN = "specimen-30"


@pytest.fixture
def bench(tmp_path):
    with open_session(tmp_path / "job", surveyed_job()) as session:
        yield Workbench(session, readings())


@pytest.fixture
def dialog(qtbot, bench):
    told = []
    steps = Steps(bench, told.append, told.append)
    theme = make_theme("light")
    shown = SurveyDialog(
        lambda: bench.state,
        steps.do,
        theme,
        today=date(2024, 4, 16),
        shelf=PhotoShelf(bench.path, lambda: ["photos/plug.jpg"], theme),
    )
    qtbot.addWidget(shown)
    shown.show()
    qtbot.waitExposed(shown)
    shown.choose(PLUG)
    return shown


def keys(qtbot, dialog, text):
    qtbot.keyClicks(dialog.face.view, text)


def store(qtbot, dialog):
    qtbot.mouseClick(dialog.face.store, Qt.MouseButton.LeftButton)


def states(bench, half=PLUG):
    return {e.pin.pin: e.state for e in cavity_entries(bench.project, VAN, half)}


# ---------------------------------------------------------------------------------------- the side


def test_the_side_is_asked_first_and_then_always_shown(qtbot, dialog):
    assert dialog.pages.currentWidget() is dialog.face
    assert "From which side do you look?" in dialog.face.side.text()
    keys(qtbot, dialog, "f")
    assert dialog.face.run.seen == {}
    assert not dialog.face.store.isEnabled()
    keys(qtbot, dialog, "m")
    assert "MATING SIDE" in dialog.face.side.text()
    keys(qtbot, dialog, "f")
    assert "MATING SIDE" in dialog.face.side.text()


def test_one_connector_is_one_step(qtbot, dialog, bench):
    keys(qtbot, dialog, "mfff")
    qtbot.keyClick(dialog.face.view, Qt.Key.Key_Right)
    store(qtbot, dialog)
    assert states(bench) == {"1": "filled", "2": "filled", "3": "filled"}
    entry = half_entry(bench.project, VAN, PLUG)
    assert (entry.viewed_from, entry.known.how, entry.known.on) == (
        "mating side",
        "seen",
        date(2024, 4, 16),
    )
    assert bench.session.undo_title == "Survey TCU C1: 3 cavities"
    bench.undo()
    assert states(bench) == {}


def test_from_the_wire_side_the_same_connector_reads_the_same(qtbot, dialog, bench):
    keys(qtbot, dialog, "w")
    qtbot.keyClick(dialog.face.view, Qt.Key.Key_Home)
    keys(qtbot, dialog, "efff")
    store(qtbot, dialog)
    assert states(bench) == {"4": "empty", "3": "filled", "2": "filled", "1": "filled"}


# ----------------------------------------------------------------------------- the mirrored warning


def enter_mirrored(qtbot, dialog):
    """From the wire side one sees empty, filled, filled, filled; the person says it is the mating side."""
    keys(qtbot, dialog, "m")
    qtbot.keyClick(dialog.face.view, Qt.Key.Key_Home)
    keys(qtbot, dialog, "efff")
    qtbot.keyClick(dialog.face.view, Qt.Key.Key_End)
    keys(qtbot, dialog, "f")


def test_a_face_that_fits_better_mirrored_is_not_stored(qtbot, dialog, bench):
    enter_mirrored(qtbot, dialog)
    assert dialog.face.warning.isVisible()
    words = dialog.face.warned.text()
    assert "cavity 1" in words
    assert "cavity 4" in words
    assert not dialog.face.store.isEnabled()
    qtbot.keyClick(dialog, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    dialog.face.ask_to_store()
    assert states(bench) == {}


def test_turning_it_mends_the_entries_and_they_can_be_stored(qtbot, dialog, bench):
    enter_mirrored(qtbot, dialog)
    qtbot.mouseClick(dialog.face.turn, Qt.MouseButton.LeftButton)
    assert "WIRE SIDE" in dialog.face.side.text()
    assert not dialog.face.warning.isVisible()
    store(qtbot, dialog)
    assert states(bench) == {"4": "empty", "3": "filled", "2": "filled", "1": "filled"}


def test_the_person_has_the_last_word_about_the_side(qtbot, dialog, bench):
    enter_mirrored(qtbot, dialog)
    qtbot.mouseClick(dialog.face.stay, Qt.MouseButton.LeftButton)
    store(qtbot, dialog)
    assert states(bench) == {"1": "empty", "2": "filled", "3": "filled", "4": "filled"}


# ------------------------------------------------------------------------------- what is not there


def test_a_connector_that_is_not_there_is_one_letter(qtbot, dialog, bench):
    keys(qtbot, dialog, "n")
    assert half_entry(bench.project, VAN, PLUG).state == "not there"
    found = next(h for h in what_is_asked(bench.state, VAN).halves if h.half == PLUG)
    assert found.is_gone
    assert found.left == 0


def test_a_lead_of_another_colour(qtbot, dialog, bench):
    keys(qtbot, dialog, "mo")
    qtbot.keyClicks(dialog.face.colour, "bu/wh")
    qtbot.keyClick(dialog.face.colour, Qt.Key.Key_Return)
    keys(qtbot, dialog, "ff")
    store(qtbot, dialog)
    first = next(e for e in cavity_entries(bench.project, VAN, PLUG) if e.pin.pin == "1")
    assert (first.state, first.colour.text) == ("filled", "BU/WH")


def test_what_was_stored_is_there_when_one_looks_again(qtbot, dialog, bench):
    keys(qtbot, dialog, "mfef")
    store(qtbot, dialog)
    dialog.choose(PLUG)
    assert dialog.face.run.side == "mating side"
    assert len(dialog.face.run.seen) == 3
    dialog.face.run.stand_at((0, 1))
    qtbot.keyClick(dialog.face.view, Qt.Key.Key_Delete)
    store(qtbot, dialog)
    assert states(bench) == {"1": "filled", "3": "filled"}


# ---------------------------------------------------------------------------------- positions


def choose_kind(dialog, words):
    for row in range(dialog.list.count()):
        if dialog.list.item(row).text().startswith(words):
            dialog.list.setCurrentRow(row)
            return


def test_positions_by_one_letter_each(qtbot, dialog, bench):
    choose_kind(dialog, "Positions")
    assert dialog.pages.currentWidget() is dialog.things
    texts = [thing.text for thing in dialog.things.things]
    assert "F5, fuse" in texts
    dialog.things.table.setCurrentCell(texts.index("F5, fuse"), 0)
    qtbot.keyClicks(dialog.things.table, "l")
    qtbot.mouseClick(dialog.things.store, Qt.MouseButton.LeftButton)
    grades = {e.part: e.grade for e in bench.project.survey if e.kind == "position"}
    assert grades == {"part-3": "lead but no part"}
    assert bench.session.undo_title == "Survey 1 position"


def test_the_gaps_follow_the_survey(qtbot, dialog, bench):
    choose_kind(dialog, "Positions")
    texts = [thing.text for thing in dialog.things.things]
    dialog.things.table.setCurrentCell(texts.index("F5, fuse"), 0)
    qtbot.keyClicks(dialog.things.table, "l")
    qtbot.mouseClick(dialog.things.store, Qt.MouseButton.LeftButton)
    kinds = {gap.kind for gap in bench.state.gaps if gap.part == "part-3"}
    assert kinds == {"device position of a lower grade"}


# ------------------------------------------------------------------------------------- photos


def test_photos_of_the_specimen_are_marked_from_the_survey(qtbot, dialog, bench):
    (bench.path / "photos").mkdir(exist_ok=True)
    Image.new("RGB", (80, 60), (90, 30, 30)).save(bench.path / "photos" / "plug.jpg")

    def run(photos):
        qtbot.mouseClick(photos.add, Qt.MouseButton.LeftButton)
        photos.view.drawn.emit(PhotoMark(at=PicturePoint(0.2, 0.2), text="rusty"))
        qtbot.mouseClick(photos.go, Qt.MouseButton.LeftButton)
        return True

    dialog.run_photos = run
    qtbot.mouseClick(dialog.photos, Qt.MouseButton.LeftButton)
    (van,) = bench.project.specimens
    assert [(p.file, p.marks[0].text) for p in van.photos] == [("photos/plug.jpg", "rusty")]
    assert bench.session.undo_title == "Photos of The van in bay 2"


# -------------------------------------------------------------------------------- how a face lies


def test_a_connector_without_a_face_is_laid_out_first(qtbot, dialog, bench):
    socket = HalfKey(part=X90.id)
    dialog.choose(socket)
    assert dialog.pages.currentWidget() is dialog.editor
    dialog.editor.rows.setPlainText("1 2\n3 4")
    qtbot.mouseClick(dialog.editor.sides["wire side"], Qt.MouseButton.LeftButton)
    assert dialog.pages.currentWidget() is dialog.face
    assert dialog.face.run.face.rows == (("1", "2"), ("3", "4"))
    assert dialog.face.run.face.side == "wire side"


def test_a_connector_that_is_not_there_needs_no_rows(qtbot, dialog, bench):
    socket = HalfKey(part=X90.id)
    dialog.choose(socket)
    qtbot.mouseClick(dialog.editor.gone["not there"], Qt.MouseButton.LeftButton)
    assert half_entry(bench.project, VAN, socket).state == "not there"


def test_a_cavity_that_lies_twice_is_told(qtbot, dialog):
    dialog.choose(HalfKey(part=X90.id))
    dialog.editor.rows.setPlainText("1 2\n2 4")
    qtbot.mouseClick(dialog.editor.sides["wire side"], Qt.MouseButton.LeftButton)
    assert dialog.fault.text() == "Cavity 2 stands there twice; each lies in one place."


def test_a_day_that_is_none_is_told(qtbot, dialog, bench):
    dialog.on.setText("yesterday")
    keys(qtbot, dialog, "mfff")
    store(qtbot, dialog)
    assert "'yesterday' is no day" in dialog.fault.text()
    assert states(bench) == {}


# ----------------------------------------------------------------------------------- what is asked


def test_only_what_is_in_scope_is_asked(tmp_path):
    job = surveyed_job().job.model_copy(update={"scope": (HalfKey(part=X90.id),)})
    with open_session(tmp_path / "scoped", surveyed_job(job=job)) as session:
        work = what_is_asked(Workbench(session, readings()).state, VAN)
    texts = {half.text for half in work.halves}
    assert "X90" in texts
    assert "E3" not in texts
    assert all(thing.text != "F5, fuse" for thing in work.things)


def test_without_gaps_the_scope_of_the_sheets_is_asked(tmp_path):
    with open_session(tmp_path / "plain", small_job()) as session:
        work = what_is_asked(Workbench(session, readings()).state, VAN)
    assert {half.text for half in work.halves} >= {"TCU C1", "X90", "E3"}
    assert work.left > 5
