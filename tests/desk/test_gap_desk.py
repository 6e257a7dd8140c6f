"""Gaps on the desk: counted, found both ways, closed for a written reason, and written out."""

import csv

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.ledgers.lines import gap_lines
from loomfolio.project import edits
from support.make_desk import FRONT, Answers, derived, fitted_job, small_job
from support.make_netlist import make_body, make_part


@pytest.fixture
def window(open_window, tmp_path):
    opened = open_window(fitted_job(), Answers(file_to_write=tmp_path / "gaps.csv"))
    opened.looking.open_stage("gaps")
    return opened


def key(qtbot, widget, text):
    qtbot.keyClicks(widget, text)


def shown_kinds(window):
    view = window.frame.ledger.view
    return [view.lines.record(view.lines.index(row, 0)).gap.kind for row in view.all_rows()]


# ---------------------------------------------------------------------------- what there is to see


def test_what_the_target_has_and_the_vehicle_lacks_is_listed():
    state = derived(fitted_job())
    kinds = {line.gap.kind for line in gap_lines(state)}
    assert "device missing" in kinds or "connector missing" in kinds
    assert "lead missing" in kinds
    assert state.why_no_gaps == ""


def test_without_a_target_the_ledger_says_what_to_do(open_window):
    window = open_window(small_job())
    window.looking.open_stage("gaps")
    assert window.frame.rail.buttons["gaps"].count == 0
    assert "Say which fit this vehicle is to become" in window.frame.ledger._empty.text()
    assert not window.book.by_id["next_gap"].isEnabled()


def test_no_gap_is_claimed_before_every_sheet_is_read():
    from loomfolio.desk.derived import derive_all
    from loomfolio.nets import Memory
    from support.make_desk import readings

    seen = readings()
    del seen["sheet-2"]
    state = derive_all(0, fitted_job(), seen, fit=None, memory=Memory())
    assert state.gaps == ()
    assert "Rear is not yet" in state.why_no_gaps


def test_a_fit_that_is_gone_is_told_not_raised():
    job = fitted_job().job.model_copy(update={"vehicle_fit": ""})
    state = derived(fitted_job(job=job))
    assert state.job_gaps is None
    assert "which fit is the vehicle" in state.why_no_gaps


def test_the_rail_counts_the_open_gaps_in_scope(window):
    state = window.workbench.state
    assert window.frame.rail.buttons["gaps"].count == len(
        [gap for gap in state.gaps if gap.is_open and gap.in_scope]
    )
    assert window.frame.rail.buttons["gaps"].count > 2


# ------------------------------------------------------------------------------------- both ways


def test_g_goes_from_gap_to_gap_and_back(qtbot, window):
    window.table.setFocus()
    key(qtbot, window.table, "g")
    first = window.gaps.chosen
    key(qtbot, window.table, "g")
    second = window.gaps.chosen
    qtbot.keyClick(window.table, "g", Qt.KeyboardModifier.ShiftModifier)
    assert first.key != second.key
    assert window.gaps.chosen.key == first.key


def placed_gap(window):
    return next(gap for gap in window.workbench.state.gaps if gap.place is not None)


def px_of(window, place):
    table = window.table
    laid = table.scene.layout.get(place.sheet)
    return table.canvas().px(laid, place.at).toPoint()


def test_a_gap_of_the_ledger_is_shown_on_the_table(window):
    gap = placed_gap(window)
    line = next(line for line in gap_lines(window.workbench.state) if line.key == gap.key)
    window.frame.ledger.line_chosen.emit(line)
    at = px_of(window, gap.place)
    assert window.table.rect().contains(at)


def test_a_ring_on_the_table_opens_its_line(qtbot, window):
    window.looking.open_stage("leads")
    gap = placed_gap(window)
    window.table.centre_on(gap.place, zoom=6.0)
    at = px_of(window, gap.place)
    for _ in range(6):  # what lies on top of it is picked first; each click goes on to the next
        qtbot.mouseClick(window.table, Qt.MouseButton.LeftButton, pos=at)
        if window.gaps.chosen is not None:
            break
        qtbot.keyClick(window.table, Qt.Key.Key_Escape)
    assert window.frame.ledger.stage == "gaps"
    assert window.gaps.chosen.gap.place == gap.place


def test_closed_gaps_leave_the_sheet(window):
    gap = placed_gap(window)
    before = len(window.table.scene.open_gaps[gap.place.sheet])
    from loomfolio.desk.gestures import Step

    closed = edits.close_gap(window.workbench.project, gap=gap.key, by="work", reason="fitted")
    window.workbench.do(Step("Close", closed.project))
    assert len(window.table.scene.open_gaps.get(gap.place.sheet, ())) == before - 1


