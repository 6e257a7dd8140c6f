"""Start the same job on the next vehicle."""

from __future__ import annotations

import argparse
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project, opened_project
from loomfolio.project import ProjectFolder, next_vehicle


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    parser.add_argument("new", type=Path, metavar="NEW", help="where the new project is made")


def run(arguments: argparse.Namespace) -> int:
    """Start the same job on the next vehicle: documents and plan stay, what was seen and done is emptied."""
    with opened_project(arguments) as folder:
        fresh = next_vehicle(folder.project)
        with ProjectFolder.create(arguments.new, fresh, files_of=folder.path) as made:
            made.forget_photos()
    print(arguments.new)
    return DONE


COMMAND = Command(
    "next", "the same job on the next vehicle, without what was seen and done", add_arguments, run
)
