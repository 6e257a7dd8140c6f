"""Open the desk from a shell."""

from __future__ import annotations

import argparse

from loomfolio.cli.command import Command


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    parser.add_argument("paths", nargs="*", metavar="PROJECT or SHEET")


def run(arguments: argparse.Namespace) -> int:
    """Open the desk from a shell."""
    from loomfolio.desk import run_desk

    return run_desk(arguments.paths)


COMMAND = Command(
    "desk", "open the desk on a project, on sheets, or on the demo", add_arguments, run
)
