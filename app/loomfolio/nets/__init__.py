"""Reading + marks -> nets on a sheet -> nets over all sheets -> connector map; follow a pin; release."""

from loomfolio.nets.connector_map import connector_map
from loomfolio.nets.finding_records import CheckRecord, findings_record
from loomfolio.nets.findings import findings
from loomfolio.nets.follow import follow
from loomfolio.nets.kept_rows import row_order
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
from loomfolio.nets.sheet_memory import SheetMemory
from loomfolio.nets.visibility import Undetermined, conditional_records, leaves_open
from loomfolio.nets.way_records import FollowRecord, follow_record, way_text

__all__ = [
    "CheckRecord",
    "DrawnConductor",
    "Finding",
    "FindingKind",
    "FollowRecord",
    "MapRow",
    "Memory",
    "NameClaim",
    "Net",
    "Netlist",
    "Piece",
    "PlacedPin",
    "Relation",
    "SheetMemory",
    "Snap",
    "Spot",
    "Undetermined",
    "Way",
    "WayStep",
    "conditional_records",
    "connector_map",
    "derive",
    "findings",
    "findings_record",
    "follow",
    "follow_record",
    "leaves_open",
    "row_order",
    "scope_nets",
    "way_text",
]
