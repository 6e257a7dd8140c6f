"""The letters that wire colours are written in: which sets there are, and which one a page uses.

The table is `assets/wire_colours.csv`, each row with its source (IEC 60757 and the sets of common practice).
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache

from loomfolio.basics import asset_path

FITS_SHARE = 0.95
"""A set fits a page where it knows this share of the letters that were read; a slip of the reader is forgiven."""


@cache
def colour_sets() -> Mapping[str, frozenset[str]]:
    """Return the codes of each set by its name."""
    found: dict[str, set[str]] = {}
    with asset_path("wire_colours.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found.setdefault(row["code_set"], set()).add(row["code"])
    return {name: frozenset(codes) for name, codes in found.items()}


def colour_codes() -> frozenset[str]:
    """Return the codes of all sets."""
    return frozenset(code for codes in colour_sets().values() for code in codes)


def fitting_set(letters: Iterable[str]) -> str:
    """Return the one set that fits letters such as `GN/YE` best; empty where none or several do.

    Letters that two sets know alike decide nothing: what is ambiguous stays so.
    """
    codes = [code for text in letters for code in re.split(r"[/\-]", text) if code]
    if not codes:
        return ""
    known = Counter(
        {name: sum(code in own for code in codes) for name, own in colour_sets().items()}
    )
    ranked = known.most_common()
    best, count = ranked[0]
    is_alone = len(ranked) == 1 or ranked[1][1] < count
    return best if is_alone and count >= FITS_SHARE * len(codes) else ""
