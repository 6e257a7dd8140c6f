"""The light table: the widget, the intents that it emits, and what it asks to be shown with."""

from loomfolio.desk.table.intents import (
    Answer,
    BodyText,
    ChangeBody,
    DrawLine,
    Intent,
    MakeBody,
    MakeLink,
    MoveSheet,
    NameNet,
    NumberPins,
    Remove,
)
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.light_table import LightTable
from loomfolio.desk.table.pointing import MenuAsked, MenuSource
from loomfolio.desk.table.seams import PixelsSource, TableNetlist
from loomfolio.desk.table.things import Thing, ThingKind

__all__ = [
    "Answer",
    "BodyText",
    "ChangeBody",
    "DrawLine",
    "Intent",
    "LightTable",
    "MakeBody",
    "MakeLink",
    "MenuAsked",
    "MenuSource",
    "MoveSheet",
    "NameNet",
    "NumberPins",
    "PixelsSource",
    "Remove",
    "SheetPlace",
    "TableNetlist",
    "Thing",
    "ThingKind",
]
