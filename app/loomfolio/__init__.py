"""loomfolio: from printed wiring diagrams to a splice sheet that is safe to work by."""

__version__ = "0.1.0"
