"""Tell the ways from a pin."""

from __future__ import annotations

import argparse

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_fit, add_project, opened_netlist, write_text
from loomfolio.project import find_pin


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    parser.add_argument("pin", metavar="PIN", help='such as "TCU C1:12"')
    parser.add_argument("--to", metavar="PIN", help="only the ways that reach this pin")
    add_fit(parser)
    parser.add_argument("--json", metavar="OUT", help="write the ways as json; - for here")


def run(arguments: argparse.Namespace) -> int:
    """Tell the ways from a pin."""
    from loomfolio.nets import follow, follow_record, way_text

    with opened_netlist(arguments) as netlist:
        pin = find_pin(netlist.project, arguments.pin)
        to = find_pin(netlist.project, arguments.to) if arguments.to else None
        ways = follow(netlist, pin, to=to)
        if arguments.json:
            write_text(
                arguments.json, follow_record(netlist, pin, ways).model_dump_json(by_alias=True)
            )
        else:
            print("\n".join(way_text(netlist, way) for way in ways) or "No way leads there.")
    return DONE


COMMAND = Command("follow", "the ways from a pin", add_arguments, run)
