"""Read the conductors of one page."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from loomfolio.basics import PxBox, UsageError
from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import write_text

LOWEST_DPI, HIGHEST_DPI = 20.0, 2400.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    parser.add_argument("page_file", type=Path, metavar="PAGE")
    parser.add_argument("--page", type=int, default=1, metavar="N", help="which page, from 1")
    parser.add_argument("--dpi", type=float, metavar="D", help="of a PDF page: how fine (300)")
    parser.add_argument(
        "--bodies", type=Path, metavar="BOXES.json", help="[[x0, y0, x1, y1], …] px"
    )
    parser.add_argument("--texts", action="store_true", help="also recognise the printed words")
    parser.add_argument("--password", help="of a protected PDF")
    parser.add_argument("--json", required=True, metavar="OUT", help="where to write; - for here")


def run(arguments: argparse.Namespace) -> int:
    """Read the conductors of one page."""
    from loomfolio.reading import read_any_page, with_recognised_words
    from loomfolio.sheets import PDF_DPI, assumed_resolution, load_drawing, load_page

    dpi = arguments.dpi
    if dpi is not None and not LOWEST_DPI <= dpi <= HIGHEST_DPI:
        raise UsageError(f"{dpi:g} dpi cannot be right; give {LOWEST_DPI:g} to {HIGHEST_DPI:g}.")
    boxes = _boxes(arguments.bodies) if arguments.bodies is not None else ()
    image = load_page(
        arguments.page_file,
        page=arguments.page,
        dpi=dpi or PDF_DPI,
        password=arguments.password,
    )
    if dpi is None:
        height_px, width_px = image.pixels.shape[:2]
        dpi = (image.resolution or assumed_resolution(width_px, height_px)).x_dpi
    drawing = load_drawing(
        arguments.page_file,
        page=arguments.page,
        dpi=arguments.dpi or PDF_DPI,
        password=arguments.password,
    )
    reading = read_any_page(lambda: image.pixels, drawing, dpi=dpi, bodies=boxes)
    if arguments.texts:
        reading = with_recognised_words(reading, lambda: image.pixels, bodies=boxes)
    write_text(arguments.json, reading.to_json())
    return DONE


def _boxes(path: Path) -> tuple[PxBox, ...]:
    """The boxes of bodies in a file: a list of `[x0, y0, x1, y1]`, corners in any order."""
    wrong = UsageError(f"{path.name} does not hold a list of [x0, y0, x1, y1] in px; mend it.")
    try:
        rows = json.loads(path.read_text(encoding="utf-8"))
        boxes = [tuple(float(edge) for edge in row) for row in rows]
    except OSError as error:
        raise UsageError(f"{path} cannot be read ({error.strerror}); check the path.") from error
    except (ValueError, TypeError) as error:
        raise wrong from error
    if any(len(box) != len(PxBox._fields) for box in boxes):
        raise wrong
    return tuple(
        PxBox(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)) for x0, y0, x1, y1 in boxes
    )


COMMAND = Command("conductors", "read the conductors of one page", add_arguments, run)
