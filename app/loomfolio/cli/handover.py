"""Write the hand-over: one PDF of the vehicle as built, and the packed project."""

from __future__ import annotations

import argparse
from contextlib import ExitStack
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from loomfolio.basics import UsageError
from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project, opened_project
from loomfolio.cli.sheet import planned_job
from loomfolio.project import ProjectFolder, pack, redacted


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    parser.add_argument(
        "-o", "--out", type=Path, required=True, metavar="DIR", help="where to write"
    )
    parser.add_argument(
        "--redact", action="store_true", help="without owner, plate and vehicle number"
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4")


def run(arguments: argparse.Namespace) -> int:
    """Write the hand-over."""
    from loomfolio.bench import document_photos, hand_over_pdf, write_hand_over

    with ExitStack() as stack:
        folder = stack.enter_context(opened_project(arguments))
        if arguments.redact:
            beside = Path(stack.enter_context(TemporaryDirectory())) / "project"
            shared = ProjectFolder.create(beside, redacted(folder.project), files_of=folder.path)
            folder = stack.enter_context(shared)
            project = folder.project
            albums = (
                *(one.photos for one in project.specimens),
                *(one.photos for one in project.doings),
            )
            if any(albums):
                print("Look through the photos: what stands in a picture was not taken out.")
        bench = planned_job(folder)
        if bench is None:
            raise UsageError("No work is planned yet; choose what closes the gaps, then hand over.")
        pdf = hand_over_pdf(
            bench,
            document_photos(bench, folder.path),
            paper=arguments.paper,
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
        )
        written = write_hand_over(pdf, arguments.out)
        packed = arguments.out / "project.zip"
        pack(folder.path, packed)
    print(written)
    print(packed)
    return DONE


COMMAND = Command(
    "handover", "the vehicle as built: one PDF, and the packed project", add_arguments, run
)
