"""Show or write the connector-to-connector map."""

from __future__ import annotations

import argparse
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_fit, add_project, opened_netlist


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_fit(parser)
    for form in ("csv", "xlsx", "json"):
        parser.add_argument(f"--{form}", type=Path, metavar="OUT", help=f"write the map as {form}")


def run(arguments: argparse.Namespace) -> int:
    """Show or write the connector-to-connector map."""
    from loomfolio.bench import map_text, write_map_csv, write_map_json, write_map_xlsx
    from loomfolio.nets import connector_map

    with opened_netlist(arguments) as netlist:
        rows = connector_map(netlist)
        written = False
        for path, write in (
            (arguments.csv, write_map_csv),
            (arguments.xlsx, write_map_xlsx),
            (arguments.json, write_map_json),
        ):
            if path is not None:
                write(netlist.project, rows, path)
                written = True
        if not written:
            print(map_text(netlist.project, rows))
    return DONE


COMMAND = Command("map", "the connector-to-connector map", add_arguments, run)
