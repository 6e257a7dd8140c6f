"""What is known of circuits: one note for one subject, states by name, rules let stand; and what cannot be kept."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError
from loomfolio.project import (
    FuseNote,
    LoadNote,
    PinDrive,
    PinKey,
    Project,
    SupplyNote,
    WaySetting,
    edits,
    faults,
)

P, RELAY = edits.add_part(Project(), name="K1", kind="relay")
P, LAMP = edits.add_part(P, name="E1", kind="lamp")
COIL = (PinKey(part=RELAY, pin="85"), PinKey(part=RELAY, pin="86"))
CONTACT = (PinKey(part=RELAY, pin="30"), PinKey(part=RELAY, pin="87"))
LAMP_PLUS, LAMP_MINUS = (PinKey(part=LAMP, pin=n) for n in "12")


def test_noting_again_changes_the_note_in_its_place():
    p, first = edits.note_load(P, pin=LAMP_PLUS, current_a=1.75)
    p, other = edits.note_load(p, pin=LAMP_PLUS, back=LAMP_MINUS, current_a=0.4)
    p, again = edits.note_load(p, pin=LAMP_PLUS, current_a=2.0)
    assert again == first != other
    assert [n.current_a for n in p.electric_notes if isinstance(n, LoadNote)] == [2.0, 0.4]


def test_a_pin_may_be_of_two_classes():
    p, _ = edits.note_circuit(P, pin=LAMP_PLUS, circuit="bus", kbit_per_s=500)
    p, _ = edits.note_circuit(p, pin=LAMP_PLUS, circuit="screened")
    assert [note.kind for note in p.electric_notes] == ["circuit", "circuit"]


def test_the_two_pins_of_a_resistance_have_no_order():
    p, first = edits.note_resistance(P, ends=COIL, ohm=85)
    p, again = edits.note_resistance(p, ends=COIL[::-1], ohm=90)
    assert first == again
    assert edits.remove_notes(p, [first]).electric_notes == ()


@pytest.mark.parametrize(
    "note",
    [
        pytest.param(lambda p: edits.note_resistance(p, ends=(COIL[0], LAMP_PLUS), ohm=85), id="2"),
        pytest.param(lambda p: edits.note_resistance(p, ends=(COIL[0], COIL[0]), ohm=85), id="1"),
        pytest.param(lambda p: edits.note_resistance(p, ends=COIL, ohm=0), id="no resistance"),
        pytest.param(lambda p: edits.note_load(p, pin=LAMP_PLUS, current_a=-1), id="minus"),
        pytest.param(lambda p: edits.note_fuse(p, part="part-99", rating_a=10), id="no part"),
        pytest.param(lambda p: edits.accept_rule(p, "hv.joint", "  "), id="no reason"),
    ],
)
def test_what_cannot_be_keeps_the_document_as_it_is(note):
    with pytest.raises(EditError) as told:
        note(P)
    assert str(told.value).count("\n") == 0
    assert P.electric_notes == ()


def test_two_states_of_one_name_cannot_be_told_apart():
    p, parked = edits.add_state(P, name=" parked ")
    with pytest.raises(EditError, match="already"):
        edits.add_state(p, name="Parked")
    renamed = p.states[0].model_copy(update={"name": "asleep"})
    p = edits.change_state(p, renamed)
    assert [state.name for state in p.states] == ["asleep"]
    assert edits.remove_state(p, parked).states == ()


def test_removing_a_part_takes_out_what_was_known_of_it_and_leaves_the_rest_of_a_state():
    p, _ = edits.note_supply(P, pin=LAMP_PLUS, back=COIL[0], voltage_v=12)
    p, _ = edits.note_fuse(p, part=RELAY, rating_a=10)
    p, _ = edits.note_relay(p, part=RELAY, suppression="diode")
    p, _ = edits.note_supply(p, pin=LAMP_MINUS, voltage_v=5)
    p, _ = edits.add_state(
        p,
        name="on",
        supplies=(LAMP_PLUS, COIL[0]),
        settings=(WaySetting(ends=CONTACT, is_closed=True),),
        drives=(PinDrive(pin=LAMP_MINUS, drives="minus"), PinDrive(pin=COIL[1], drives="off")),
    )
    p = edits.remove_part(p, RELAY)
    assert [note.pin for note in p.electric_notes if isinstance(note, SupplyNote)] == [LAMP_MINUS]
    (state,) = p.states
    assert (state.supplies, state.settings) == ((LAMP_PLUS,), ())
    assert state.drives == (PinDrive(pin=LAMP_MINUS, drives="minus"),)
    assert list(faults(p)) == []


def test_a_rule_is_let_stand_once_with_its_last_reason():
    p, first = edits.accept_rule(P, "fuse.area", "old loom, as built")
    p, again = edits.accept_rule(p, "fuse.area", "the maker's own pairing")
    assert first == again
    assert [one.reason for one in p.accepted_rules] == ["the maker's own pairing"]
    assert edits.withdraw_rule_acceptance(p, first).accepted_rules == ()


def test_a_fuse_note_says_what_kind_of_fuse_it_is():
    p, _ = edits.note_fuse(P, part=RELAY, rating_a=7.5, fuse_kind="F")
    (note,) = p.electric_notes
    assert isinstance(note, FuseNote)
    assert (note.rating_a, note.fuse_kind) == (7.5, "F")
