"""From what a page draws, stroke by stroke, to its conductors: the same contract as from pixels."""

from loomfolio.reading.vector.ink import PAPER_DARKNESS
from loomfolio.reading.vector.read_drawing import read_drawing

__all__ = ["PAPER_DARKNESS", "read_drawing"]
