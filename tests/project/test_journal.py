"""The lines of the journal: written and read back, torn, damaged, and applied to the JSON of a document."""

from __future__ import annotations

import json
import zlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomfolio.project import Project, compare, edits
from loomfolio.project.document_file import document_bytes, parsed, project_from
from loomfolio.project.journal import (
    ChangesMisfitError,
    ToldChanges,
    ToldList,
    line_bytes,
    patched,
    read_journal,
)
from support.make_project import Step, make_two_sheets, runs_of_edits


def journal_of(start: Project, steps: list[Step]) -> bytes:
    before = [start, *(step.project for step in steps)]
    return b"".join(
        line_bytes(number, step.title, compare(old, step.project))
        for number, (old, step) in enumerate(zip(before, steps, strict=False), 1)
    )


def with_check(rest: str) -> bytes:
    """A line with a right checksum, whatever it says."""
    return b'{"check":"%08x",%b\n' % (zlib.crc32(rest.encode()), rest.encode())


@given(runs_of_edits(max_size=8))
def test_the_lines_applied_to_the_first_document_give_the_last(steps: list[Step]):
    start = make_two_sheets().project
    document = parsed(document_bytes(start, saved_edit=0))
    journal = read_journal(journal_of(start, steps))
    assert [line.told.title for line in journal.lines] == [step.title for step in steps]
    assert [line.told.edit for line in journal.lines] == list(range(1, len(steps) + 1))
    for line in journal.lines:
        document = patched(document, line.told.changes)
    assert project_from(Path("project.json"), document) == (steps[-1].project if steps else start)


@given(runs_of_edits(min_size=1, max_size=4))
@settings(max_examples=15)
def test_a_journal_cut_at_any_byte_has_the_lines_that_end_before_it(steps: list[Step]):
    data = journal_of(make_two_sheets().project, steps)
    lines = read_journal(data).lines
    assert len(lines) == len(steps)
    for cut in range(len(data) + 1):
        journal = read_journal(data[:cut])
        whole = data[:cut].count(b"\n")
        assert journal.lines == lines[:whole]
        assert journal.rest == data[lines[whole - 1].end if whole else 0 : cut]


@given(runs_of_edits(min_size=1, max_size=4), st.data())
def test_a_changed_byte_ends_the_journal_before_its_line(steps: list[Step], data: st.DataObject):
    journal = journal_of(make_two_sheets().project, steps)
    if not journal:
        return
    at = data.draw(st.integers(0, len(journal) - 1))
    bit = data.draw(st.sampled_from([1, 2, 4, 8, 16, 32, 64, 128]))
    damaged = journal[:at] + bytes([journal[at] ^ bit]) + journal[at + 1 :]
    whole = journal[:at].count(b"\n")
    assert read_journal(damaged).lines == read_journal(journal).lines[:whole]


def test_a_line_is_json_that_a_person_can_read():
    made = make_two_sheets()
    after = edits.rename_part(made.project, made.relay, "K1 “Anhänger”")
    line = line_bytes(13, "Rename K1", compare(made.project, after))
    assert line.endswith(b"}\n")
    assert line.count(b"\n") == 1
    told = json.loads(line)
    assert list(told) == ["check", "schema", "edit", "title", "changes"]
    assert (told["schema"], told["edit"], told["title"]) == ("loomfolio.edit/1", 13, "Rename K1")
    assert told["changes"]["lists"]["parts"]["changed"][0]["name"] == "K1 “Anhänger”"
    assert "Anhänger".encode() in line


def test_a_title_with_half_a_character_is_written_with_a_question_mark():
    made = make_two_sheets()
    after = edits.rename_part(made.project, made.relay, "K2")
    line = line_bytes(1, "Bring in caf\udce9.png", compare(made.project, after))
    assert read_journal(line).lines[0].told.title == "Bring in caf?.png"


@pytest.mark.parametrize(
    "rest",
    [
        pytest.param('"edit":1}', id="fields are missing"),
        pytest.param(
            '"schema":"loomfolio.edit/0","edit":1,"title":"","changes":{}}', id="no version"
        ),
        pytest.param(
            '"schema":"loomfolio.edit/1","edit":0,"title":"","changes":{}}', id="no number"
        ),
        pytest.param(
            '"schema":"loomfolio.edit/1","edit":1,"title":"","changes":{"lists":[]}}',
            id="lists of another shape",
        ),
        pytest.param(
            '"schema":"loomfolio.edit/1","edit":1,"title":"","changes":{"marks":{}}}',
            id="unknown field",
        ),
        pytest.param(
            '"schema":"loomfolio.edit/1","edit":1,"title":"",'
            '"changes":{"lists":{"marks":{"added":[[-1,{"id":"mark-1"}]]}}}}',
            id="position below the list",
        ),
    ],
)
def test_a_line_of_another_shape_is_damaged_though_its_checksum_is_right(rest: str):
    assert read_journal(with_check(rest)).lines == ()


def test_a_whole_line_that_says_nothing_changes_nothing():
    line = with_check('"schema":"loomfolio.edit/1","edit":1,"title":"","changes":{}}')
    document = parsed(document_bytes(make_two_sheets().project, saved_edit=0))
    assert patched(document, read_journal(line).lines[0].told.changes) == document


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(ToldList(removed=("mark-99",)), id="removes what is not there"),
        pytest.param(ToldList(changed=({"id": "mark-99"},)), id="changes what is not there"),
        pytest.param(ToldList(added=((0, {"id": "mark-1"}),)), id="adds what is there"),
        pytest.param(ToldList(order=("mark-1", "mark-2")), id="orders more than there is"),
        pytest.param(ToldList(order=("mark-9",)), id="orders something else"),
        pytest.param(ToldList(changed=({"kind": "join"},)), id="changes a record without an id"),
    ],
)
def test_changes_made_from_another_document_are_refused(change: ToldList):
    document = {"marks": [{"id": "mark-1", "kind": "join"}]}
    with pytest.raises(ChangesMisfitError, match="marks does not hold"):
        patched(document, ToldChanges(lists={"marks": change}))


def test_changes_to_what_is_no_list_are_refused():
    with pytest.raises(ChangesMisfitError, match="marks is no list"):
        patched({"marks": {}}, ToldChanges(lists={"marks": ToldList()}))


def test_applying_a_line_leaves_the_document_before_as_it_was():
    document = {"serial": 1, "marks": [{"id": "mark-1"}]}
    changes = ToldChanges(serial=2, job={}, lists={"marks": ToldList(removed=("mark-1",))})
    assert patched(document, changes) == {"serial": 2, "job": {}, "marks": []}
    assert document == {"serial": 1, "marks": [{"id": "mark-1"}]}
