"""Networks: by hand, against a dense analysis written here, and what stays unknown."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import CurrentSource, Resistor, Switch, VoltageSource, solve

RELATIVE = 1e-9


def battery(volt=12.0, ohm=0.0):
    return VoltageSource("battery", "plus", "ground", volt, ohm)


# ------------------------------------------------------------------------------------- by hand


def test_a_divider_divides():
    solution = solve(
        [battery(), Resistor("upper", "plus", "tap", 2), Resistor("lower", "tap", "ground", 4)],
        reference="ground",
    )

    assert solution.volts == {"plus": 12, "ground": 0, "tap": pytest.approx(8)}
    assert solution.amperes == {name: pytest.approx(2) for name in ("battery", "upper", "lower")}
    assert solution.watts_taken == {"upper": pytest.approx(8), "lower": pytest.approx(16)}
    assert solution.watts_given == {"battery": pytest.approx(24)}
    assert solution.imbalance_w == pytest.approx(0, abs=1e-12)
    assert solution.between("plus", "tap") == pytest.approx(4)


def test_a_battery_sags_under_its_own_resistance():
    solution = solve(
        [battery(ohm=0.5), Resistor("lamp", "plus", "ground", 5.5)], reference="ground"
    )

    assert solution.volts["plus"] == pytest.approx(11)
    assert solution.amperes["battery"] == pytest.approx(2)
    assert solution.watts_given["battery"] == pytest.approx(22)


def test_a_charged_battery_gives_less_than_nothing():
    solution = solve(
        [battery(ohm=0.1), VoltageSource("alternator", "plus", "ground", 14, 0.1)],
        reference="ground",
    )

    assert solution.amperes["battery"] == pytest.approx(-10)
    assert solution.watts_given["battery"] == pytest.approx(-130)
    assert solution.imbalance_w == pytest.approx(0, abs=1e-9)


def test_a_wheatstone_bridge_in_balance_passes_nothing():
    solution = solve(
        [
            battery(),
            Resistor("a", "plus", "left", 10),
            Resistor("b", "left", "ground", 20),
            Resistor("c", "plus", "right", 30),
            Resistor("d", "right", "ground", 60),
            Resistor("meter", "left", "right", 5),
        ],
        reference="ground",
    )

    assert solution.amperes["meter"] == pytest.approx(0, abs=1e-15)


def test_the_current_of_a_closed_switch_is_what_flows_beyond_it():
    """Ignition and fuse in a row feed two lamps; the fuse sees one of them."""
    solution = solve(
        [
            battery(),
            Switch("ignition", "plus", "a", is_closed=True),
            Switch("fuse", "a", "b", is_closed=True),
            Resistor("near", "a", "ground", 12),
            Resistor("far", "b", "ground", 4),
        ],
        reference="ground",
    )

    assert solution.amperes["ignition"] == pytest.approx(4)
    assert solution.amperes["fuse"] == pytest.approx(3)
    assert solution.amperes["battery"] == pytest.approx(4)


def test_a_switch_the_other_way_round_counts_the_other_way():
    solution = solve(
        [
            battery(),
            Switch("k", "lamp", "plus", is_closed=True),
            Resistor("r", "lamp", "ground", 6),
        ],
        reference="ground",
    )

    assert solution.amperes["k"] == pytest.approx(-2)


def test_batteries_in_a_row_add_up():
    solution = solve(
        [battery(), VoltageSource("second", "top", "plus", 12), Resistor("r", "top", "ground", 8)],
        reference="ground",
    )

    assert solution.volts["top"] == pytest.approx(24)
    assert solution.amperes == {name: pytest.approx(3) for name in ("battery", "second", "r")}


def test_the_reference_may_be_any_node():
    solution = solve([battery(), Resistor("r", "plus", "ground", 6)], reference="plus")

    assert solution.volts == {"plus": 0, "ground": -12}


def test_a_known_load_draws_through_the_lead():
    """2 A through 0.1 ohm: 11.8 V arrive."""
    solution = solve(
        [
            battery(),
            Resistor("lead", "plus", "module", 0.1),
            CurrentSource("load", "ground", "module", 2),
        ],
        reference="ground",
    )

    assert solution.volts["module"] == pytest.approx(11.8)
    assert solution.watts_given["load"] == pytest.approx(-23.6)
    assert solution.imbalance_w == pytest.approx(0, abs=1e-12)


def test_a_load_straight_on_an_ideal_battery():
    solution = solve([battery(), CurrentSource("load", "ground", "plus", 3)], reference="ground")

    assert solution.amperes["battery"] == pytest.approx(3)


def test_a_resistor_bridged_by_a_switch_carries_nothing():
    solution = solve(
        [
            battery(),
            Resistor("r", "plus", "a", 5),
            Switch("k", "plus", "a", is_closed=True),
            Resistor("load", "a", "ground", 6),
        ],
        reference="ground",
    )

    assert solution.amperes["r"] == 0
    assert solution.amperes["k"] == pytest.approx(2)


# ---------------------------------------------------------------------------- what stays unknown


def test_beyond_an_open_switch_the_voltage_is_unknown_and_the_current_none():
    solution = solve(
        [battery(), Switch("k", "plus", "lamp", is_closed=False), Resistor("r", "lamp", "end", 6)],
        reference="ground",
    )

    assert solution.unknown_nodes == ("lamp", "end")
    assert solution.amperes == {"battery": 0, "k": 0, "r": 0}
    assert solution.between("lamp", "ground") is None


def test_a_part_apart_knows_its_own_currents():
    """A traction battery apart from chassis: its amperes are known, its volts to chassis are not."""
    solution = solve(
        [
            battery(),
            Resistor("lamp", "plus", "ground", 6),
            VoltageSource("traction", "hv plus", "hv minus", 400),
            Resistor("heater", "hv plus", "hv minus", 100),
        ],
        reference="ground",
    )

    assert solution.unknown_nodes == ("hv plus", "hv minus")
    assert solution.amperes["heater"] == pytest.approx(4)
    assert solution.watts_taken["heater"] == pytest.approx(1600)
    assert solution.imbalance_w == pytest.approx(0, abs=1e-9)


def test_one_fault_to_chassis_makes_the_other_pole_known():
    solution = solve(
        [
            VoltageSource("traction", "hv plus", "hv minus", 400),
            Resistor("fault", "hv minus", "chassis", 500),
        ],
        reference="chassis",
    )

    assert solution.volts["hv plus"] == pytest.approx(400)


def test_two_switches_side_by_side_share_in_a_way_nobody_knows():
    solution = solve(
        [
            battery(),
            Switch("one", "plus", "lamp", is_closed=True),
            Switch("two", "plus", "lamp", is_closed=True),
            Resistor("r", "lamp", "ground", 6),
        ],
        reference="ground",
    )

    assert (solution.amperes["one"], solution.amperes["two"]) == (None, None)
    assert solution.amperes["battery"] == pytest.approx(2)
    assert solution.volts["lamp"] == pytest.approx(12)


def test_two_like_batteries_side_by_side_leave_the_balance_open():
    solution = solve(
        [
            battery(),
            VoltageSource("second", "plus", "ground", 12),
            Resistor("r", "plus", "ground", 6),
        ],
        reference="ground",
    )

    assert solution.watts_given == {"battery": None, "second": None}
    assert solution.imbalance_w is None
    assert solution.watts_taken["r"] == pytest.approx(24)


def test_loads_behind_an_open_fuse_draw_nothing():
    solution = solve(
        [
            battery(),
            Resistor("lamp", "plus", "ground", 6),
            Switch("fuse", "plus", "feed", is_closed=False),
            CurrentSource("one", "ground", "feed", 2),
            CurrentSource("two", "ground", "feed", 1),
        ],
        reference="ground",
    )

    assert (solution.amperes["one"], solution.amperes["two"]) == (0, 0)
    assert solution.unknown_nodes == ("feed",)
    assert solution.imbalance_w == pytest.approx(0, abs=1e-12)


def test_a_chain_of_loads_without_an_end_draws_nothing():
    solution = solve(
        [battery(), CurrentSource("one", "a", "plus", 2), CurrentSource("two", "b", "a", 2)],
        reference="ground",
    )

    assert (solution.amperes["one"], solution.amperes["two"]) == (0, 0)


def test_current_sources_that_agree_carry_what_they_say():
    """A charger on an island: 2 A in and 2 A out."""
    solution = solve(
        [
            battery(),
            Resistor("island", "a", "b", 3),
            CurrentSource("in", "a", "plus", 2),
            CurrentSource("out", "ground", "b", 2),
        ],
        reference="ground",
    )

    assert solution.amperes["island"] == pytest.approx(2)
    assert solution.volts["a"] is None


def test_current_sources_that_contradict_each_other_leave_their_parts_unknown():
    solution = solve(
        [
            battery(),
            Resistor("lamp", "plus", "ground", 6),
            CurrentSource("in", "a", "plus", 2),
            CurrentSource("out", "ground", "a", 1),
        ],
        reference="ground",
    )

    assert solution.unknown_nodes == ("plus", "ground", "a")
    assert solution.amperes == {"battery": None, "lamp": None, "in": None, "out": None}
    assert solution.imbalance_w is None


def test_a_part_apart_from_contradicting_sources_stays_known():
    solution = solve(
        [
            battery(),
            Resistor("lamp", "plus", "ground", 6),
            Resistor("x", "a", "b", 1),
            CurrentSource("in", "a", "c", 2),
            CurrentSource("out", "c", "b", 1),
        ],
        reference="ground",
    )

    assert solution.volts["plus"] == pytest.approx(12)
    assert solution.amperes["lamp"] == pytest.approx(2)
    assert solution.amperes["x"] is None


# -------------------------------------------------------------------------------------- bad input


def test_batteries_that_contradict_each_other_are_refused():
    with pytest.raises(UsageError, match=r"second ties plus and ground at 13 V, 1 V from what"):
        solve([battery(), VoltageSource("second", "plus", "ground", 13)], reference="ground")


def test_a_dead_short_of_an_ideal_battery_is_refused():
    with pytest.raises(UsageError, match="short ties plus and ground at 0 V, 12 V from"):
        solve([battery(), Switch("short", "plus", "ground", is_closed=True)], reference="ground")


def test_a_reference_that_is_nowhere_is_refused():
    with pytest.raises(
        NameNotFoundError, match="no node in the network called 'grond'; did you mean"
    ):
        solve([battery()], reference="grond")


def test_two_elements_of_one_name_are_refused():
    with pytest.raises(UsageError, match="Two elements are called 'battery'"):
        solve([battery(), battery()], reference="ground")


@pytest.mark.parametrize(
    ("make", "says"),
    [
        pytest.param(lambda: Resistor("r", "a", "b", 0), "resistance of r is 0 ohm", id="no ohms"),
        pytest.param(lambda: Resistor("r", "a", "b", -1), "resistance of r is -1", id="negative"),
        pytest.param(lambda: Resistor("r", "a", "b", math.nan), "resistance of r is nan", id="nan"),
        pytest.param(
            lambda: VoltageSource("u", "a", "b", math.inf), "voltage of u is inf V", id="volts"
        ),
        pytest.param(
            lambda: VoltageSource("u", "a", "b", 12, -1), "resistance of u is -1", id="inner ohms"
        ),
        pytest.param(
            lambda: CurrentSource("i", "a", "b", math.nan), "current of i is nan A", id="amperes"
        ),
    ],
)
def test_an_element_that_cannot_be_is_refused(make, says):
    with pytest.raises(UsageError, match=says):
        make()


# --------------------------------------------------------------- against a dense nodal analysis


def dense_volts(elements, nodes, reference):
    """Modified nodal analysis on dense matrices: a row for each node, and one for each fixed voltage.

    Written without looking at ours: ideal sources and closed switches stay unknowns of their own.
    """
    fixed = [e for e in elements if isinstance(e, VoltageSource) and e.ohm == 0]
    fixed += [e for e in elements if isinstance(e, Switch) and e.is_closed]
    at = {node: n for n, node in enumerate(nodes)}
    size = len(nodes) + len(fixed)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    for element in elements:
        if isinstance(element, Resistor):
            ends, siemens, push = (at[element.a], at[element.b]), 1 / element.ohm, 0.0
        elif isinstance(element, VoltageSource) and element.ohm > 0:
            ends, siemens = (at[element.plus], at[element.minus]), 1 / element.ohm
            push = element.volt * siemens
        elif isinstance(element, CurrentSource):
            ends, siemens, push = (at[element.plus], at[element.minus]), 0.0, element.ampere
        else:
            continue
        for one, other, sign in ((*ends, 1), (*ends[::-1], -1)):
            matrix[one, one] += siemens
            matrix[one, other] -= siemens
            right[one] += sign * push
    for n, element in enumerate(fixed, start=len(nodes)):
        is_source = isinstance(element, VoltageSource)
        high, low = (element.plus, element.minus) if is_source else (element.a, element.b)
        matrix[n, at[high]], matrix[n, at[low]] = 1, -1
        matrix[at[high], n], matrix[at[low], n] = 1, -1
        right[n] = element.volt if is_source else 0
    # The reference replaces its own balance, which the others imply.
    matrix[at[reference], :], right[at[reference]] = 0, 0
    matrix[at[reference], at[reference]] = 1
    return dict(zip(nodes, np.linalg.solve(matrix, right)[: len(nodes)], strict=True))


def random_network(seed):
    """A connected network of 2 to 14 nodes with every kind of element; sources and switches in no ring."""
    rng = random.Random(seed)
    nodes = [f"n{n}" for n in range(rng.randint(2, 14))]
    elements = []
    for n, node in enumerate(nodes[1:], start=1):
        other, name, kind = rng.choice(nodes[:n]), f"tree {n}", rng.random()
        if kind < 0.6:
            elements.append(Resistor(name, node, other, 10 ** rng.uniform(-1, 4)))
        elif kind < 0.75:
            elements.append(VoltageSource(name, node, other, rng.uniform(-48, 48)))
        elif kind < 0.9:
            elements.append(Switch(name, other, node, is_closed=True))
        else:
            elements.append(VoltageSource(name, other, node, rng.uniform(1, 48), 0.05))
    for n in range(rng.randint(1, 20)):
        a, b, name, kind = rng.choice(nodes), rng.choice(nodes), f"more {n}", rng.random()
        if kind < 0.6:
            elements.append(Resistor(name, a, b, 10 ** rng.uniform(-1, 4)))
        elif kind < 0.75:
            elements.append(VoltageSource(name, a, b, rng.uniform(-48, 48), rng.uniform(0.01, 2)))
        elif kind < 0.9:
            elements.append(CurrentSource(name, a, b, rng.uniform(-5, 5)))
        else:
            elements.append(Switch(name, a, b, is_closed=False))
    rng.shuffle(elements)
    return elements, nodes


def ends(element):
    is_source = isinstance(element, VoltageSource | CurrentSource)
    return (element.plus, element.minus) if is_source else (element.a, element.b)


@pytest.mark.parametrize("block", range(10))
def test_three_hundred_networks_agree_with_the_dense_analysis_and_balance(block):
    for seed in range(block * 30, block * 30 + 30):
        elements, nodes = random_network(seed)
        ours = solve(elements, reference=nodes[0])
        expected = dense_volts(elements, nodes, nodes[0])
        scale = max(1.0, *(abs(volt) for volt in expected.values()))

        assert ours.unknown_nodes == ()
        for node in nodes:
            assert ours.volts[node] == pytest.approx(expected[node], abs=RELATIVE * scale), seed

        turned_over = sum(abs(watt) for watt in ours.watts_given.values())
        assert abs(ours.imbalance_w) <= RELATIVE * max(1.0, turned_over), seed

        # What flows into a node flows out of it, through switches and ideal sources, too.
        leaving = dict.fromkeys(nodes, 0.0)
        for element in elements:
            first, second = ends(element)
            sign = -1 if isinstance(element, VoltageSource | CurrentSource) else 1
            leaving[first] += sign * ours.amperes[element.name]
            leaving[second] -= sign * ours.amperes[element.name]
        busiest = max(1.0, *(abs(ampere) for ampere in ours.amperes.values()))
        assert max(map(abs, leaving.values())) <= RELATIVE * busiest, seed


def test_a_large_ladder_is_solved_by_its_sparse_system():
    """1000 rungs: the end resistance of an endless ladder of 1 ohm is the golden ratio."""
    elements = [VoltageSource("u", "n0", "ground", 1)]
    for n in range(1000):
        elements.append(Resistor(f"rail {n}", f"n{n}", f"n{n + 1}", 1))
        elements.append(Resistor(f"rung {n}", f"n{n + 1}", "ground", 1))
    solution = solve(elements, reference="ground")

    assert 1 / solution.amperes["u"] == pytest.approx((1 + math.sqrt(5)) / 2, rel=1e-12)
