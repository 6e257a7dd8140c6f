"""The records of the document: frozen, strict, and impossible where two fields gainsay each other."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from loomfolio.project import (
    JOINED_THROUGHOUT,
    PROJECT_SCHEMA,
    Confirmation,
    InnerPin,
    InnerWay,
    Part,
    Project,
)
from loomfolio.project.document_file import PRESENT_VERSION
from support.make_project import make_two_sheets

PINS = tuple(InnerPin(pin=pin) for pin in ("1", "2", "3"))


def test_a_document_cannot_be_changed_in_place():
    project = make_two_sheets().project
    with pytest.raises(ValidationError, match="frozen"):
        project.serial = 5
    with pytest.raises(ValidationError, match="frozen"):
        project.parts[0].name = "X"


def test_an_unknown_field_is_refused():
    with pytest.raises(ValidationError, match="Extra inputs are not permitted"):
        Part(id="part-1", name="TCU", colour="red")


@pytest.mark.parametrize("relation", ["passes", "loads"])
def test_what_passes_or_loads_has_two_ends_and_a_bar_has_any_number(relation: str):
    with pytest.raises(ValidationError, match="has exactly two pins"):
        InnerWay(relation=relation, pins=PINS)
    assert InnerWay(relation=relation, pins=PINS[:2]).at_rest == "unknown"
    assert InnerWay(relation="joined", pins=PINS).pins == PINS


def test_a_confirmation_is_of_something():
    with pytest.raises(ValidationError, match="names a place or a record"):
        Confirmation(id="confirmation-1", piece="join")


def test_the_name_of_the_format_carries_its_version():
    assert f"loomfolio.project/{PRESENT_VERSION}" == PROJECT_SCHEMA
    assert Project().format == PROJECT_SCHEMA


def test_splices_and_ground_points_are_one_metal():
    assert {"splice", "ground point"} == JOINED_THROUGHOUT
