"""Drops under load: a lamp where a fuse holds it, its own load where a module feeds, nothing at a coil."""

from __future__ import annotations

import pytest

from loomfolio.bench.proof.power_up import drop_tests, power_up_tests
from support.make_metal import MetalMaker


def drops(maker, **more):
    return drop_tests(maker.metal, maker.points, **more)


def test_a_fed_lead_is_read_while_a_lamp_burns_at_its_far_end():
    """55 W at 12 V are 4.58 A; 3 m of 1.5 mm2 (12.7 ohm/km at 20 C, verified) at 60 C, contacts, half as much again."""
    (test,) = drops(MetalMaker("F1:2-L1:1 new 1.5mm2 3m"))
    assert "55 W lamp at L1:1, about 4.6 A" in test.conditions.supply
    ohm = 3 * 0.0127 * (1 + 0.00393 * 40) + 2 * 0.005
    assert test.limit.high.value == pytest.approx(ohm * 55 / 12 * 1.5, rel=0.02)


def test_a_small_fuse_gets_the_smaller_lamp():
    maker = MetalMaker("F1:2-L1:1 new 1.5mm2 3m")
    (test,) = drops(maker, ratings={maker.node("F1:2").part: 5.0})
    assert "21 W lamp" in test.conditions.supply


def test_what_a_module_feeds_is_read_under_its_own_load_only():
    (test,) = drops(MetalMaker("M1:1-L1:1 new 1.5mm2 3m"))
    assert "own load" in test.conditions.supply
    assert "lamp" not in test.conditions.supply


def test_a_coil_is_not_loaded():
    maker = MetalMaker("M1:1-K1:85 new 1.5mm2 3m")
    assert drops(maker, coil_pins={maker.node("K1:85")}) == ()


def test_a_ground_is_read_with_a_lamp_from_battery_plus():
    (test,) = drops(MetalMaker("M1:1-G1 new 2.5mm2 1m"))
    assert "from battery plus to M1:1" in test.conditions.supply


@pytest.mark.parametrize("word", ["bus", "interlock", "high voltage", "sensor ground"])
def test_what_carries_no_power_is_not_loaded(word):
    assert drops(MetalMaker("F1:2-L1:1 new 1.5mm2 3m", classes={"F1:2": word})) == ()


def test_a_bar_of_several_fuses_is_no_feed_of_the_work():
    maker = MetalMaker("B1:1-F1:1", "F1:1-F2:1 new", "F2:2-L1:1 new")
    names = [test.title.split(":")[0] for test in power_up_tests(maker.metal)[1:]]
    assert set(names) == {"F2"}
