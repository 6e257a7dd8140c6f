"""A number as it is typed."""

from __future__ import annotations

from loomfolio.basics import EditError


def number_of(text: str, what: str) -> float | None:
    """Return a typed number, with a comma or a point; None for nothing, `EditError` for what is none.

    >>> number_of("0,85", "length")
    0.85
    """
    words = text.strip().replace(",", ".")
    if not words:
        return None
    try:
        return float(words)
    except ValueError:
        raise EditError(f"The {what} {text.strip()!r} is no number; write it like 0.85.") from None
