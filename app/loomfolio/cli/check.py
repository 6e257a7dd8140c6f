"""Tell what still needs a person: findings of the nets, and what breaks the rules of the trade."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from loomfolio.cli.command import DONE, FINDINGS_OPEN, Command
from loomfolio.cli.inputs import (
    add_fit,
    add_project,
    add_sides,
    job_in,
    named_fit,
    opened_project,
    write_text,
)

if TYPE_CHECKING:
    from loomfolio.nets import Netlist
    from loomfolio.project import ProjectFolder
    from loomfolio.retrofit import RuleFinding


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_fit(parser)
    add_sides(parser)
    parser.add_argument("--json", metavar="OUT", help="write the findings as json; - for here")
    parser.add_argument("--all", action="store_true", help="also what lies outside the job's scope")
    parser.add_argument("--why", action="store_true", help="tell the reason of each rule, too")


def run(arguments: argparse.Namespace) -> int:
    """Tell what still needs a person."""
    from loomfolio.nets import derive, findings
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import check_report, rule_text

    with opened_project(arguments) as folder:
        project = folder.project
        netlist = derive(
            project, readings_of(folder, project), fit=named_fit(project, arguments.fit)
        )
        of_nets = [f for f in findings(netlist) if arguments.all or f.in_scope]
        of_rules = _of_rules(folder, netlist, arguments)
    of_rules = [f for f in of_rules if arguments.all or f.in_scope]
    open_nets = [finding for finding in of_nets if finding.accepted is None]
    open_rules = [finding for finding in of_rules if finding.is_open]
    is_open = bool(open_nets or open_rules)
    if arguments.json:
        report = check_report(project, of_nets, of_rules)
        write_text(arguments.json, report.model_dump_json(by_alias=True))
    else:
        for finding in open_nets:
            print(f"{finding.severity:4}  {finding.sentence}")
        for broken in open_rules:
            print(rule_text(broken, with_reason=arguments.why))
        count = len(open_nets) + len(open_rules)
        print(f"{count} open, {len(of_nets) + len(of_rules) - count} accepted")
    return FINDINGS_OPEN if is_open else DONE


def _of_rules(
    folder: ProjectFolder, netlist: Netlist, arguments: argparse.Namespace
) -> list[RuleFinding]:
    """Hold the job's target and plan against the rules; where the job names no two sides, the nets as asked for."""
    from loomfolio.retrofit import check_job, check_rules, plan_work

    named = folder.project.job
    target = arguments.target_fit or named.target_fit
    has_sides = target and (arguments.vehicle or arguments.vehicle_fit or named.vehicle_fit)
    if not has_sides or arguments.fit not in {None, target}:
        return list(check_rules(folder.project, netlist))
    project, job = job_in(folder, arguments)
    plan = plan_work(project, job) if project.operations else None
    return list(check_job(project, job, plan=plan))


COMMAND = Command("check", "what still needs a person", add_arguments, run)
