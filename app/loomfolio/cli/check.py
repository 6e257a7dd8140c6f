"""Tell what still needs a person."""

from __future__ import annotations

import argparse

from loomfolio.cli.command import DONE, FINDINGS_OPEN, Command
from loomfolio.cli.inputs import add_fit, add_project, opened_netlist, write_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_fit(parser)
    parser.add_argument("--json", metavar="OUT", help="write the findings as json; - for here")
    parser.add_argument("--all", action="store_true", help="also what lies outside the job's scope")


def run(arguments: argparse.Namespace) -> int:
    """Tell what still needs a person."""
    from loomfolio.nets import findings, findings_record

    with opened_netlist(arguments) as netlist:
        found = [f for f in findings(netlist) if arguments.all or f.in_scope]
        open_ones = [finding for finding in found if finding.accepted is None]
        if arguments.json:
            record = findings_record(netlist.project, found)
            write_text(arguments.json, record.model_dump_json(by_alias=True))
        else:
            for finding in open_ones:
                print(f"{finding.severity:4}  {finding.sentence}")
            print(f"{len(open_ones)} open, {len(found) - len(open_ones)} accepted")
    return FINDINGS_OPEN if open_ones else DONE


COMMAND = Command("check", "what still needs a person", add_arguments, run)
