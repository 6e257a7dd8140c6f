"""For the bench: connector map, splice sheet, gap sheet and estimate on paper; lists as XLSX, CSV, JSON."""

from loomfolio.bench.cut_list import CutPiece, cut_list
from loomfolio.bench.estimate_page import write_estimate_page
from loomfolio.bench.frame import Paper
from loomfolio.bench.gap_files import (
    GAPS_SCHEMA,
    GapsRecord,
    gaps_json,
    gaps_schema_text,
    gaps_text,
    write_gaps_csv,
    write_gaps_json,
    write_gaps_schema,
    write_gaps_xlsx,
)
from loomfolio.bench.gap_sheet import write_gap_sheet
from loomfolio.bench.gap_table import GAP_COLUMNS, BenchGap, GapLine, bench_gaps, gap_table
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
    "GAPS_SCHEMA",
    "GAP_COLUMNS",
    "MAP_COLUMNS",
    "MAP_SCHEMA",
    "SPLICE_COLUMNS",
    "BenchGap",
    "BenchLead",
    "CutLine",
    "CutPiece",
    "GapLine",
    "GapsRecord",
    "Joint",
    "JointEnd",
    "LeadLook",
    "MapLine",
    "MapRecord",
    "Paper",
    "SpliceLine",
    "bench_gaps",
    "bench_leads",
    "cut_list",
    "cut_table",
    "gap_table",
    "gaps_json",
    "gaps_schema_text",
    "gaps_text",
    "joints_of",
    "lead_look",
    "map_schema_text",
    "map_table",
    "map_text",
    "splice_table",
    "write_bench_pack",
    "write_estimate_page",
    "write_gap_sheet",
    "write_gaps_csv",
    "write_gaps_json",
    "write_gaps_schema",
    "write_gaps_xlsx",
    "write_map_csv",
    "write_map_json",
    "write_map_schema",
    "write_map_xlsx",
]
