"""Put a project into one zip file."""

from __future__ import annotations

import argparse
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    parser.add_argument("zip_file", type=Path, metavar="ZIP")


def run(arguments: argparse.Namespace) -> int:
    """Put a project into one zip file."""
    from loomfolio.project import pack

    pack(arguments.project, arguments.zip_file)
    return DONE


COMMAND = Command("pack", "put a project into one zip file", add_arguments, run)
