"""A day as it is typed."""

from __future__ import annotations

from datetime import date

from loomfolio.basics import EditError


def day_of(text: str) -> date | None:
    """Return a typed day; None for nothing, `EditError` for what is none.

    >>> day_of("2024-04-16")
    datetime.date(2024, 4, 16)
    """
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise EditError(
            f"{text.strip()!r} is no day; type it as year-month-day, such as 2024-04-16, or leave it."
        ) from None


def today() -> date:
    """Return the day on the bench's own calendar."""
    return date.today()  # noqa: DTZ011 - no time zone is meant
