"""The sheets of the documents with everything of ours drawn over them: one PDF, marks as lines, words to search.

The sheet is the page as it was brought in, stored without loss; over it lies what `annotations` says, set
by typst. This is the one module that puts PDF pages together.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray
from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    StreamObject,
)

from loomfolio.bench.annotations import SheetNotes, sheet_size_mm
from loomfolio.bench.frame import Frame
from loomfolio.bench.typesetting import typeset
from loomfolio.project import Project, Sheet

STRIP_MM = 11.0
"""Room below each sheet for what it is, and for the key to the forms."""
POINTS_PER_MM = 72 / 25.4

Picture = NDArray[np.uint8]
"""A page in px: (H, W) grey or (H, W, 3) RGB."""


@dataclass(frozen=True, slots=True)
class AnnotatedSheets:
    """What the template takes."""

    frame: Frame
    sheets: tuple[SheetNotes, ...]
    strip_mm: float


def annotated_pdf(
    project: Project,
    notes: Sequence[SheetNotes],
    pictures: Mapping[str, Picture],
    frame: Frame,
    *,
    today: date,
) -> bytes:
    """Return all sheets as one PDF; a sheet without a picture has only what is drawn over it.

    Parameters
    ----------
    notes
        What is drawn over each sheet, in the order of `project.sheets`.
    pictures
        Pages by sheet id, (H, W) grey or (H, W, 3) RGB, uint8.
    """
    over = PdfReader(
        io.BytesIO(
            typeset(
                "annotated_sheets.typ", AnnotatedSheets(frame, tuple(notes), STRIP_MM), today=today
            )
        )
    )
    writer = PdfWriter()
    for sheet, page in zip(project.sheets, over.pages, strict=False):
        picture = pictures.get(sheet.id)
        if picture is not None:
            below = _picture_page(sheet, picture)
            below.merge_page(page)
            writer.add_page(below)
        else:
            writer.add_page(page)
        writer.add_outline_item(title=sheet.title, page_number=len(writer.pages) - 1)
    title = f"{frame.title}, {frame.job}"
    writer.add_metadata({"/Title": title})
    return pdf_bytes(writer)


def pdf_bytes(writer: PdfWriter) -> bytes:
    """Return what a writer holds."""
    room = io.BytesIO()
    writer.write(room)
    return room.getvalue()


def _picture_page(sheet: Sheet, picture: Picture) -> PageObject:
    """Return a page as large as the sheet and its strip, with the picture on it."""
    width, height = (side * POINTS_PER_MM for side in sheet_size_mm(sheet))
    strip = STRIP_MM * POINTS_PER_MM
    page = PageObject.create_blank_page(width=width, height=height + strip)
    resources = DictionaryObject()
    resources[NameObject("/XObject")] = DictionaryObject(
        {NameObject("/Sheet"): _image(np.ascontiguousarray(picture))}
    )
    page[NameObject("/Resources")] = resources
    content = DecodedStreamObject()
    place = f"q {width:.4f} 0 0 {height:.4f} 0 {strip:.4f} cm /Sheet Do Q"
    content.set_data(place.encode())
    page[NameObject("/Contents")] = content
    return page


def _image(picture: Picture) -> StreamObject:
    """Return a picture as an image of the PDF, without loss; of a page of black and white one bit a pixel."""
    bits, data = 8, picture.tobytes()
    if picture.ndim == 2 and not np.any((picture > 0) & (picture < 255)):
        bits, data = 1, np.packbits(picture > 0, axis=1).tobytes()
    image = StreamObject()
    image._data = zlib.compress(data, 6)  # noqa: SLF001 - the only way to hand over what is compressed
    image.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Image"),
            NameObject("/Width"): NumberObject(picture.shape[1]),
            NameObject("/Height"): NumberObject(picture.shape[0]),
            NameObject("/ColorSpace"): NameObject(
                "/DeviceGray" if picture.ndim == 2 else "/DeviceRGB"
            ),
            NameObject("/BitsPerComponent"): NumberObject(bits),
            NameObject("/Filter"): NameObject("/FlateDecode"),
        }
    )
    return image


def together(parts: Sequence[tuple[str, bytes]], *, title: str) -> bytes:
    """Return several PDFs as one, with a bookmark for each, and below it those that it has itself."""
    writer = PdfWriter()
    for name, data in parts:
        writer.append(io.BytesIO(data), outline_item=name, import_outline=True)
    writer.add_metadata({"/Title": title})
    return pdf_bytes(writer)
