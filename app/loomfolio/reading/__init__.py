"""From the pixels or the strokes of a page to its conductors, with a doubt where two readings are near.

`read_page` reads pixels, `read_any_page` whatever the file has (`page_route`); the
records are the contract `loomfolio.conductors/1`.
"""

from loomfolio.reading.colour_sets import colour_codes, colour_sets, fitting_set
from loomfolio.reading.debug import draw_reading
from loomfolio.reading.page_route import read_any_page, with_recognised_words
from loomfolio.reading.printed import (
    PrintedBody,
    PrintedColour,
    PrintedWord,
    printed_body,
    printed_colours,
    printed_words,
)
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
    Route,
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
from loomfolio.reading.sheet_words import cached_words, read_sheet_words
from loomfolio.reading.words import read_words

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
    "PrintedBody",
    "PrintedColour",
    "PrintedWord",
    "ReaderSettings",
    "Reading",
    "ReadingStore",
    "Route",
    "Taken",
    "Text",
    "bodies_of",
    "cached_reading",
    "cached_words",
    "colour_codes",
    "colour_sets",
    "draw_reading",
    "fitting_set",
    "printed_body",
    "printed_colours",
    "printed_words",
    "read_any_page",
    "read_page",
    "read_sheet",
    "read_sheet_words",
    "read_words",
    "readings_of",
    "with_recognised_words",
]
