"""Take a picture of the desk."""

from __future__ import annotations

import argparse
from pathlib import Path

from loomfolio.cli.command import DONE, Command


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    parser.add_argument("out", type=Path, metavar="OUT.png")
    parser.add_argument("project", type=Path, nargs="?", metavar="PROJECT")
    parser.add_argument("--dark", action="store_true", help="in the dark theme")
    parser.add_argument("--ratio", type=float, default=1.0, help="device px per px, such as 2")
    parser.add_argument("--follow", metavar="PIN", help="the pin to follow")


def run(arguments: argparse.Namespace) -> int:
    """Take a picture of the desk."""
    from loomfolio.desk import screenshot

    screenshot(
        arguments.out,
        arguments.project,
        pin=arguments.follow,
        is_dark=arguments.dark,
        ratio=arguments.ratio,
    )
    return DONE


COMMAND = Command("screenshot", "a picture of the desk on a project", add_arguments, run)
