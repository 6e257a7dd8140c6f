"""What the light table asks of the rest: a netlist to point into, and pixels to show.

The table draws what it is handed and emits intents (`intents.py`); it derives nothing. These
protocols name the few things it reads, so that its gestures can be tested on sheets made by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets import DrawnConductor, Net, PlacedPin, Snap, Spot
from loomfolio.project import PinKey, Sheet

AnswerWord = Literal["joined", "apart"]

PixelsSource = Callable[[Sheet], NDArray[np.uint8]]
"""Returns the pixels of a sheet, uint8 (H, W) grey or (H, W, 3) RGB. Called outside the window's
thread; raises `LoomfolioError` where the file cannot be used."""


class TableNetlist(Protocol):
    """The part of a netlist that the table reads."""

    def conductors_on(self, sheet_id: str) -> Sequence[DrawnConductor]:
        """Return the conductors of one sheet."""

    def net(self, number: int) -> Net:
        """Return a net; `LookupError` if there is none of that number."""

    def net_of_pin(self, pin: PinKey) -> Net | None:
        """Return the net that a pin belongs to."""

    def pins_on(self, sheet_id: str) -> Sequence[PlacedPin]:
        """Return the pins that one sheet draws."""

    def spots_on(self, sheet_id: str) -> Sequence[Spot]:
        """Return the places of one sheet that can be answered."""

    def snap(self, sheet_id: str, at: MmPoint, within_mm: float = 3.0) -> Snap:
        """Return what a mark at a place would hold on to."""

    def edge_crossings(self, sheet_id: str, box: MmBox) -> Sequence[MmPoint]:
        """Return where conductors meet the edge of a box, clockwise from top left."""
