"""Loops, pairs and screens: interlock loops opened connector by connector, bus pairs, screens at ground."""

from loomfolio.retrofit.loops.interlock import InterlockLoop, LoopConnector, interlock_loops
from loomfolio.retrofit.loops.pairs import BusPair, Stub, bus_pairs
from loomfolio.retrofit.loops.screens import ScreenCheck, ScreenEnd, screen_checks

__all__ = [
    "BusPair",
    "InterlockLoop",
    "LoopConnector",
    "ScreenCheck",
    "ScreenEnd",
    "Stub",
    "bus_pairs",
    "interlock_loops",
    "screen_checks",
]
