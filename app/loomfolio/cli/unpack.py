"""Take a project out of a zip file."""

from __future__ import annotations

import argparse
from pathlib import Path

from loomfolio.cli.command import DONE, Command


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    parser.add_argument("zip_file", type=Path, metavar="ZIP")
    parser.add_argument("project", type=Path, metavar="PROJECT")


def run(arguments: argparse.Namespace) -> int:
    """Take a project out of a zip file."""
    from loomfolio.project import unpack

    unpack(arguments.zip_file, arguments.project)
    return DONE


COMMAND = Command("unpack", "take a project out of a zip file", add_arguments, run)
