"""One place where the second look and the first reading part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomfolio.reading.records import DoubtKind, Taken

Reason = Literal[
    "straight line changes conductor",
    "straight line is left",
    "bend changes conductor",
    "arm not read",
    "stem apart from bar",
    "apart with dot",
    "joined without dot",
    "ends face each other",
    "line goes on behind a gap",
    "joined over bare paper",
]


@dataclass(frozen=True)
class Finding:
    """Where the two readings part, in working px, how, and what the first one took."""

    x: float
    y: float
    kind: DoubtKind
    taken: Taken
    reason: Reason
