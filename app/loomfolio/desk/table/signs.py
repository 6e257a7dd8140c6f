"""What a drawn run says of two fits that lie over each other; no Qt in here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomfolio.basics import MmPoint

Sign = Literal["same", "only a", "only b", "elsewhere"]


@dataclass(frozen=True, slots=True)
class SignedRun:
    """A drawn run on one sheet, and what it says of the two fits."""

    sheet: str
    points: tuple[MmPoint, ...]
    sign: Sign
