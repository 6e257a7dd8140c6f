"""Tell what the target fit has and this vehicle lacks."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project, add_sides, opened_job, write_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_sides(parser)
    parser.add_argument("--json", metavar="OUT", help="write the gaps as json; - for here")
    for form in ("csv", "xlsx"):
        parser.add_argument(f"--{form}", type=Path, metavar="OUT", help=f"write the gaps as {form}")
    parser.add_argument("--pdf", type=Path, metavar="OUT", help="write the gap sheet")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4")
    parser.add_argument("--all", action="store_true", help="also what lies outside the job's scope")


def run(arguments: argparse.Namespace) -> int:
    """Tell what the target fit has and this vehicle lacks."""
    from loomfolio.bench import (
        gaps_json,
        gaps_text,
        write_gap_sheet,
        write_gaps_csv,
        write_gaps_xlsx,
    )

    project, job = opened_job(arguments)
    gaps = [gap for gap in job.gaps if arguments.all or gap.in_scope]
    if arguments.json:
        text = gaps_json(project, gaps, contradictions=job.contradictions).decode()
        write_text(arguments.json, text.rstrip("\n"))
    if arguments.csv is not None:
        write_gaps_csv(project, gaps, arguments.csv)
    if arguments.xlsx is not None:
        write_gaps_xlsx(project, gaps, arguments.xlsx)
    if arguments.pdf is not None:
        write_gap_sheet(
            project,
            job.gaps,
            arguments.pdf,
            contradictions=job.contradictions,
            paper=arguments.paper,
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
        )
    if not any((arguments.json, arguments.csv, arguments.xlsx, arguments.pdf)):
        print(gaps_text(project, job.gaps))
        outside = [gap for gap in gaps if not gap.in_scope and gap.is_open]
        print("".join(f"outside of the job: {gap.sentence}\n" for gap in outside), end="")
        asked = [question.sentence for question in job.matching.questions]
        print("".join(f"{line}\n" for line in (*job.contradictions, *asked)), end="")
    return DONE


COMMAND = Command("gaps", "what the target fit has and this vehicle lacks", add_arguments, run)
