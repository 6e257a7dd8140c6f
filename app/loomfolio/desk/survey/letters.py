"""The letters of the survey: one key says what is in a cavity, a position, a header or a bar; no Qt in here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

AskedKind = Literal["position", "header", "bar"]


@dataclass(frozen=True, slots=True)
class Letter:
    """One key, and the state that it enters."""

    key: str
    state: str


CAVITY_LETTERS: tuple[Letter, ...] = (
    Letter("F", "filled"),
    Letter("E", "empty"),
    Letter("P", "plugged"),
    Letter("T", "terminal without lead"),
    Letter("C", "cut"),
    Letter("R", "corroded"),
    Letter("N", "not there"),
)
OTHER_COLOUR = "O"
"""Filled, with a lead of a colour that is then typed."""

THING_LETTERS: Mapping[AskedKind, tuple[Letter, ...]] = MappingProxyType(
    {
        "position": (
            Letter("C", "complete"),
            Letter("M", "moulding only"),
            Letter("T", "terminals but no lead"),
            Letter("L", "lead but no part"),
            Letter("P", "part but nothing feeding it"),
            Letter("N", "not there"),
        ),
        "header": (
            Letter("T", "there"),
            Letter("M", "missing"),
            Letter("D", "driver not populated"),
            Letter("C", "needs coding"),
            Letter("W", "works"),
        ),
        "bar": (Letter("T", "there"), Letter("M", "missing")),
    }
)


def letter_of(letters: tuple[Letter, ...], key: str) -> Letter | None:
    """Return the letter that a key stands for; None for a key that says nothing."""
    return next((one for one in letters if one.key == key.upper()), None)


def key_of(letters: tuple[Letter, ...], state: str) -> str:
    """Return the key of a state; empty for a state that has none."""
    return next((one.key for one in letters if one.state == state), "")
