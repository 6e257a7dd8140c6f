"""The published JSON Schema: that of the models, and fulfilled by every file that is written."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given, settings

from loomfolio.basics import DocumentError
from loomfolio.project import Project, project_schema, schema, write_schema
from loomfolio.project.document_file import document_bytes, parsed, project_from
from loomfolio.project.schema import SCHEMA_PATH, schema_text
from support.make_project import make_two_sheets, projects

VALIDATOR = jsonschema.Draft202012Validator(project_schema())


def test_the_published_file_is_made_from_the_models():
    assert SCHEMA_PATH.read_text(encoding="utf-8") == schema_text()


def test_writing_the_schema_makes_the_folder_too(tmp_path: Path):
    path = tmp_path / "schemas" / "project.json"
    write_schema(path)
    assert path.read_text(encoding="utf-8") == schema_text()


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(json.loads(SCHEMA_PATH.read_text()))


@given(projects())
@settings(max_examples=25)
def test_every_file_that_is_written_fulfils_the_schema(project: Project):
    VALIDATOR.validate(parsed(document_bytes(project, saved_edit=3)))


def test_a_stored_folder_of_version_1_fulfils_the_schema(version_1: Path):
    VALIDATOR.validate(json.loads((version_1 / "project.json").read_text()))


@pytest.mark.parametrize(
    ("place", "value"),
    [
        pytest.param(["parts"], 7, id="no list"),
        pytest.param(["parts", 0, "kind"], "kettle", id="kind of part"),
        pytest.param(["parts", 0, "colour"], "red", id="unknown field"),
        pytest.param(["parts", 0, "id"], "part", id="id"),
        pytest.param(["parts", 0, "name"], "", id="empty name"),
        pytest.param(["sheets", 0, "x_dpi"], 0, id="dpi"),
        pytest.param(["sheets", 0, "sha256"], "abc", id="sum"),
        pytest.param(["marks", 0, "kind"], "dot", id="kind of mark"),
        pytest.param(["marks", 0, "box"], [1, 2, 3], id="box"),
        pytest.param(["marks", 1, "at"], [1, "2"], id="position"),
        pytest.param(["leads", 0, "ends"], [], id="ends"),
        pytest.param(["leads", 0, "area_mm2"], -1, id="area"),
        pytest.param(["serial"], -1, id="serial"),
        pytest.param(["nonsense"], {}, id="unknown list"),
    ],
)
def test_schema_and_program_refuse_the_same_files(place: list[str | int], value: object):
    data = parsed(document_bytes(make_two_sheets().project, saved_edit=0))
    inner = data
    for step in place[:-1]:
        inner = inner[step]
    inner[place[-1]] = value
    assert not VALIDATOR.is_valid(data)
    with pytest.raises(DocumentError):
        project_from(Path("project.json"), data)


@pytest.mark.parametrize("name", ["schema", "saved_edit"])
def test_what_stands_beside_the_document_is_described_too(name: str):
    data = parsed(document_bytes(Project(), saved_edit=1))
    wrong = {**data, name: "7"}
    assert VALIDATOR.is_valid(data)
    assert not VALIDATOR.is_valid(wrong)


def test_a_file_without_schema_and_a_mark_without_kind_are_refused():
    data = parsed(document_bytes(make_two_sheets().project, saved_edit=0))
    without = {key: value for key, value in data.items() if key != "schema"}
    assert not VALIDATOR.is_valid(without)
    unkind = copy.deepcopy(data)
    del unkind["marks"][0]["kind"]
    assert not VALIDATOR.is_valid(unkind)


def test_models_that_make_a_schema_of_another_shape_are_told():
    for take in (schema._object, schema._list):
        with pytest.raises(TypeError, match="of another shape than this module knows"):
            take(None)
