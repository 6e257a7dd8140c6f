"""The table of the document's lists, held against the models."""

from __future__ import annotations

import typing

from hypothesis import given

from loomfolio.project import (
    LIST_NAMES,
    AnyEntry,
    AnyMark,
    AnyNote,
    AnyRecord,
    ElectricNote,
    Mark,
    Project,
    SurveyEntry,
    records_of,
)
from loomfolio.project.record_lists import RECORD_LISTS, reads_back, record_data
from support.make_project import make_two_sheets, projects

MADE = make_two_sheets()


def test_the_table_holds_every_list_of_the_document_in_its_order():
    lists = [name for name, field in Project.model_fields.items() if field.default == ()]
    assert list(LIST_NAMES) == lists == list(RECORD_LISTS)


def test_the_table_knows_every_type_that_a_list_can_hold():
    held: set[type] = set()
    for name in LIST_NAMES:
        inner = typing.get_args(Project.model_fields[name].annotation)[0]
        kinds = {
            Mark: typing.get_args(AnyMark),
            SurveyEntry: typing.get_args(AnyEntry),
            ElectricNote: typing.get_args(AnyNote),
        }
        held |= set(kinds.get(inner, (inner,)))
    assert held == set(typing.get_args(AnyRecord))
    assert set(typing.get_args(typing.get_args(Mark)[0])) == set(typing.get_args(AnyMark))
    assert set(typing.get_args(typing.get_args(SurveyEntry)[0])) == set(typing.get_args(AnyEntry))
    assert set(typing.get_args(typing.get_args(ElectricNote)[0])) == set(typing.get_args(AnyNote))


def test_ids_begin_with_the_word_for_their_record():
    for name in LIST_NAMES:
        for record in records_of(MADE.project, name):
            assert record.id.startswith(RECORD_LISTS[name].prefix + "-")


@given(projects())
def test_every_record_reads_back_from_what_is_written(project: Project):
    for name in LIST_NAMES:
        assert all(reads_back(name, record) for record in records_of(project, name))


def test_what_equals_its_default_is_left_out_but_not_the_kind_of_a_mark():
    body, name = MADE.project.marks
    assert record_data(name) == {
        "id": name.id,
        "kind": "name",
        "sheet": MADE.sheet,
        "at": [40.0, 12.0],
        "name": "BRAKE",
    }
    assert list(record_data(body))[:2] == ["id", "kind"]


def test_a_record_changed_past_its_checks_does_not_read_back():
    part = MADE.project.parts[0]
    assert not reads_back("parts", part.model_copy(update={"name": ""}))
    assert not reads_back("parts", part.model_copy(update={"kind": "kettle"}))
