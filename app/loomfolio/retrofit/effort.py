"""How long pieces of work take: the table `assets/effort.csv`, common practice without a source."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from loomfolio.basics import asset_path


@dataclass(frozen=True, slots=True)
class Span:
    """From the least to the most that something may come to."""

    least: float = 0.0
    most: float = 0.0

    def __add__(self, other: Span) -> Span:
        return Span(self.least + other.least, self.most + other.most)

    def times(self, count: Span) -> Span:
        """Return so many of it."""
        return Span(self.least * count.least, self.most * count.most)


@cache
def effort_hours() -> Mapping[str, Span]:
    """Return the hours that each kind of work takes, by its word in the table."""
    with asset_path("effort.csv").open(encoding="utf-8", newline="") as stream:
        return {
            row["work"]: Span(float(row["hours_least"]), float(row["hours_most"]))
            for row in csv.DictReader(stream)
        }
