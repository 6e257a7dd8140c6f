"""Bring pages in: picture and PDF files -> pixels, and their size in mm."""

from loomfolio.sheets.bringing import SheetStore, bring_in, sheet_drawing, sheet_pixels
from loomfolio.sheets.clipping import area_of, lines_in
from loomfolio.sheets.drawings import (
    DrawnFill,
    DrawnPicture,
    DrawnStroke,
    DrawnWord,
    PageDrawing,
    Rgb,
)
from loomfolio.sheets.limits import MAX_FILE_BYTES, MAX_PAGE_PX, MAX_PAGES, MAX_SIDE_PX
from loomfolio.sheets.pages import load_drawing, load_page, page_list
from loomfolio.sheets.pdf_files import PDF_DPI
from loomfolio.sheets.photos import bring_in_photo
from loomfolio.sheets.records import PageImage, PageInfo, Pixels, SourceKind
from loomfolio.sheets.resolution import (
    PAPER_SIZES_MM,
    assumed_resolution,
    resolution_from_paper,
)
from loomfolio.sheets.validity import outside_validity

__all__ = [
    "MAX_FILE_BYTES",
    "MAX_PAGES",
    "MAX_PAGE_PX",
    "MAX_SIDE_PX",
    "PAPER_SIZES_MM",
    "PDF_DPI",
    "DrawnFill",
    "DrawnPicture",
    "DrawnStroke",
    "DrawnWord",
    "PageDrawing",
    "PageImage",
    "PageInfo",
    "Pixels",
    "Rgb",
    "SheetStore",
    "SourceKind",
    "area_of",
    "assumed_resolution",
    "bring_in",
    "bring_in_photo",
    "lines_in",
    "load_drawing",
    "load_page",
    "outside_validity",
    "page_list",
    "resolution_from_paper",
    "sheet_drawing",
    "sheet_pixels",
]
