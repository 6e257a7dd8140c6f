"""Tell how each gap is closed, in which order, and what it takes; take the best for all where it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project, add_sides, opened_job, write_text

if TYPE_CHECKING:
    from loomfolio.project import Project
    from loomfolio.retrofit import JobGaps

PREFERENCES = ("least cutting", "least time")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_sides(parser)
    parser.add_argument(
        "--json", metavar="OUT", help="write the ways to close each gap; - for here"
    )
    for form in ("csv", "xlsx"):
        parser.add_argument(f"--{form}", type=Path, metavar="OUT", help=f"write them as {form}")
    parser.add_argument(
        "--take-best",
        choices=PREFERENCES,
        nargs="?",
        const=PREFERENCES[0],
        metavar="HOW",
        help="choose for each gap with nothing chosen, and keep it in the project:"
        " 'least cutting' (the usual) or 'least time'",
    )
    parser.add_argument(
        "--compare", action="store_true", help="two plans side by side: least cutting, least time"
    )


def run(arguments: argparse.Namespace) -> int:
    """Tell how each gap is closed, in which order, and what it takes."""
    from loomfolio.bench import plan_json, plan_text, write_plan_csv, write_plan_xlsx
    from loomfolio.retrofit import plan_work

    project, job = opened_job(arguments)
    if arguments.take_best:
        project = _taken(arguments, project, job)
    if arguments.compare:
        print(_compared(project, job))
        return DONE
    plan = plan_work(project, job)
    if arguments.json:
        write_text(arguments.json, plan_json(project, job, plan).decode().rstrip("\n"))
    if arguments.csv is not None:
        write_plan_csv(project, job, arguments.csv)
    if arguments.xlsx is not None:
        write_plan_xlsx(project, job, plan, arguments.xlsx)
    if not any((arguments.json, arguments.csv, arguments.xlsx)):
        print(plan_text(project, job, plan))
    return DONE


def _taken(arguments: argparse.Namespace, project: Project, job: JobGaps) -> Project:
    """Choose the best for all in the project as it is stored, and return the document that was compared with it."""
    from loomfolio.project import ProjectFolder
    from loomfolio.retrofit import take_best

    with ProjectFolder.open(arguments.project) as folder:
        stored = take_best(folder.project, job, by=arguments.take_best)
        folder.commit("Take the best for all", stored)
    return stored.model_copy(update={"job": project.job})


def _compared(project: Project, job: JobGaps) -> str:
    from loomfolio.bench import comparison_text
    from loomfolio.retrofit import compare_plans, plan_work, take_best

    careful, quick = (
        plan_work(take_best(project, job, by=how, anew=True), job)
        for how in ("least cutting", "least time")
    )
    return comparison_text(compare_plans(careful, quick), PREFERENCES)


COMMAND = Command(
    "plan", "how each gap is closed, in which order, and what it takes", add_arguments, run
)
