"""The inner ways of usual devices, against the numbers that the standards give."""

from __future__ import annotations

import csv
from typing import get_args

import pytest

from loomfolio.basics import asset_path
from loomfolio.project import InnerPin, PartKind, devices, standard_devices, standard_ways


def pins_of(relation: str, kind: PartKind) -> list[tuple[str, str, str]]:
    ways = [way for way in standard_ways(kind) if way.relation == relation]
    return [(way.pins[0].pin, way.pins[1].pin, way.at_rest) for way in ways]


def test_a_mini_relay_is_numbered_as_din_72552_numbers_it():
    """DIN 72552: 85 and 86 coil, 30 battery plus, 87 make, 87a break (from memory; seen alike in
    the definitions pages of relay makers)."""
    assert pins_of("loads", "relay") == [("85", "86", "unknown")]
    assert pins_of("passes", "relay") == [("30", "87", "open"), ("30", "87a", "closed")]
    assert pins_of("joined", "relay") == []


def test_a_fuse_passes_between_its_two_ends():
    assert pins_of("passes", "fuse") == [("1", "2", "closed")]


@pytest.mark.parametrize("kind", ["module", "switch", "lamp", "motor", "splice", "device"])
def test_what_has_no_usual_pins_has_no_usual_ways(kind: PartKind):
    assert standard_ways(kind) == ()


def test_each_row_has_a_source_and_says_whether_it_was_verified():
    with asset_path("devices.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == sum(len(device.ways) for device in standard_devices())
    for row in rows:
        assert row["source"]
        assert row["status"] in {"verified", "practice", "memory"}
        assert row["part_kind"] in get_args(PartKind)


def test_a_device_is_as_certain_as_its_least_certain_row():
    devices = {device.name: device for device in standard_devices()}
    assert len(devices) == len(standard_devices())
    assert devices["mini relay, ISO 7588-1"].status == "verified"
    assert devices["micro relay, ISO 7588-3"].status == "memory"
    assert devices["fuse"].status == "practice"
    assert devices["mini relay, ISO 7588-1"].pins == {"85", "86", "30", "87", "87a"}
    assert "EN 50005" in devices["relay, numbered by EN 50005"].source


def test_ways_are_of_a_part_without_connectors():
    assert standard_ways("fuse")[0].pins == (InnerPin(pin="1"), InnerPin(pin="2"))


def test_a_status_that_is_none_is_a_fault_of_the_table():
    with pytest.raises(ValueError, match="a status is none of"):
        devices._least_certain({"guessed"})
