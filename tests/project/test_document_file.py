"""`project.json`: readable, the same for the same document, and refused with its place where wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import DocumentError, MmPoint
from loomfolio.project import Job, Project, edits
from loomfolio.project.document_file import (
    NotJsonError,
    document_bytes,
    parsed,
    project_from,
    saved_edit_of,
)
from support.make_project import make_two_sheets, projects, runs_of_edits

HERE = Path("van/project.json")


def read(text: bytes) -> Project:
    return project_from(HERE, parsed(text))


@given(projects(), st.integers(0, 10**9))
def test_what_is_written_is_read_as_the_same_document(project: Project, saved_edit: int):
    text = document_bytes(project, saved_edit=saved_edit)
    assert read(text) == project
    assert saved_edit_of(HERE, parsed(text)) == saved_edit


@given(projects())
def test_the_layout_changes_nothing_and_no_line_that_could_be_broken_is_long(project: Project):
    text = document_bytes(project, saved_edit=0).decode()
    flat = {"schema": project.format, "saved_edit": 0, "serial": project.serial}
    assert list(json.loads(text))[:3] == list(flat)
    for line in text.splitlines():
        assert len(line) <= 102 or not any(sign in line for sign in "{["), line


def test_an_empty_document_is_three_lines():
    assert document_bytes(Project(), saved_edit=0).decode() == (
        '{\n "schema": "loomfolio.project/1",\n "saved_edit": 0,\n "serial": 0\n}\n'
    )


def test_a_document_as_a_person_reads_it():
    p = edits.set_job(Project(), Job(title="Towing socket – “Anhänger”"))
    p, _ = edits.add_part(p, name="TCU", kind="module")
    assert document_bytes(p, saved_edit=2).decode() == (
        "{\n"
        ' "schema": "loomfolio.project/1",\n'
        ' "saved_edit": 2,\n'
        ' "serial": 1,\n'
        ' "job": {"title": "Towing socket – “Anhänger”"},\n'
        ' "parts": [{"id": "part-1", "name": "TCU", "kind": "module"}]\n'
        "}\n"
    )


def test_one_edit_touches_few_lines_of_the_file():
    made = make_two_sheets()
    before = document_bytes(made.project, saved_edit=1).decode().splitlines()
    after, _ = edits.put_join(made.project, sheet=made.sheet, at=MmPoint(1, 2))
    lines = document_bytes(after, saved_edit=1).decode().splitlines()
    assert len(set(lines) - set(before)) <= 3


@given(runs_of_edits(max_size=6))
def test_the_kind_of_a_mark_is_always_written(steps):
    for step in steps[-1:]:
        data = parsed(document_bytes(step.project, saved_edit=0))
        assert all("kind" in mark for mark in data.get("marks", []))


def test_a_file_with_a_byte_order_mark_as_some_editors_write_it_is_read():
    text = document_bytes(make_two_sheets().project, saved_edit=0)
    assert read(b"\xef\xbb\xbf" + text) == make_two_sheets().project


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"{", id="torn"),
        pytest.param(b"\xff\xfe\x00", id="no text"),
        pytest.param(b"[]", id="a list"),
        pytest.param(b'{"serial": NaN}', id="not a number"),
        pytest.param(b'{"serial": -Infinity}', id="endless"),
        pytest.param(b'{"serial": ' + b"9" * 5000 + b"}", id="endless digits"),
        pytest.param(b'{"a":' * 50_000, id="endless nesting"),
    ],
)
def test_what_is_no_json_object_is_told_apart(text: bytes):
    with pytest.raises(NotJsonError):
        parsed(text)


@pytest.mark.parametrize(
    ("place", "value", "what"),
    [
        pytest.param(["parts"], 7, "parts is no list", id="no list"),
        pytest.param(["parts", 0, "name"], 7, "parts.0.name is no text", id="no text"),
        pytest.param(["parts", 0, "name"], "", "parts.0.name is empty", id="empty name"),
        pytest.param(["parts", 0, "kind"], "kettle", "parts.0.kind should be 'module'", id="kind"),
        pytest.param(
            ["parts", 0, "colour"],
            "red",
            "parts.0.colour is no field that this version knows",
            id="unknown field",
        ),
        pytest.param(
            ["sheets", 0, "x_dpi"], 0, "sheets.0.x_dpi should be greater than 0", id="dpi"
        ),
        pytest.param(["sheets", 0, "x_dpi"], 1e999, "sheets.0.x_dpi should be a finite", id="inf"),
        pytest.param(
            ["sheets", 0, "file"], "../x", "sheet-1: its file '../x' does not lie", id="way"
        ),
        pytest.param(
            ["marks", 0, "kind"], "dot", "marks.0 is of a kind that this version", id="unknown mark"
        ),
        pytest.param(["marks", 0], {"id": "mark-1"}, "marks.0 has no kind", id="no kind"),
        pytest.param(["marks", 0, "box"], [1, 2, 3], "marks.0.body.box.3 is missing", id="box"),
        pytest.param(
            ["marks", 0, "box"], [1, 2, 0, 4], "mark-6: the box of a body has no width", id="flat"
        ),
        pytest.param(["marks", 0, "sheet"], "sheet-9", "speaks of the sheet sheet-9", id="sheet"),
        pytest.param(["marks", 0, "id"], "mark-99", "mark-99 lies above the serial", id="serial"),
        pytest.param(["marks", 0, "id"], "mark-" + "9" * 5000, "marks.0.body.id", id="long id"),
        pytest.param(["marks", 1, "id"], "mark-6", "the id mark-6 is used twice", id="doubled id"),
        pytest.param(["parts", 1, "name"], "tcu", "the name 'TCU' of part-4 is used", id="names"),
        pytest.param(["parts", 1, "when"], "a b", "part-5: The condition 'a b'", id="condition"),
        pytest.param(
            ["parts", 1, "note"], "\ud800", "a text in it holds a character", id="half a character"
        ),
        pytest.param(
            ["job", "scope"], [{"part": "part-9"}], "the job: it speaks of the part", id="scope"
        ),
        pytest.param(
            ["confirmations", 0, "record"], None, "a confirmation names a place", id="nothing"
        ),
        pytest.param(["serial"], -1, "serial should be greater than or equal to 0", id="negative"),
    ],
)
def test_a_file_that_is_wrong_is_refused_with_its_place(
    place: list[str | int], value: object, what: str
):
    data = parsed(document_bytes(make_two_sheets().project, saved_edit=0))
    inner = data
    for step in place[:-1]:
        inner = inner[step]
    inner[place[-1]] = value
    with pytest.raises(DocumentError) as caught:
        project_from(HERE, data)
    sentence = str(caught.value)
    assert what in sentence
    assert sentence.startswith(f"{HERE}: ")
    assert sentence.endswith("; mend it in a text editor or take an earlier copy.")
    assert "\n" not in sentence


@pytest.mark.parametrize("saved", [-1, "3", True, None, 1.5])
def test_a_count_of_edits_that_is_none_is_refused(saved: object):
    with pytest.raises(DocumentError, match="saved_edit is no count of edits; write 0 there"):
        saved_edit_of(HERE, {"saved_edit": saved})


def test_a_file_without_a_count_of_edits_includes_none():
    assert saved_edit_of(HERE, {}) == 0
