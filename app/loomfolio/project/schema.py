"""The published JSON Schema of `project.json`, made from the models.

It lies in `assets/schemas/`, where other programs find it; a test holds that file against what is made
here. After a change of the models::

    PYTHONPATH=app python -c "from loomfolio.project import write_schema; write_schema()"
"""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import JsonValue

from loomfolio.basics import asset_path
from loomfolio.project.document_file import PRESENT_VERSION
from loomfolio.project.models import Project
from loomfolio.project.record_lists import AnyEntry, AnyMark, JsonObject

SCHEMA_PATH = asset_path("schemas", f"project-{PRESENT_VERSION}.schema.json")

_SAVED_EDIT: JsonObject = {
    "type": "integer",
    "minimum": 0,
    "default": 0,
    "description": "The number of the last edit that this file includes; later ones are in the journal.",
}


def project_schema() -> JsonObject:
    """Return the JSON Schema (draft 2020-12) that every `project.json` of this version fulfils."""
    made: JsonObject = Project.model_json_schema(by_alias=True)
    properties = _object(made.pop("properties"))
    definitions = _object(made.pop("$defs"))
    for kind in (*AnyMark.__args__, *AnyEntry.__args__):
        # A mark or entry without its kind could be any of several, so it is written though it has a default.
        definition = _object(definitions[kind.__name__])
        definition["required"] = ["kind", *_list(definition["required"])]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"loomfolio project, version {PRESENT_VERSION}",
        **{key: value for key, value in made.items() if key != "title"},
        "required": ["schema"],
        "properties": {
            "schema": properties.pop("schema"),
            "saved_edit": _SAVED_EDIT,
            **properties,
        },
        "$defs": definitions,
    }


def schema_text() -> str:
    """Return the text of the published file."""
    return json.dumps(project_schema(), indent=1, ensure_ascii=False) + "\n"


def write_schema(path: Path = SCHEMA_PATH) -> None:
    """Write the published file anew."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(schema_text(), encoding="utf-8", newline="\n")


def _object(value: JsonValue) -> JsonObject:
    if not isinstance(value, dict):
        raise TypeError("the models make a JSON Schema of another shape than this module knows")
    return value


def _list(value: JsonValue) -> list[JsonValue]:
    if not isinstance(value, list):
        raise TypeError("the models make a JSON Schema of another shape than this module knows")
    return value
