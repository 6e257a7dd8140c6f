"""Reading + marks -> nets on a sheet -> nets over all sheets -> connector map; follow a pin; release."""

from loomfolio.nets.connector_map import connector_map
from loomfolio.nets.findings import findings
from loomfolio.nets.follow import follow
from loomfolio.nets.netlist import Memory, Netlist, derive
from loomfolio.nets.records import (
    DrawnConductor,
    Finding,
    FindingKind,
    MapRow,
    NameClaim,
    Net,
    Piece,
    PlacedPin,
    Relation,
    Snap,
    Spot,
    Way,
    WayStep,
)
from loomfolio.nets.scope import scope_nets

__all__ = [
    "DrawnConductor",
    "Finding",
    "FindingKind",
    "MapRow",
    "Memory",
    "NameClaim",
    "Net",
    "Netlist",
    "Piece",
    "PlacedPin",
    "Relation",
    "Snap",
    "Spot",
    "Way",
    "WayStep",
    "connector_map",
    "derive",
    "findings",
    "follow",
    "scope_nets",
]
