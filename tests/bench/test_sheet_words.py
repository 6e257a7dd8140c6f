"""The bench speaks of the sheets of the documents by number, and says each thing once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.bench.sheet_words import by_number, counted, gathered, number_runs, sheet_keys
from support.make_bench import MapMaker


def keys_of(*titles):
    return [(key.number, key.title) for key in sheet_keys(MapMaker(titles).project)]


def test_sheets_without_numbers_of_their_own_are_counted():
    assert keys_of("Power supply", "Lighting") == [("1", "Power supply"), ("2", "Lighting")]


@pytest.mark.parametrize("titles", [("1 Power", "2 Rear"), ("01. Power", "02: Rear")])
def test_number_in_a_title_is_not_said_twice(titles):
    assert keys_of(*titles) == [("1", "Power"), ("2", "Rear")]


def test_numbers_of_the_documents_hold_where_every_sheet_has_one():
    assert keys_of("7 Connector faces", "3 Lighting") == [
        ("7", "Connector faces"),
        ("3", "Lighting"),
    ]


@pytest.mark.parametrize(
    "titles", [("1 Power", "Lighting"), ("4 Power", "4 Lighting")], ids=["one without", "the same"]
)
def test_numbers_that_name_no_sheet_alone_stay_in_the_titles(titles):
    assert keys_of(*titles) == [("1", titles[0]), ("2", titles[1])]


def test_number_that_is_the_whole_title_stays():
    assert keys_of("12") == [("1", "12")]


def test_sentences_name_sheets_by_number():
    project = MapMaker(["Light", "Light, rear", "C"]).project
    assert by_number(
        project, ["On sheet Light, rear lines cross", "On sheet Light at 1, 2 mm", "On sheet C"]
    ) == ("On sheet 2 lines cross", "On sheet 1 at 1, 2 mm", "On sheet 3")


def test_title_that_begins_like_another_word_is_not_taken_for_it():
    project = MapMaker(["Light"]).project
    assert by_number(project, ["sheet Lighting, worksheet Light"]) == (
        "sheet Lighting, worksheet Light",
    )


def test_sentences_of_a_job_without_sheets_stay_as_they_are():
    assert by_number(MapMaker([]).project, ["On sheet A"]) == ("On sheet A",)


@given(st.sets(st.integers(1, 60)))
def test_runs_of_numbers_say_the_same_numbers(numbers):
    said = set()
    for run in filter(None, number_runs(sorted(numbers)).split(", ")):
        first, _, last = run.partition("–")
        said |= set(range(int(first), int(last or first) + 1))
    assert said == numbers


def test_counts_have_the_word_that_fits():
    assert [counted(n, "lead") for n in (0, 1, 2)] == ["0 leads", "1 lead", "2 leads"]
    assert counted(2, "box", "boxes") == "2 boxes"


# ------------------------------------------------------------------ many places at once


def test_same_sentence_at_several_places_is_said_once():
    crossings = [
        f"On sheet 4 lines cross at {place} mm, taken as apart" for place in ("9, 7", "8, 6")
    ]
    assert gathered([*crossings, "The mate A to B is not confirmed"]) == (
        "On sheet 4 lines cross at 9, 7; 8, 6 mm, taken as apart",
        "The mate A to B is not confirmed",
    )


def test_sentences_that_differ_in_more_stay_apart():
    both = ("On sheet 4 lines cross at 9, 7 mm", "On sheet 5 lines cross at 9, 7 mm")
    assert gathered(both) == both


def test_nothing_open_is_nothing_said():
    assert gathered(()) == ()


@given(st.lists(st.tuples(st.integers(1, 3), st.integers(0, 99), st.integers(0, 99)), unique=True))
def test_no_place_is_lost(crossings):
    said = "".join(gathered([f"On sheet {n}: {x}, {y} mm" for n, x, y in crossings]))
    assert said.count(",") == len(crossings)
    assert all(f"{x}, {y}" in said for _, x, y in crossings)
