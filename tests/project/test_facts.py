"""The small records: keys of pins, how a fact is known, of which vehicles a sheet speaks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from loomfolio.project import (
    STATED,
    HalfKey,
    InnerPin,
    Known,
    PinKey,
    ValidFor,
    Vehicle,
    natural_order,
)


def test_the_key_of_a_pin_and_of_its_half():
    half = HalfKey(part="part-1", connector="C1", half="A")
    pin = half.pin("12")
    assert pin == PinKey(part="part-1", connector="C1", half="A", pin="12")
    assert pin.half_key == half
    assert pin.inner == InnerPin(connector="C1", half="A", pin="12")


def test_equal_keys_are_one_key_in_a_set():
    keys = [PinKey(part="part-1", pin="1"), PinKey(part="part-1", connector="", pin="1")]
    assert len(set(keys)) == 1
    assert len({HalfKey(part="part-1"), HalfKey(part="part-1", half="")}) == 1
    assert len({InnerPin(pin="1"), InnerPin(pin="1")}) == 1


def test_pins_are_counted_as_a_person_counts_them():
    pins = ["87a", "10", "2", "A10", "87", "A2", "1"]
    keys = sorted((PinKey(part="part-1", pin=pin) for pin in pins), key=lambda key: key.sort_key)
    assert [key.pin for key in keys] == ["1", "2", "10", "87", "87a", "A2", "A10"]


@given(st.lists(st.text(max_size=8), max_size=6))
def test_any_texts_can_be_put_in_order(texts: list[str]):
    ordered = sorted(texts, key=natural_order)
    assert sorted(ordered) == sorted(texts)
    assert [natural_order(text) for text in ordered] == sorted(map(natural_order, texts))


@given(st.integers(0, 10**6), st.integers(0, 10**6))
def test_numbers_are_ordered_by_their_value(a: int, b: int):
    assert (natural_order(f"X{a}b") < natural_order(f"X{b}b")) == (a < b)


@pytest.mark.parametrize("how", ["printed", "stated", "seen", "measured", "list", "standard"])
def test_all_but_what_is_inferred_carries_a_lead(how: str):
    assert Known(how=how).is_sure
    assert not Known(how="inferred").is_sure
    assert Known(how="stated") == STATED


@pytest.mark.parametrize("fields", [{"pin": ""}, {"pin": "1", "part": "TCU"}, {"pin": "1" * 41}])
def test_a_key_without_a_pin_or_of_no_part_is_refused(fields: dict[str, str]):
    with pytest.raises(ValidationError):
        PinKey(**{"part": "part-1", **fields})


VAN = Vehicle(make="Own make", model="Parcel van", market="EU", year=2021)


@pytest.mark.parametrize(
    ("valid_for", "reasons"),
    [
        pytest.param(ValidFor(), (), id="says nothing"),
        pytest.param(ValidFor(make="own MAKE", year_from=2021, year_to=2021), (), id="fits"),
        pytest.param(
            ValidFor(make="Other", model="Bus", market="US"),
            (
                "the sheet is for make Other, the vehicle is Own make",
                "the sheet is for model Bus, the vehicle is Parcel van",
                "the sheet is for market US, the vehicle is EU",
            ),
            id="another vehicle",
        ),
        pytest.param(
            ValidFor(year_from=2022),
            ("the sheet begins with 2022, the vehicle is of 2021",),
            id="later",
        ),
        pytest.param(
            ValidFor(year_to=2020),
            ("the sheet ends with 2020, the vehicle is of 2021",),
            id="earlier",
        ),
    ],
)
def test_a_sheet_says_why_it_is_not_for_a_vehicle(valid_for: ValidFor, reasons: tuple[str, ...]):
    assert valid_for.misfits(VAN) == reasons


def test_what_is_not_known_of_a_vehicle_excludes_nothing():
    assert ValidFor(make="Other", year_from=2022, year_to=2023).misfits(Vehicle()) == ()
