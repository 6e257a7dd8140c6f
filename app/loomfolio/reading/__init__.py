"""From the pixels of a page to its conductors, with a doubt where two readings are near.

`read_page` is the whole of it; the records are the contract `loomfolio.conductors/1`.
"""

from loomfolio.reading.debug import draw_reading
from loomfolio.reading.read import READER_VERSION, read_page
from loomfolio.reading.records import (
    READING_SCHEMA,
    Conductor,
    Crossing,
    CrossingKind,
    Doubt,
    DoubtKind,
    Junction,
    JunctionKind,
    Outline,
    PageSize,
    Polyline,
    Reading,
    Taken,
    Text,
)
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.sheet_readings import (
    ReadingStore,
    bodies_of,
    cached_reading,
    read_sheet,
    readings_of,
)

__all__ = [
    "READER_VERSION",
    "READING_SCHEMA",
    "Conductor",
    "Crossing",
    "CrossingKind",
    "Doubt",
    "DoubtKind",
    "Junction",
    "JunctionKind",
    "Outline",
    "PageSize",
    "Polyline",
    "ReaderSettings",
    "Reading",
    "ReadingStore",
    "Taken",
    "Text",
    "bodies_of",
    "cached_reading",
    "draw_reading",
    "read_page",
    "read_sheet",
    "readings_of",
]
