"""The cautions that every printed sheet carries: the job's own, then the standing ones.

The standing lines lie in `assets/cautions.json` in our own words, each with its source and status.
They are always printed, also where the job says nothing of high voltage: nobody has to know a word
for a line to appear.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache

from loomfolio.basics import asset_path


@dataclass(frozen=True, slots=True)
class CautionGroup:
    """Lines that belong together, under a heading."""

    heading: str
    lines: tuple[str, ...]


@cache
def standing_cautions() -> tuple[CautionGroup, ...]:
    """Return the lines that are printed on every job."""
    table = json.loads(asset_path("cautions.json").read_text(encoding="utf-8"))
    return tuple(
        CautionGroup(str(group["heading"]), tuple(str(line["text"]) for line in group["lines"]))
        for group in table["groups"]
    )


@cache
def owner_cautions() -> tuple[str, ...]:
    """Return the lines that the owner of a vehicle is told before any work."""
    table = json.loads(asset_path("cautions.json").read_text(encoding="utf-8"))
    return tuple(str(line["text"]) for line in table["owner"])