# --------------------------------------------------------------------------------------- closing


def answer_dialog(window, qtbot, by, reason):
    """Type a reason into the dialog and press its button, as soon as it is shown."""
    faults = []

    def run(dialog):
        dialog.by[by].setChecked(True)
        dialog.reason.setPlainText(reason)
        qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
        faults.append(dialog.fault)
        return dialog.step is not None

    window.gaps.run = run
    return faults


def test_a_gap_closes_for_a_written_reason_and_opens_again(qtbot, window):
    count = window.frame.rail.buttons["gaps"].count
    window.table.setFocus()
    key(qtbot, window.table, "g")
    gap = window.gaps.chosen
    answer_dialog(window, qtbot, "reason", "The customer does without")
    window.book.by_id["close_gap"].trigger()
    assert window.frame.rail.buttons["gaps"].count == count - 1
    closed = next(g for g in window.workbench.state.gaps if g.key == gap.key)
    assert (closed.closed_by.by, closed.closed_by.reason) == ("reason", "The customer does without")
    line = next(line for line in gap_lines(window.workbench.state) if line.key == gap.key)
    assert line.closed == "reason: The customer does without"
    window.choosing.choose_gap(line)
    window.book.refresh()
    assert window.book.by_id["reopen_gap"].isEnabled()
    window.book.by_id["reopen_gap"].trigger()
    assert window.frame.rail.buttons["gaps"].count == count


def test_a_gap_is_never_closed_without_a_reason(qtbot, window):
    window.gaps.next()
    faults = answer_dialog(window, qtbot, "work", "   ")
    before = window.workbench.project
    window.gaps.close()
    assert window.workbench.project is before
    assert faults == [
        "A gap is closed for a reason; write what was done or seen, or why it may stay."
    ]


# ------------------------------------------------------------------------------------- going out


def test_the_gaps_are_written_out(qtbot, window, tmp_path):
    window.gaps.export()
    qtbot.waitUntil(lambda: not window.work.standing, timeout=20_000)
    with (tmp_path / "gaps.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len(window.workbench.state.gaps)
    assert {row["key"] for row in rows} == {gap.key for gap in window.workbench.state.gaps}


@pytest.mark.parametrize("ending", ["xlsx", "json"])
def test_the_ending_says_the_kind_of_file(qtbot, window, tmp_path, ending):
    window.gaps._ask.answers["file_to_write"] = tmp_path / f"gaps.{ending}"
    window.gaps.export()
    qtbot.waitUntil(lambda: not window.work.standing, timeout=20_000)
    head = (tmp_path / f"gaps.{ending}").read_bytes()[:2]
    assert head == {"xlsx": b"PK", "json": b"{\n"}[ending]


def test_the_gap_sheet_is_a_pdf(qtbot, window, tmp_path):
    window.gaps._ask.answers["file_to_write"] = tmp_path / "gap sheet.pdf"
    window.gaps.sheet()
    qtbot.waitUntil(lambda: not window.work.standing, timeout=30_000)
    assert (tmp_path / "gap sheet.pdf").read_bytes().startswith(b"%PDF")


# --------------------------------------------------------------------------- connectors in doubt


def doubtful_job():
    """Without TOW another socket lies on two of the conductors: is it the same one?"""
    other = make_part(5, "J7", "socket").model_copy(update={"when": "!TOW"})
    job = fitted_job()
    body = make_body(11, FRONT, other, "d=1 e=2")
    return job.model_copy(update={"parts": (*job.parts, other), "marks": (*job.marks, body)})


@pytest.mark.parametrize(
    ("answer", "is_same"), [pytest.param("the same", True), pytest.param("not the same", False)]
)
def test_a_connector_in_doubt_is_asked_and_then_known(open_window, answer, is_same):
    answers = Answers(one_of=[answer])
    window = open_window(doubtful_job(), answers)
    assert window.book.by_id["settle_connectors"].isEnabled()
    window.book.by_id["settle_connectors"].trigger()
    assert "Is X90 of the target the same connector as J7 of this vehicle?" in answers.asked[0]
    (match,) = window.workbench.project.matches
    assert match.is_same is is_same
    assert not window.book.by_id["settle_connectors"].isEnabled()


def test_not_now_leaves_the_question_open(open_window):
    window = open_window(doubtful_job(), Answers(one_of=["not now"]))
    window.gaps.settle_connectors()
    assert window.workbench.project.matches == ()
    assert window.book.by_id["settle_connectors"].isEnabled()
