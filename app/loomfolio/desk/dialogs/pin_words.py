"""A pin inside its part as a person writes it: `12`, `C1:12`, `C1.B:12`; no Qt in here."""

from __future__ import annotations

from loomfolio.basics import EditError
from loomfolio.project import InnerPin


def inner_pin_text(pin: InnerPin) -> str:
    """Return a pin inside its part in words.

    >>> inner_pin_text(InnerPin(connector="C1", pin="12"))
    'C1:12'
    """
    half = f".{pin.half}" if pin.half else ""
    return f"{pin.connector}{half}:{pin.pin}" if pin.connector or half else pin.pin


def inner_pin(text: str) -> InnerPin:
    """Return the pin that was written; `EditError` where there is none in it."""
    before, _, pin = text.strip().rpartition(":")
    connector, _, half = before.partition(".")
    if not pin.strip():
        raise EditError(f"{text.strip()!r} names no pin; write 12 or C1:12.")
    return InnerPin(connector=connector.strip(), half=half.strip(), pin=pin.strip())


def inner_pins(text: str) -> tuple[InnerPin, ...]:
    """Return the pins of a list such as `1, 2, C1:12`."""
    return tuple(inner_pin(word) for word in text.split(",") if word.strip())
