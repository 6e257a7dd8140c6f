"""The live table: what is live, dead or unknown in a state, by which path; relays at rest; volts and amperes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.retrofit import LiveTable, live_table, path_text
from support.make_circuits import Circuit


def battery() -> Circuit:
    """A 12 V battery with its minus at chassis, and a fuse behind it."""
    made = Circuit().part("G1", "battery").part("GND1", "ground point", on="chassis")
    made.part("F1", "fuse", "1-2 closed")
    return made.leads("G1:+ - F1:1, G1:- - GND1:1").supply("G1:+", 12.0, back="G1:-")


def table(made: Circuit, on: str = "G1:+", **fields: object) -> LiveTable:
    state = made.state(f"state {len(made.project.states)}", on, **fields)  # type: ignore[arg-type]
    return live_table(made.project, made.netlist, state)


def answer(found: LiveTable, made: Circuit, pin: str) -> str:
    return found.pins[made.pin(pin)].answer


def path(found: LiveTable, made: Circuit, pin: str) -> str:
    return path_text(found.pins[made.pin(pin)].path)


def kinds(found: LiveTable) -> list[str]:
    return [fault.kind for fault in found.faults]


def test_a_lamp_behind_an_open_switch_is_dead_and_behind_a_closed_one_live():
    made = battery().part("S1", "switch", "1-2 open").part("E1", "lamp", "1-2 loads")
    made.leads("F1:2 - S1:1, S1:2 - E1:1, E1:2 - GND1:2")
    dark, lit = table(made), table(made, closed=("S1:1-2",))
    assert [answer(dark, made, pin) for pin in ("S1:1", "E1:1", "E1:2")] == ["live", "dead", "dead"]
    assert answer(lit, made, "E1:1") == "live"
    assert path(lit, made, "E1:1") == "G1:+ ╌ F1 ╌ F1:2 ╌ S1 ╌ S1:2"
    assert path(dark, made, "E1:2") == "GND1:1"


def test_the_open_end_of_a_lamp_is_live_through_the_lamp():
    made = battery().part("E1", "lamp", "1-2 loads").part("S1", "switch", "1-2 open")
    made.leads("F1:2 - E1:1, E1:2 - S1:1, S1:2 - GND1:2")
    found = table(made)
    assert answer(found, made, "E1:2") == "live"
    assert "through a load" in found.pins[made.pin("E1:2")].reason
    assert path(found, made, "E1:2").endswith("≈ E1 ≈ E1:2")
    assert answer(table(made, closed=("S1:1-2",)), made, "E1:2") == "dead"


def test_what_a_module_does_is_not_guessed():
    made = battery().part("A1", "module").part("E1", "lamp", "1-2 loads")
    made.leads("F1:2 - A1 C1:1, A1 C1:3 - E1:1, E1:2 - GND1:2")
    found = table(made)
    assert answer(found, made, "A1 C1:1") == "live"
    assert answer(found, made, "E1:1") == "unknown"
    assert "A1 C1:3" in found.pins[made.pin("E1:1")].reason
    stated = {
        drive: answer(table(made, drives={"A1 C1:3": drive}), made, "E1:1")
        for drive in ("plus", "minus", "off")
    }
    assert stated == {"plus": "live", "minus": "dead", "off": "dead"}


def test_a_switch_of_unknown_rest_leaves_unknown_what_is_behind_it():
    made = battery().part("S1", "switch", "1-2 unknown").part("E1", "lamp", "1-2 loads")
    made.leads("F1:2 - S1:1, S1:2 - E1:1, E1:2 - GND1:2")
    assert answer(table(made), made, "E1:1") == "unknown"


def test_an_unconfirmed_mate_may_meet_and_nobody_knows():
    made = battery().part("X1", "in-line connector").part("E1", "lamp", "1-2 loads")
    made.leads("F1:2 - X1.A:1, X1.B:4 - E1:1, E1:2 - GND1:2").mate("X1", "1=4", confirmed=False)
    assert answer(table(made), made, "E1:1") == "unknown"
    sure = battery().part("X1", "in-line connector").part("E1", "lamp", "1-2 loads")
    sure.leads("F1:2 - X1.A:1, X1.B:4 - E1:1, E1:2 - GND1:2").mate("X1", "1=4")
    assert answer(table(sure), sure, "E1:1") == "live"


def test_a_sensor_ground_is_no_chassis():
    made = battery().part("SG1", "ground point", on="sensor ground").part("E1", "lamp", "1-2 loads")
    made.leads("F1:2 - E1:1, E1:2 - SG1:1")
    assert answer(table(made), made, "SG1:1") == "live"


def test_a_supply_that_is_off_is_dead_with_all_behind_its_fuse():
    made = battery().part("KL15", "supply").part("F2", "fuse", "1-2 closed").part("A1", "module")
    made.leads("KL15:1 - F2:1, F2:2 - A1:1").supply("KL15:1")
    off, on = table(made), table(made, on="G1:+ KL15:1")
    assert answer(off, made, "F2:2") == "dead"
    assert "KL15:1 is off" in off.pins[made.pin("F2:1")].reason
    assert answer(on, made, "A1:1") == "live"


# ------------------------------------------------------------------------------------------- relays


def relay(made: Circuit, name: str, *contacts: str) -> Circuit:
    return made.part(name, "relay", "85-86 loads coil", *contacts)


def test_a_coil_fed_on_both_ends_pulls_its_contacts():
    made = relay(battery().part("S1", "switch", "1-2 open"), "K1", "30-87 open", "30-87a closed")
    made.leads("F1:2 - S1:1, S1:2 - K1:86, K1:85 - GND1:2, F1:2 - K1:30").part(
        "E1", "lamp", "1-2 loads"
    ).leads("K1:87 - E1:1, E1:2 - GND1:3")
    made.part("E2", "lamp", "1-2 loads").leads("K1:87a - E2:1, E2:2 - GND1:4")
    rest, pulled = table(made), table(made, closed=("S1:1-2",))
    assert [answer(rest, made, pin) for pin in ("E1:1", "E2:1")] == ["dead", "live"]
    assert [answer(pulled, made, pin) for pin in ("E1:1", "E2:1")] == ["live", "dead"]
    assert [one.is_pulled for one in pulled.relays] == [True]


def test_a_relay_pulls_the_next_one_and_all_come_to_rest():
    made = battery().part("S1", "switch", "1-2 open").leads("F1:2 - S1:1")
    for number in range(1, 6):
        relay(made, f"K{number}", "30-87 open")
        before = "S1:2" if number == 1 else f"K{number - 1}:87"
        made.leads(f"{before} - K{number}:86, K{number}:85 - GND1:{number + 1}")
        made.leads(f"F1:2 - K{number}:30")
    assert [one.is_pulled for one in table(made).relays] == [False] * 5
    assert [one.is_pulled for one in table(made, closed=("S1:1-2",)).relays] == [True] * 5


def test_a_coil_whose_other_end_a_module_holds_is_unknown_and_so_is_its_contact():
    made = relay(battery().part("A1", "module"), "K1", "30-87 open")
    made.leads("F1:2 - K1:86, K1:85 - A1:17, F1:2 - K1:30").part("E1", "lamp", "1-2 loads")
    made.leads("K1:87 - E1:1, E1:2 - GND1:2")
    unknown, driven = table(made), table(made, drives={"A1:17": "minus"})
    assert unknown.relays[0].is_pulled is None
    assert answer(unknown, made, "E1:1") == "unknown"
    assert driven.relays[0].is_pulled is True
    assert answer(driven, made, "E1:1") == "live"
    assert table(made, drives={"A1:17": "off"}).relays[0].is_pulled is False


def test_a_relay_that_cuts_its_own_coil_off_does_not_come_to_rest_and_that_is_said():
    made = relay(battery(), "K1", "30-87a closed")
    made.leads("F1:2 - K1:30, K1:87a - K1:86, K1:85 - GND1:2")
    found = table(made)
    assert found.relays[0].is_pulled is None
    assert kinds(found) == ["no rest"]
    assert answer(found, made, "K1:86") == "unknown"


def test_a_setting_of_the_person_holds_a_contact_whatever_its_coil_does():
    made = relay(battery(), "K1", "30-87 open")
    made.leads("F1:2 - K1:86, K1:85 - GND1:2, F1:2 - K1:30").part("E1", "lamp", "1-2 loads")
    made.leads("K1:87 - E1:1, E1:2 - GND1:3")
    assert answer(table(made, opened=("K1:30-87",)), made, "E1:1") == "dead"


# ------------------------------------------------------------------------------------------- faults


def test_a_short_is_told_with_its_path():
    made = battery().part("S1", "switch", "1-2 open").leads("F1:2 - S1:1, S1:2 - GND1:2")
    assert kinds(table(made)) == []
    found = table(made, closed=("S1:1-2",))
    assert kinds(found) == ["short"]
    assert "GND1:1 ╌ S1" in path_text(found.faults[0].path)


def test_a_supply_that_is_off_and_fed_back_through_a_lamp_is_told():
    made = battery().part("KL15", "supply").supply("KL15:1").part("E1", "lamp", "1-2 loads")
    made.leads("F1:2 - E1:1, E1:2 - KL15:1")
    (fault,) = table(made).faults
    assert fault.kind == "fed back"
    assert "≈ E1" in path_text(fault.path)


def test_a_diode_feeds_one_way_only():
    made = battery().part("KL15", "supply").supply("KL15:1").part("V1", "diode", "1-2 closed")
    made.leads("KL15:1 - V1:1, V1:2 - F1:2")
    assert kinds(table(made)) == []
    turned = battery().part("KL15", "supply").supply("KL15:1").part("V1", "diode", "1-2 closed")
    turned.leads("KL15:1 - V1:2, V1:1 - F1:2")
    assert kinds(table(turned)) == ["fed back"]


def test_two_supplies_that_a_switch_joins_are_told():
    made = battery().part("G2", "battery").supply("G2:+", back="G2:-").leads("G2:- - GND1:2")
    made.part("S1", "switch", "1-2 open").leads("F1:2 - S1:1, S1:2 - G2:+")
    assert kinds(table(made, on="G1:+ G2:+")) == []
    assert kinds(table(made, on="G1:+ G2:+", closed=("S1:1-2",))) == ["supplies joined"]


def test_both_poles_of_a_battery_that_is_not_on_chassis_are_live():
    made = battery().part("G2", "battery").supply("G2:+", 350, back="G2:-")
    made.part("U1", "module", "1-2 loads inverter").leads("G2:+ - U1:1, G2:- - U1:2")
    found = table(made, on="G1:+ G2:+")
    assert [answer(found, made, pin) for pin in ("U1:1", "U1:2")] == ["live", "live"]
    assert kinds(found) == []


# ------------------------------------------------------------------------------- volts and amperes


def volts(found: LiveTable, made: Circuit, pin: str) -> float | None:
    figure = found.pins[made.pin(pin)].volts
    return None if figure is None else figure.value


def amperes(found: LiveTable, made: Circuit, pin: str) -> float | None:
    values = [one.amperes.value for one in found.currents if one.ends[0] == made.pin(pin)]
    return values[0] if values else None


def divider() -> Circuit:
    made = battery().part("R1", "resistor", "1-2 loads").part("R2", "resistor", "1-2 loads")
    return made.leads("F1:2 - R1:1, R1:2 - R2:1, R2:2 - GND1:2")


def test_a_divider_has_volts_and_amperes_where_both_resistances_are_known():
    made = divider().ohm("R1:1", "R1:2", 400).ohm("R2:1", "R2:2", 800)
    found = table(made)
    assert volts(found, made, "R1:2") == pytest.approx(8.0)
    assert amperes(found, made, "R1:1") == pytest.approx(0.01)
    assert amperes(found, made, "F1:1") == pytest.approx(0.01)
    why = found.pins[made.pin("R1:2")].volts
    assert why is not None
    assert {leaf.value for leaf in why.leaves()} == {12.0, 400.0, 800.0}


def test_one_resistance_that_nobody_noted_leaves_the_middle_without_volts():
    made = divider().ohm("R1:1", "R1:2", 400)
    found = table(made)
    assert volts(found, made, "R1:2") is None
    assert volts(found, made, "R1:1") == 12.0
    assert amperes(found, made, "F1:1") is None


def test_an_inferred_value_is_no_source():
    made = divider().ohm("R1:1", "R1:2", 400)
    made.project = made.project.model_copy(
        update={
            "electric_notes": tuple(
                note.model_copy(update={"known": note.known.model_copy(update={"how": "inferred"})})
                if note.kind == "resistance"
                else note
                for note in made.project.electric_notes
            )
        }
    )
    made.ohm("R2:1", "R2:2", 800)
    assert volts(table(made), made, "R1:2") is None


def test_a_source_with_an_inner_resistance_drops_by_all_that_is_drawn():
    made = Circuit().part("G1", "battery").part("GND1", "ground point", on="chassis")
    made.leads("G1:- - GND1:1").supply("G1:+", 12.0, back="G1:-", source_ohm=0.02)
    made.part("E1", "lamp", "1-2 loads").leads("G1:+ - E1:1, E1:2 - GND1:2").load("E1:1", 5, "E1:2")
    found = table(made)
    assert volts(found, made, "E1:1") == pytest.approx(11.9)
    made.part("E2", "lamp", "1-2 loads").leads("G1:+ - E2:1, E2:2 - GND1:3")
    del made.__dict__["netlist"]
    assert volts(table(made), made, "E1:1") is None


# -------------------------------------------------------------------------- against a graph library


@given(
    links=st.lists(
        st.tuples(
            st.integers(0, 7), st.integers(0, 7), st.sampled_from(["closed", "open", "loads"])
        ),
        max_size=14,
    ),
    grounded=st.sets(st.integers(1, 7), max_size=2),
)
def test_reachability_is_that_of_a_graph_library(links, grounded):
    """Ways between eight places, the battery at place 0: held by closed ways, live beyond over loads."""
    made = Circuit().part("G1", "battery").part("GND9", "ground point", on="chassis")
    made.part("J9", "joint connector").leads("G1:- - GND9:1").supply("G1:+", 12, back="G1:-")
    closed, conducting = nx.Graph(), nx.Graph()
    closed.add_nodes_from([*range(8), "ground"])
    for place in range(8):
        made.part(f"N{place}", "splice")
    made.lead("G1:+", "N0:1")
    for place in grounded:
        made.lead(f"N{place}:2", "GND9:2")
        closed.add_edge(place, "ground")
    for number, (a, b, how) in enumerate(links):
        if a == b:
            continue
        made.part(f"W{number}", "resistor" if how == "loads" else "switch", f"1-2 {how}")
        made.lead(f"W{number}:1", f"N{a}:a{number}").lead(f"W{number}:2", f"N{b}:b{number}")
        if how != "open":
            conducting.add_edge(a, b)
        if how == "closed":
            closed.add_edge(a, b)
    high = nx.node_connected_component(closed, 0)
    low = nx.node_connected_component(closed, "ground")
    free = [n for n in range(8) if n not in low or n in high]
    lit = (
        nx.node_connected_component(nx.Graph(conducting.subgraph([*free])), 0)
        if 0 in conducting
        else {0}
    )
    found = table(made)
    for place in range(8):
        pins = [pin for pin in found.pins if made.project.part(pin.part).name == f"N{place}"]
        expected = "live" if place in high | lit else "dead"
        assert {found.pins[pin].answer for pin in pins} <= {expected}
    assert ("short" in kinds(found)) == ("ground" in high)


# ------------------------------------------------------------- what is not known is never guessed


@st.composite
def half_known(draw) -> Circuit:
    """Six places with a battery at the first and chassis at the last; switches, loads, a relay, modules."""
    made = Circuit().part("G1", "battery").part("GND1", "ground point", on="chassis")
    made.leads("G1:- - GND1:1").supply("G1:+", 12, back="G1:-")
    for place in range(6):
        made.part(f"N{place}", "splice")
    made.leads("G1:+ - N0:1, GND1:2 - N5:1")
    places = st.integers(0, 5)
    for number in range(draw(st.integers(1, 6))):
        a, b = draw(places), draw(places)
        how = draw(st.sampled_from(["closed", "open", "unknown", "loads", "loads"]))
        made.part(f"W{number}", "resistor" if how == "loads" else "switch", f"1-2 {how}")
        made.lead(f"W{number}:1", f"N{a}:a{number}").lead(f"W{number}:2", f"N{b}:b{number}")
    for number in range(draw(st.integers(0, 2))):
        rest = draw(st.sampled_from(["open", "closed"]))
        made.part(f"K{number}", "relay", "85-86 loads coil", f"30-87 {rest}")
        for pin in ("30", "85", "86", "87"):
            made.lead(f"K{number}:{pin}", f"N{draw(places)}:k{number}{pin}")
    for number in range(draw(st.integers(0, 2))):
        made.part(f"A{number}", "module").lead(f"A{number}:1", f"N{draw(places)}:m{number}")
    return made


def completions(made: Circuit, told: LiveTable) -> Iterator[dict[str, object]]:
    """Every way in which what is not known may be: switches open or closed, modules to plus, to minus, off.

    No module drives against what holds its pin in any case.
    """
    may_drive = {
        "live": ("plus", "off"),
        "dead": ("minus", "off"),
        "unknown": ("plus", "minus", "off"),
    }
    parts = made.project.parts
    switches = [
        p.name
        for p in parts
        if any(way.at_rest == "unknown" for way in p.ways if way.relation == "passes")
    ]
    modules = [p.name for p in parts if p.kind == "module"]
    for positions in product((True, False), repeat=len(switches)):
        for drives in product(*(may_drive[answer(told, made, f"{name}:1")] for name in modules)):
            stands = list(zip(switches, positions, strict=True))
            yield {
                "closed": tuple(f"{name}:1-2" for name, is_closed in stands if is_closed),
                "opened": tuple(f"{name}:1-2" for name, is_closed in stands if not is_closed),
                "drives": {f"{name}:1": to for name, to in zip(modules, drives, strict=True)},
            }


@given(made=half_known())
def test_what_is_told_holds_however_the_unknown_turns_out(made):
    """But where that makes a short, or a relay that never rests: then nothing is as told."""
    told = table(made)
    if kinds(told):
        return
    for fields in completions(made, told):
        full = table(made, **fields)
        if {"short", "no rest"} & set(kinds(full)):
            continue
        for pin, one in told.pins.items():
            assert one.answer in ("unknown", full.pins[pin].answer)
        for before, after in zip(told.relays, full.relays, strict=True):
            assert before.is_pulled in (None, after.is_pulled)


# ---------------------------------------------------------------------- volts against linear algebra

Resistors = list[tuple[int, int, float | None]]


@st.composite
def resistor_nets(draw) -> Resistors:
    """Resistors between five places, of which the first is at 12 V and the last at chassis; some unknown."""
    places = st.integers(0, 4)
    ohms = st.one_of(st.none(), st.sampled_from([10.0, 47.0, 120.0, 1000.0]))
    drawn = draw(st.lists(st.tuples(places, places, ohms), min_size=1, max_size=7))
    return [(a, b, ohm) for a, b, ohm in drawn if a != b]


def resistor_net(resistors: Resistors, filled_ohm: float | None = None) -> Circuit:
    made = battery()
    for place in range(5):
        made.part(f"N{place}", "splice")
    made.leads("F1:2 - N0:1, GND1:2 - N4:1")
    for number, (a, b, ohm) in enumerate(resistors):
        made.part(f"R{number}", "resistor", "1-2 loads")
        made.lead(f"R{number}:1", f"N{a}:a{number}").lead(f"R{number}:2", f"N{b}:b{number}")
        if ohm is not None or filled_ohm is not None:
            made.ohm(f"R{number}:1", f"R{number}:2", ohm if ohm is not None else filled_ohm or 1.0)
    return made


def volts_of_places(made: Circuit) -> dict[str, float]:
    """The volts that are told, by place."""
    found = table(made)
    told = {}
    for pin, one in found.pins.items():
        name = made.project.part(pin.part).name
        if name.startswith("N") and one.volts is not None:
            told[name] = one.volts.value
    return told


def dense_volts(resistors: Resistors) -> dict[str, float]:
    """Nodal analysis with a dense matrix, of the places that hang together with chassis or the battery."""
    graph = nx.Graph((a, b) for a, b, _ in resistors)
    graph.add_nodes_from([0, 4])
    fixed = nx.node_connected_component(graph, 0) | nx.node_connected_component(graph, 4)
    matrix, right = np.zeros((5, 5)), np.zeros(5)
    for a, b, ohm in resistors:
        for one, other in ((a, b), (b, a)):
            matrix[one, one] += 1 / (ohm or 1)
            matrix[one, other] -= 1 / (ohm or 1)
    for place, volt in ((0, 12.0), (4, 0.0)):
        matrix[place], right[place] = np.eye(5)[place], volt
    free = [place for place in range(5) if place not in fixed]
    for place in free:
        matrix[place] = np.eye(5)[place]
    solved = np.linalg.solve(matrix, right)
    return {f"N{place}": float(solved[place]) for place in sorted(fixed)}


@given(resistors=resistor_nets())
def test_volts_are_those_of_a_dense_analysis(resistors):
    known = [(a, b, 33.0 if ohm is None else ohm) for a, b, ohm in resistors]
    told, dense = volts_of_places(resistor_net(known)), dense_volts(known)
    drawn = {f"N{place}" for a, b, _ in known for place in (a, b)} | {"N0", "N4"}
    assert told == pytest.approx({name: volt for name, volt in dense.items() if name in drawn})


@given(resistors=resistor_nets())
def test_volts_that_are_told_do_not_depend_on_what_is_not_known(resistors):
    told = volts_of_places(resistor_net(resistors))
    for filled_ohm in (0.5, 5.0e4):
        full = volts_of_places(resistor_net(resistors, filled_ohm))
        assert told == pytest.approx({name: full[name] for name in told})


@given(resistors=resistor_nets())
def test_currents_that_are_told_do_not_depend_on_what_is_not_known(resistors):
    def told(filled_ohm: float | None = None) -> dict[str, float]:
        made = resistor_net(resistors, filled_ohm)
        return {
            made.project.part(one.ends[0].part).name: one.amperes.value
            for one in table(made).currents
        }

    before = told()
    for filled_ohm in (0.5, 5.0e4):
        after = told(filled_ohm)
        assert before == pytest.approx({name: after[name] for name in before}, abs=1e-12)
