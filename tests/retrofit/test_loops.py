"""Interlock loops connector by connector, bus pairs by ISO 11898-2, screens at ground as drawn."""

from __future__ import annotations

import pytest

from loomfolio.electrics import standard_tables
from loomfolio.retrofit import (
    BusPair,
    InterlockLoop,
    bus_pairs,
    equipment_of,
    interlock_loops,
    screen_checks,
)
from support.make_circuits import Circuit


def loops(made: Circuit) -> tuple[InterlockLoop, ...]:
    return interlock_loops(made.project, made.netlist, equipment_of(made.netlist))


def loop_over(*ways: str, bridge: str = "X1.B:3 - X1.B:4") -> Circuit:
    """A loop from A1:11 over an inverter's contact and an in-line pair whose plug bridges it, back to A1:12."""
    made = Circuit().part("A1", "module").part("U1", "module", *(ways or ("C1:1-C1:2 closed",)))
    made.part("X1", "in-line connector").mate("X1", "3=3", "4=4")
    made.leads("A1:11 - U1 C1:1, U1 C1:2 - X1.A:3, X1.A:4 - A1:12")
    if bridge:
        made.leads(bridge)
    return made.circuit("A1:11", "interlock").circuit("A1:12", "interlock")


def test_a_loop_is_closed_and_each_of_its_connectors_opens_it():
    (loop,) = loops(loop_over())
    assert loop.is_closed
    assert {one.text: one.opens for one in loop.connectors} == {"U1 C1": True, "X1": True}
    assert loop.strays == ()


def test_a_loop_with_an_open_contact_says_which():
    (loop,) = loops(loop_over("C1:1-C1:2 open"))
    assert not loop.is_closed
    assert loop.open_at == ("U1",)


def test_a_loop_whose_bridge_is_missing_is_one_torn_loop():
    (loop,) = loops(loop_over(bridge=""))
    assert not loop.is_closed
    assert [end.pin for end in loop.ends] == ["11", "12"]


def test_a_lead_past_a_plug_leaves_it_unwatched():
    made = loop_over().lead("X1.A:3", "X1.A:4")
    (loop,) = loops(made)
    assert {one.text: one.opens for one in loop.connectors} == {"U1 C1": True, "X1": False}


def test_what_is_joined_to_a_loop_is_told():
    made = loop_over().part("B1", "sensor").part("S1", "splice")
    made.leads("U1 C1:2 - S1:1, S1:2 - B1:1")
    (loop,) = loops(made)
    assert loop.is_closed
    assert made.pin("B1:1") in loop.strays


# -------------------------------------------------------------------------------------------- pairs


def pair(made: Circuit) -> BusPair:
    found = bus_pairs(made.project, made.netlist, equipment_of(made.netlist), standard_tables())
    return found[0]


def bus(modules: int = 2, terminators: int = 2) -> Circuit:
    """Modules A1, A2, … in a row, each joined to the next; the first so many hold 120 ohm."""
    made = Circuit()
    for number in range(1, modules + 1):
        made.part(f"A{number}", "module")
    for number in range(1, modules):
        made.leads(f"A{number}:1 - A{number + 1}:1, A{number}:2 - A{number + 1}:2")
    for number in range(1, terminators + 1):
        made.ohm(f"A{number}:1", f"A{number}:2", 120)
    made.group("CAN", "twist", f"A1:1 A{modules}:1", f"A1:2 A{modules}:2")
    return made.circuit("A1:1", "bus", kbit_per_s=500).circuit("A1:2", "bus", kbit_per_s=500)


@pytest.mark.parametrize(
    ("terminators", "ohm", "state"),
    [(2, 60, "healthy"), (1, 120, "one end missing"), (3, 40, "one end too many")],
)
def test_the_ends_of_a_pair_by_iso_11898_2(terminators, ohm, state):
    found = pair(bus(modules=3, terminators=terminators))
    assert found.resistance is not None
    assert found.resistance.value == pytest.approx(ohm)
    assert found.state == state


def test_no_termination_that_anybody_noted_is_no_reading():
    found = pair(bus(terminators=0))
    assert found.resistance is None
    assert found.state is None


def test_a_termination_without_its_resistance_is_named():
    made = bus(terminators=1).part("A9", "module", "1-2 loads termination")
    made.leads("A2:1 - A9:1, A2:2 - A9:2")
    assert pair(made).unsized == ("A9 termination",)


def test_a_pair_stays_a_pair_over_splices():
    made = bus().part("S1", "splice").part("S2", "splice").part("A9", "module")
    made.leads("A2:1 - S1:1, A2:2 - S2:1, S1:2 - A9:1, S2:2 - A9:2")
    assert pair(made).partings == ()


def test_a_lead_that_goes_another_way_than_its_partner_is_told():
    made = bus().part("A9", "module").part("X1", "in-line connector").mate("X1", "1=1")
    made.leads("A2:1 - A9:1, A2:2 - X1.A:1, X1.B:1 - A9:2")
    text = " ".join(pair(made).partings)
    assert "A2 to A9" in text
    assert "A2 to X1.A" in text


def test_a_stub_is_held_against_the_limit_of_its_bit_rate():
    made = bus(modules=2).part("A9", "module")
    made.lead("A1:1", "A9:1", length_m=1.4).lead("A1:2", "A9:2", length_m=1.4)
    (stub,) = pair(made).stubs
    assert stub.bound is not None
    assert not stub.bound.is_met
    assert stub.bound.limit.value == 1.0


def test_a_stub_of_which_nobody_knows_the_length_is_not_judged():
    made = bus(modules=2).part("A9", "module").leads("A1:1 - A9:1, A1:2 - A9:2")
    (stub,) = pair(made).stubs
    assert (stub.length_m, stub.bound) == (None, None)


# ------------------------------------------------------------------------------------------ screens


def screened(ends: str) -> Circuit:
    made = Circuit().part("A1", "module").part("B1", "sensor").part("X1", "in-line connector")
    made.part("SG1", "ground point", on="sensor ground").part("GND1", "ground point", on="chassis")
    made.leads("A1:1 - B1:1, A1:2 - B1:2")
    return made.group("Force", "screen", "A1:1 B1:1", "A1:2 B1:2", ends=ends)


@pytest.mark.parametrize(
    ("ends", "grounds"),
    [
        pytest.param("SG1:1", [("SG1",)], id="one end"),
        pytest.param("SG1:1 GND1:1", [("SG1",), ("GND1",)], id="both"),
        pytest.param("X1:1", [()], id="in the air"),
        pytest.param("", [], id="nothing said"),
    ],
)
def test_a_screen_is_at_ground_where_it_is_drawn(ends, grounds):
    (check,) = screen_checks(screened(ends).netlist)
    assert [end.grounds for end in check.ends] == grounds
    assert len(check.grounded) == sum(bool(names) for names in grounds)
