"""Tell what proves the work: the tests before power, in power, and at the end."""

from __future__ import annotations

import argparse
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_project, add_sides, opened_job, write_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_sides(parser)
    parser.add_argument("--json", metavar="OUT", help="write the tests as json; - for here")
    for form in ("csv", "xlsx"):
        parser.add_argument(
            f"--{form}", type=Path, metavar="OUT", help=f"write the tests as {form}"
        )


def run(arguments: argparse.Namespace) -> int:
    """Tell what proves the work."""
    from loomfolio.bench import (
        job_proof,
        proof_json,
        proof_text,
        write_proof_csv,
        write_proof_xlsx,
    )

    project, job = opened_job(arguments)
    plan = job_proof(project, job)
    if arguments.json:
        write_text(arguments.json, proof_json(project, plan).decode().rstrip("\n"))
    if arguments.csv is not None:
        write_proof_csv(project, plan, arguments.csv)
    if arguments.xlsx is not None:
        write_proof_xlsx(project, plan, arguments.xlsx)
    if not any((arguments.json, arguments.csv, arguments.xlsx)):
        print(proof_text(plan, project.meter_readings))
    return DONE


COMMAND = Command("proof", "what proves the work: tests, limits, readings", add_arguments, run)
