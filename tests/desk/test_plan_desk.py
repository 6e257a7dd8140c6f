"""The work at the desk: ways chosen, ticked, signed and measured, by keys on the real window."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.comparison import ComparisonDialog
from loomfolio.desk.dialogs.doing import DoingDialog, SignDialog
from loomfolio.desk.dialogs.offers import OffersDialog
from loomfolio.desk.dialogs.reading import ReadingDialog
from loomfolio.desk.dialogs.why import WhyDialog
from loomfolio.desk.ledgers.plan_lines import RuleLine
from loomfolio.desk.settings import Settings
from loomfolio.desk.window import DeskWindow
from support.make_desk import Answers, fitted_job


@pytest.fixture
def window(qtbot, open_window, tmp_path):
    opened = open_window(fitted_job(), Answers(folder=tmp_path / "out"))
    settle(qtbot, opened)
    return opened


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not window.work.standing, timeout=30_000)


def open_stage(qtbot, window, key):
    qtbot.keyClick(window, key, Qt.KeyboardModifier.AltModifier)
    window.frame.ledger.view.setFocus()


def lines(window):
    return window.frame.ledger.view.all_lines()


def choose(window, wanted):
    assert window.frame.ledger.view.lead_to(wanted)
    window.book.refresh()


def dialogs(window, act):
    """Run each dialog by what a person does in it, and remember which came."""
    came = []

    def run(dialog):
        came.append(type(dialog))
        act(dialog)
        dialog.go.click()
        return bool(dialog.result())

    window.plan.run = run
    return came


@pytest.fixture
def planned(qtbot, window):
    """The window with the best taken for every gap, by one key."""
    open_stage(qtbot, window, Qt.Key.Key_6)
    qtbot.keyClick(window, Qt.Key.Key_B, Qt.KeyboardModifier.ShiftModifier)
    settle(qtbot, window)
    return window


def test_every_open_gap_is_listed_with_nothing_chosen_yet(qtbot, window):
    open_stage(qtbot, window, Qt.Key.Key_6)

    assert {line.key for line in lines(window)} == {
        gap.key for gap in window.workbench.state.gaps if gap.is_open
    }
    assert all(line.is_open for line in lines(window))
    assert window.frame.rail.buttons["work"].count == len(lines(window))


def test_one_key_takes_the_best_for_all_and_one_undo_takes_it_back(qtbot, planned):
    assert not any(line.is_open for line in lines(planned) if line.others >= 0)
    assert planned.workbench.project.operations

    planned.book.by_id["undo"].trigger()
    settle(qtbot, planned)

    assert planned.workbench.project.operations == ()
    assert all(line.is_open for line in lines(planned))


def test_a_way_is_chosen_by_enter_with_a_length_typed(qtbot, window):
    open_stage(qtbot, window, Qt.Key.Key_6)
    choose(window, lambda line: line.gap.kind == "lead missing" and line.others >= 0)

    def act(dialog):
        dialog.length_m.setText("2,5")

    came = dialogs(window, act)
    qtbot.keyClick(window.frame.ledger.view, Qt.Key.Key_Return)
    settle(qtbot, window)

    assert came == [OffersDialog]
    assert window.workbench.project.operations[0].length_m == 2.5


def test_a_length_that_is_no_number_is_said_in_the_dialog(qtbot, window):
    open_stage(qtbot, window, Qt.Key.Key_6)
    choose(window, lambda line: line.others >= 0)
    said = []

    def run(dialog):
        dialog.length_m.setText("two")
        dialog.go.click()
        said.append(dialog.fault)
        return bool(dialog.result())

    window.plan.run = run
    window.book.by_id["choose_way"].trigger()

    assert "write it like 0.85" in said[0]
    assert window.workbench.project.operations == ()


def test_a_way_is_withdrawn(qtbot, planned):
    before = len(planned.workbench.project.operations)
    choose(planned, lambda line: line.offer is not None)
    planned.book.by_id["withdraw_way"].trigger()
    settle(qtbot, planned)

    assert len(planned.workbench.project.operations) == before - 1


def test_each_number_answers_why(qtbot, planned):
    trees = []
    came = dialogs(planned, lambda dialog: trees.append(dialog.tree))
    choose(planned, lambda line: line.leads)
    qtbot.keyClick(planned, Qt.Key.Key_Y)

    assert came == [WhyDialog]
    assert trees[0].topLevelItemCount() > 0


def test_two_plans_stand_side_by_side(qtbot, window):
    came = dialogs(window, lambda dialog: dialog.takes["least time"].setChecked(True))
    window.book.by_id["compare_plans"].trigger()
    settle(qtbot, window)

    assert came == [ComparisonDialog]
    assert window.workbench.project.operations


def test_a_step_is_ticked_and_the_next_open_one_is_chosen(qtbot, planned):
    open_stage(qtbot, planned, Qt.Key.Key_7)
    choose(planned, lambda line: not line.is_hold and not line.blocked_by)
    first = planned.plan.bench_line
    qtbot.keyClick(planned, Qt.Key.Key_T)
    settle(qtbot, planned)

    assert planned.workbench.project.doings[0].subject == first.key
    assert next(line for line in lines(planned) if line.key == first.key).is_done
    assert planned.plan.bench_line.key != first.key


def test_what_came_out_otherwise_is_kept(qtbot, planned):
    open_stage(qtbot, planned, Qt.Key.Key_7)
    choose(planned, lambda line: not line.is_hold and not line.blocked_by)

    def act(dialog):
        dialog.otherwise.setText("0.75 mm²")
        dialog.planned.setText("0.5 mm²")
        dialog.by.setText("Mara")

    came = dialogs(planned, act)
    planned.book.by_id["how_done"].trigger()
    settle(qtbot, planned)

    assert came == [DoingDialog]
    doing = planned.workbench.project.doings[0]
    assert (doing.by, doing.deviations[0].done) == ("Mara", "0.75 mm²")


def test_a_reading_is_judged_while_it_is_typed_and_the_next_test_comes(qtbot, planned):
    open_stage(qtbot, planned, Qt.Key.Key_8)
    choose(planned, lambda line: not line.test.limit.is_of_words and line.test.limit.high)
    first, said = planned.plan.proof_line, []

    def act(dialog):
        dialog.value.setText("0.1")
        said.append(dialog.verdict.text())

    came = dialogs(planned, act)
    qtbot.keyClick(planned, Qt.Key.Key_M)
    settle(qtbot, planned)

    assert came == [ReadingDialog]
    assert said[0].split(":")[0] in {"PASS", "FAIL", "DOUBTFUL"}
    assert planned.workbench.project.meter_readings[0].test == first.key
    assert planned.plan.proof_line.key != first.key


def test_a_reading_that_is_no_number_is_not_kept(qtbot, planned):
    open_stage(qtbot, planned, Qt.Key.Key_8)
    choose(planned, lambda line: not line.test.limit.is_of_words)
    said = []

    def run(dialog):
        dialog.value.setText("about half")
        dialog.go.click()
        said.append(dialog.fault)
        return bool(dialog.result())

    planned.plan.run = run
    planned.book.by_id["take_reading"].trigger()

    assert "no number" in said[0]
    assert planned.workbench.project.meter_readings == ()


def test_what_a_rule_found_is_let_stand_for_a_reason(qtbot, planned):
    open_stage(qtbot, planned, Qt.Key.Key_9)
    planned.frame.ledger.scope.setChecked(False)
    found = next(line for line in lines(planned) if isinstance(line, RuleLine) and line.is_open)
    said = []

    def run(dialog):
        dialog.go.click()
        said.append(dialog.fault)
        dialog.reason.setPlainText("measured on this van: it is free of volts")
        dialog.go.click()
        return bool(dialog.result())

    planned.plan.run = run
    view = planned.frame.ledger.view
    row = next(k for k, line in enumerate(lines(planned)) if line.key == found.key)
    at = view.visualRect(view.lines.index(row, 0)).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=at)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    settle(qtbot, planned)

    assert said == ["Write why it may stand."]
    line = next(one for one in lines(planned) if one.key == found.key)
    assert line.finding.accepted == "measured on this van: it is free of volts"


def test_the_bench_pack_of_planned_work_is_written(qtbot, planned, tmp_path):
    planned.book.by_id["bench_pack"].trigger()
    settle(qtbot, planned)

    assert list((tmp_path / "out").glob("*.pdf"))


def test_a_hold_point_blocks_until_it_is_signed(qtbot, tmp_path):
    from loomfolio.basics import demo_projects_path
    from loomfolio.desk.starting import copy_of_demo
    from loomfolio.project import Session

    demo = demo_projects_path() / "orchard_tractor_dc_inlet"
    settings = Settings(tmp_path / "desk.ini")
    settings.moves = False
    settings.words = False
    window = DeskWindow(Session.open(copy_of_demo(demo, tmp_path)), settings)
    qtbot.addWidget(window)
    window.show()
    qtbot.waitUntil(lambda: not window.work.standing, timeout=600_000)
    try:
        open_stage(qtbot, window, Qt.Key.Key_7)
        holds = [line for line in lines(window) if line.is_hold]
        assert holds
        waiting = [line for line in lines(window) if line.blocked_by and not line.is_hold]
        choose(window, lambda line: line.key == waiting[0].key)
        qtbot.keyClick(window, Qt.Key.Key_T)
        assert window.workbench.project.doings == ()

        first = next(line for line in holds if not line.blocked_by)
        choose(window, lambda line: line.key == first.key)
        came = dialogs(window, lambda dialog: dialog.by.setText("Mara"))
        window.book.by_id["sign"].trigger()
        settle(qtbot, window)

        assert came == [SignDialog]
        signed = next(line for line in lines(window) if line.key == first.key)
        assert signed.stands == "signed by Mara"
    finally:
        window.close()
