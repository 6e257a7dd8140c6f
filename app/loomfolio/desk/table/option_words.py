"""Conditions as option notes say them on the paper."""

from __future__ import annotations


def opposite(condition: str) -> str:
    """Return the condition that holds where this one does not, without piling up signs.

    >>> opposite("towing")
    '!(towing)'
    >>> opposite("!(towing)")
    'towing'
    """
    inner = condition[2:-1]
    is_turned = condition.startswith("!(") and condition.endswith(")") and _is_closed(inner)
    return inner if is_turned else f"!({condition})"


def _is_closed(text: str) -> bool:
    """Do the brackets of a text belong to each other? So the outer pair can be taken off."""
    depth = 0
    for letter in text:
        depth += {"(": 1, ")": -1}.get(letter, 0)
        if depth < 0:
            return False
    return depth == 0
