"""Leads as they look, and never as they might."""

from __future__ import annotations

import csv
import json

import pytest

from loomfolio.basics import asset_path
from loomfolio.bench import LeadLook, lead_look
from loomfolio.project import LeadColour

PAINT = json.loads(asset_path("colours.json").read_text(encoding="utf-8"))["leads"]
UNKNOWN = LeadLook()


def look(base, stripe=None):
    return LeadLook(PAINT[base], PAINT[stripe] if stripe else None)


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        (LeadColour(text="BU"), look("blue")),
        (LeadColour(text="GN/YE"), look("green", "yellow")),
        (LeadColour(text="GN-YE"), look("green", "yellow")),
        (LeadColour(text="GN+YE"), look("green", "yellow")),
        (LeadColour(text="RDBU"), look("red", "blue")),
        (LeadColour(text="x", base="light green", stripe="Black"), look("light green", "black")),
        (LeadColour(text="x", base="gray"), look("grey")),
        (LeadColour(text="x", base="BN", stripe="WH"), look("brown", "white")),
        (LeadColour(text="G/R", code_set="Japanese"), look("green", "red")),
        (LeadColour(text="bl/ws", code_set="German (DIN 72551 style)"), look("blue", "white")),
        (LeadColour(text="BL", code_set="Swedish"), look("blue")),
    ],
    ids=[
        *("one code", "slash", "dash", "plus", "joined codes", "names", "other spelling", "codes"),
        *("Japanese", "German", "Swedish"),
    ],
)
def test_lead_looks_as_its_letters_say(colour, expected):
    assert lead_look(colour) == expected


@pytest.mark.parametrize(
    "colour",
    [
        None,
        LeadColour(text="?"),
        LeadColour(text="as drawn"),
        LeadColour(text="A/B/C"),
        LeadColour(text="P"),
        LeadColour(text="XX/WH"),
    ],
    ids=["none", "mark", "words", "three", "pink or purple", "stripe without base"],
)
def test_what_is_not_sure_looks_unknown(colour):
    assert lead_look(colour) == UNKNOWN


def test_letters_that_two_sets_read_differently_need_their_set():
    assert lead_look(LeadColour(text="P")) == UNKNOWN
    assert lead_look(LeadColour(text="P", code_set="Japanese")) == look("pink")
    assert lead_look(LeadColour(text="P", code_set="British (BS AU 7 style)")) == look("purple")


def test_base_stays_where_the_stripe_is_unknown():
    assert lead_look(LeadColour(text="BU/zz")) == look("blue")


def test_each_row_of_the_table_names_its_source_and_status():
    with asset_path("wire_colours.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert all(row["code"] and row["colour"] and row["source"] for row in rows)
    assert {row["status"] for row in rows} <= {"verified", "memory", "practice"}
    assert len({(row["code_set"], row["code"]) for row in rows}) == len(rows)
