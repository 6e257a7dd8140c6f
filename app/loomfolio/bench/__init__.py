"""For the bench: connector map and splice sheet on paper, as workbook, as CSV and as JSON."""

from loomfolio.bench.cut_list import CutPiece, cut_list
from loomfolio.bench.joints import Joint, JointEnd, joints_of
from loomfolio.bench.lead_colours import LeadLook, lead_look
from loomfolio.bench.leads import BenchLead, bench_leads
from loomfolio.bench.map_files import (
    MAP_SCHEMA,
    MapRecord,
    map_schema_text,
    map_text,
    write_map_csv,
    write_map_json,
    write_map_schema,
    write_map_xlsx,
)
from loomfolio.bench.pack import write_bench_pack
from loomfolio.bench.printed import Paper
from loomfolio.bench.tables import (
    CUT_COLUMNS,
    MAP_COLUMNS,
    SPLICE_COLUMNS,
    CutLine,
    MapLine,
    SpliceLine,
    cut_table,
    map_table,
    splice_table,
)

__all__ = [
    "CUT_COLUMNS",
    "MAP_COLUMNS",
    "MAP_SCHEMA",
    "SPLICE_COLUMNS",
    "BenchLead",
    "CutLine",
    "CutPiece",
    "Joint",
    "JointEnd",
    "LeadLook",
    "MapLine",
    "MapRecord",
    "Paper",
    "SpliceLine",
    "bench_leads",
    "cut_list",
    "cut_table",
    "joints_of",
    "lead_look",
    "map_schema_text",
    "map_table",
    "map_text",
    "splice_table",
    "write_bench_pack",
    "write_map_csv",
    "write_map_json",
    "write_map_schema",
    "write_map_xlsx",
]
