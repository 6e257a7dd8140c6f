"""Which class each net is of: by notes, by references and screens, and on through what conducts."""

from __future__ import annotations

from loomfolio.retrofit import circuit_reasons, circuits_of
from support.make_circuits import Circuit


def classes(made: Circuit, pin: str) -> frozenset[str]:
    return circuits_of(made.project, made.netlist).get(
        made.netlist.net_by_pin[made.pin(pin)], frozenset()
    )


def test_a_note_speaks_of_the_whole_net_of_its_pin():
    made = Circuit().part("A1", "module").part("S1", "splice").part("A2", "module")
    made.leads("A1:1 - S1:1, S1:2 - A2:1, A1:2 - A2:2").circuit("A1:1", "bus")
    assert classes(made, "A2:1") == {"bus"}
    assert classes(made, "A2:2") == frozenset()


def test_high_voltage_goes_on_through_fuse_contactor_and_load_and_not_to_a_coil():
    made = (
        Circuit()
        .part("G2", "battery")
        .part("F80", "fuse", "1-2 closed")
        .part("U1", "module", "1-2 loads")
    )
    made.part("K81", "relay", "A1-A2 loads coil", "1-2 open contact").part("A40", "module")
    made.leads("G2:+ - F80:1, F80:2 - K81:1, K81:2 - U1:1, K81:A1 - A40:6")
    made.leads("U1:2 - A40:9").circuit("G2:+", "high voltage", voltage_v=350)
    assert classes(made, "U1:1") == classes(made, "U1:2") == {"high voltage"}
    assert classes(made, "K81:A1") == frozenset()
    net = made.netlist.net_by_pin[made.pin("U1:1")]
    reason = circuit_reasons(made.project, made.netlist)[net]["high voltage"]
    assert reason == "high voltage is stated at G2:+, through F80, through K81"


def test_an_interlock_goes_through_contacts_and_not_through_what_loads():
    made = (
        Circuit()
        .part("A1", "module")
        .part("S80", "switch", "1-2 open")
        .part("E1", "lamp", "1-2 loads")
    )
    made.leads("A1:11 - S80:1, S80:2 - E1:1, E1:2 - A1:3").circuit("A1:11", "interlock")
    assert classes(made, "E1:1") == {"interlock"}
    assert classes(made, "E1:2") == frozenset()


def test_the_sensors_own_ground_is_known_by_its_reference():
    made = Circuit().part("SG1", "ground point", on="sensor ground").part("B1", "sensor")
    made.part("GND1", "ground point", on="chassis").part("E1", "lamp")
    made.leads("B1:2 - SG1:1, E1:2 - GND1:1")
    assert classes(made, "B1:2") == {"sensor ground"}
    assert classes(made, "E1:2") == frozenset()


def test_traction_minus_is_high_voltage_too():
    made = Circuit().part("G2", "battery").part("U1", "module").leads("G2:- - U1:2")
    made.circuit("G2:-", "traction minus")
    assert classes(made, "U1:2") == {"high voltage", "traction minus"}


def test_the_leads_in_a_screen_are_screened_and_those_of_a_twist_are_not():
    made = Circuit().part("A1", "module").part("B1", "sensor").leads("A1:1 - B1:1, A1:2 - B1:2")
    made.group("Force", "screen", "A1:1 B1:1").group("Pair", "twist", "A1:2 B1:2")
    assert classes(made, "B1:1") == {"screened"}
    assert classes(made, "B1:2") == frozenset()


def test_a_note_at_a_pin_that_the_fit_does_not_have_says_nothing():
    made = Circuit().part("A1", "module").part("A2", "module", when="t").leads("A1:1 - A1:2")
    made.circuit("A2:9", "bus")
    job = made.job()
    assert circuits_of(made.project, job.vehicle.netlist) == {}
