"""Records as JSON files with a published schema: what other programs read."""

from __future__ import annotations

import json

from pydantic import BaseModel


def record_bytes(record: BaseModel) -> bytes:
    """Return a record as the JSON file that is written."""
    return (record.model_dump_json(by_alias=True, indent=1) + "\n").encode()


def schema_text(record: type[BaseModel]) -> str:
    """Return the JSON Schema (draft 2020-12) of what `record_bytes` writes, as published."""
    made = record.model_json_schema(by_alias=True, mode="serialization")
    made = {"$schema": "https://json-schema.org/draft/2020-12/schema", **made}
    return json.dumps(made, indent=1, ensure_ascii=False) + "\n"
