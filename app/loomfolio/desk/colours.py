"""The colours of screen and paper by role, read from `assets/colours.json`; no Qt in here.

A state is a form first and a colour second; nothing but this file and that table knows a colour.
Contrast is the ratio of WCAG 2.2, success criterion 1.4.3, with its relative luminance.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, get_args

from loomfolio.basics import DocumentError, asset_path

ThemeName = Literal["light", "dark"]
Role = Literal[
    "table",
    "panel",
    "paper",
    "text",
    "second text",
    "hairline",
    "followed",
    "doubt",
    "confirmed",
    "gap",
    "stop",
    "caution",
    "caution text",
]
ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True, slots=True)
class Colours:
    """One set of colours: a `#RRGGBB` for each role."""

    name: ThemeName
    roles: Mapping[str, str]

    def of(self, role: Role) -> str:
        """Return the `#RRGGBB` of a role."""
        return self.roles[role]

    def mixed(self, ground: Role, ink: Role, share: float) -> str:
        """Return `ground` with `share` (0 to 1) of `ink` in it: quiet tints that need no name."""
        pairs = zip(_channels(self.of(ground)), _channels(self.of(ink)), strict=True)
        return "#" + "".join(f"{round(g + (i - g) * share):02X}" for g, i in pairs)


@cache
def colours(name: ThemeName) -> Colours:
    """Return the light or the dark set; `DocumentError` when the table lacks a role."""
    path = asset_path("colours.json")
    table = json.loads(path.read_text(encoding="utf-8"))
    missing = [role for role in ROLES if role not in table["roles"]]
    if missing:
        raise DocumentError(path, f"no colour for {', '.join(missing)}", "install loomfolio again")
    roles: dict[str, str] = {role: table["roles"][role][name] for role in ROLES}
    return Colours(name, MappingProxyType(roles))


def contrast(one: str, other: str) -> float:
    """Return the WCAG contrast ratio of two `#RRGGBB` colours, 1 (equal) to 21 (black on white).

    >>> round(contrast("#000000", "#FFFFFF"))
    21
    """
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _luminance(colour: str) -> float:
    """The relative luminance of WCAG 2.2."""
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
        for c in (channel / 255 for channel in _channels(colour))
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
