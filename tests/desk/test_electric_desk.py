"""Circuits, states, what is live, and places: typed and chosen in the real dialogs."""

import pytest

from loomfolio.desk.dialogs.circuit import CLASSES
from loomfolio.project import CircuitNote, LoadNote, SupplyNote
from support.make_desk import fitted_job, pin


@pytest.fixture
def window(open_window):
    return open_window(fitted_job())


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not window.work.standing, timeout=30_000)


def act(window, action_id, in_dialog):
    """Run the dialog of an action by what a person does in it; what it says is returned."""
    said = []

    def run(dialog):
        in_dialog(dialog)
        dialog.go.click()
        said.append(dialog.fault)
        return bool(dialog.result())

    window.electric.run = run
    window.book.refresh()
    window.book.by_id[action_id].trigger()
    return said


def choose_pin(window, wanted):
    window.looking.open_stage("pins")
    view = window.frame.ledger.view
    window.frame.ledger.scope.setChecked(False)
    row = next(k for k, line in enumerate(view.all_lines()) if line.pin == wanted)
    view.setCurrentIndex(view.lines.index(row, 0))


def notes(window, kind):
    return [one for one in window.workbench.project.electric_notes if isinstance(one, kind)]


def fill(dialog, **texts):
    for name, text in texts.items():
        getattr(dialog, name).setText(text)


def test_what_a_pin_draws_and_supplies_is_kept(qtbot, window):
    choose_pin(window, pin("F5", "1"))
    act(window, "circuit", lambda d: fill(d, load_a="2,5", supply_v="12", fuse_a="15"))
    settle(qtbot, window)

    assert notes(window, LoadNote)[0].current_a == 2.5
    assert notes(window, SupplyNote)[0].fuse_a == 15


def test_a_class_is_said_changed_and_withdrawn(qtbot, window):
    choose_pin(window, pin("F5", "1"))
    for word in ("interlock", "bus", None):
        act(
            window,
            "circuit",
            lambda d, w=word: d.circuit.setCurrentIndex(1 + CLASSES.index(w) if w else 0),
        )
        settle(qtbot, window)
        assert [one.circuit for one in notes(window, CircuitNote)] == ([word] if word else [])


def test_high_voltage_shows_its_caution(window):
    choose_pin(window, pin("F5", "1"))
    seen = []

    def look(dialog):
        seen.append(dialog.caution.isVisibleTo(dialog))
        dialog.circuit.setCurrentIndex(1 + CLASSES.index("high voltage"))
        seen.append(dialog.caution.isVisibleTo(dialog))

    act(window, "circuit", look)

    assert seen == [False, True]


def test_a_current_that_is_no_number_is_said(window):
    choose_pin(window, pin("F5", "1"))

    said = act(window, "circuit", lambda d: fill(d, load_a="a lot"))

    assert "is no number" in said[0]
    assert window.workbench.project.electric_notes == ()


def test_a_state_is_named_and_what_is_live_in_it_shown(qtbot, window):
    from PySide6.QtCore import Qt

    choose_pin(window, pin("F5", "1"))
    act(window, "circuit", lambda d: fill(d, supply_v="12"))
    settle(qtbot, window)

    def name(dialog):
        dialog.name.setText("ignition on")
        dialog.supplies.item(0).setCheckState(Qt.CheckState.Checked)

    act(window, "states", name)
    settle(qtbot, window)
    shown = {}

    def look(dialog):
        for row in range(dialog.table.rowCount()):
            shown[dialog.table.item(row, 0).text()] = dialog.table.item(row, 2).text()
        dialog.filter.setText("E3")
        shown["only"] = {dialog.table.item(k, 0).text() for k in range(dialog.table.rowCount())}

    act(window, "live", look)

    assert shown["F5:1"] == "●  live"
    assert shown["F5:2"] == "●  live"  # the fuse passes
    assert all(text.startswith("E3") for text in shown["only"])


def test_a_state_without_a_name_is_not_kept(window):
    said = act(window, "states", lambda d: None)

    assert "Give the state a name" in said[0]
    assert window.workbench.project.states == ()


def test_zones_ways_and_places_are_one_step(qtbot, window):
    def tell(dialog):
        for name in ("Cab", "Load floor"):
            dialog._add_zone()
            dialog.zones.item(dialog.zones.rowCount() - 1, 0).setText(name)
        dialog.tabs.setCurrentIndex(1)
        dialog._add_way()
        dialog._box(dialog.ways, 0, 0).setCurrentText("Cab")
        dialog._box(dialog.ways, 0, 1).setCurrentText("Load floor")
        dialog.ways.item(0, 2).setText("2,4")
        dialog.tabs.setCurrentIndex(2)
        dialog._box(dialog.places, 0, 1).setCurrentText("Cab")

    act(window, "zones", tell)
    settle(qtbot, window)
    project = window.workbench.project

    assert [zone.name for zone in project.zones] == ["Cab", "Load floor"]
    assert project.zone_ways[0].length_m == 2.4
    assert len(project.placements) == 1

    window.book.by_id["undo"].trigger()
    settle(qtbot, window)

    assert window.workbench.project.zones == ()


def test_what_was_told_of_zones_is_shown_again_and_changes(qtbot, window):
    def tell(dialog):
        dialog._add_zone()
        dialog.zones.item(0, 0).setText("Cab")
        dialog._box(dialog.zones, 0, 1).setCurrentText("wet")

    act(window, "zones", tell)
    settle(qtbot, window)
    seen = []

    def change(dialog):
        seen.append(dialog._box(dialog.zones, 0, 1).currentText())
        dialog._box(dialog.zones, 0, 1).setCurrentText("dry")

    act(window, "zones", change)
    settle(qtbot, window)

    assert seen == ["wet"]
    assert window.workbench.project.zones[0].is_wet is False
