"""Make a project of scanned or PDF sheets."""

from __future__ import annotations

import argparse
import shutil
import sys
from pathlib import Path

from loomfolio.basics import LoomfolioError
from loomfolio.cli.command import DONE, Command
from loomfolio.project import Project, ProjectFolder


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    parser.add_argument("project", type=Path, metavar="PROJECT")
    parser.add_argument("sheets", type=Path, nargs="+", metavar="SHEET")
    parser.add_argument("--paper", help="the paper that each page fills, such as a4")
    parser.add_argument("--password", help="of a protected PDF")


def run(arguments: argparse.Namespace) -> int:
    """Make a project of scanned or PDF sheets."""
    from loomfolio.sheets import bring_in, page_list

    for path in arguments.sheets:  # a file that cannot be used is told before a folder is made
        page_list(path, password=arguments.password)
    was_there = arguments.project.exists()
    with ProjectFolder.create(arguments.project, Project()) as folder:
        try:
            for path in arguments.sheets:
                project, ids = bring_in(
                    folder,
                    folder.project,
                    path,
                    paper=arguments.paper,
                    password=arguments.password,
                    left_out=lambda fault: print(fault, file=sys.stderr),
                )
                folder.commit(f"Bring in {path.name}", project)
                print(f"{path.name}: {len(ids)} {'sheet' if len(ids) == 1 else 'sheets'}")
            folder.checkpoint()
        except LoomfolioError:
            folder.close()
            shutil.rmtree(arguments.project)  # `create` takes no folder that holds anything
            if was_there:
                arguments.project.mkdir()
            raise
    return DONE


COMMAND = Command("new", "make a project of scanned or PDF sheets", add_arguments, run)
