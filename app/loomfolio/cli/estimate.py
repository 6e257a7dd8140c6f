"""Tell what the job takes, before any work."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project, add_sides, opened_job


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_sides(parser)
    parser.add_argument("--pdf", type=Path, metavar="OUT", help="write the page for the customer")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4")


def run(arguments: argparse.Namespace) -> int:
    """Tell what the job takes, before any work."""
    from loomfolio.bench import write_estimate_page
    from loomfolio.retrofit import donor_cover, estimate, estimate_text

    project, job = opened_job(arguments)
    donors = [one for one in project.specimens if one.kind == "donor loom" and one.harness]
    found = estimate(job, [donor_cover(job, project, one) for one in donors])
    if arguments.pdf is None:
        print(estimate_text(found))
    else:
        write_estimate_page(
            project,
            job.gaps,
            found,
            arguments.pdf,
            paper=arguments.paper,
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
        )
    return DONE


COMMAND = Command("estimate", "what the job takes, before any work", add_arguments, run)
