"""What proves the work: a plan of tests, the judging of readings, and the way to a fault."""

from loomfolio.bench.proof.building import Points
from loomfolio.bench.proof.facts import job_proof, work_facts
from loomfolio.bench.proof.fault_finding import (
    failed_test_search,
    fuse_blows_search,
    loop_open_search,
    no_communication_search,
    stays_live_search,
    way_search,
)
from loomfolio.bench.proof.half_split import Check, Search, Suspect
from loomfolio.bench.proof.judging import judge, last_reading, limit_text
from loomfolio.bench.proof.loops import Loop, loops_of
from loomfolio.bench.proof.metal import Metal, MetalNet, MetalPiece
from loomfolio.bench.proof.plan import WorkFacts, proof_metal, proof_plan
from loomfolio.bench.proof.proof_table import (
    PROOF_COLUMNS,
    PROOF_SCHEMA,
    ProofLine,
    ProofRecord,
    proof_json,
    proof_schema_text,
    proof_table,
    proof_text,
    write_proof_csv,
    write_proof_schema,
    write_proof_xlsx,
)
from loomfolio.bench.proof.records import (
    STAGES,
    Conditions,
    Limit,
    Outcome,
    Probe,
    ProofPlan,
    ProofTest,
    Stage,
    Verdict,
)

__all__ = [
    "PROOF_COLUMNS",
    "PROOF_SCHEMA",
    "STAGES",
    "Check",
    "Conditions",
    "Limit",
    "Loop",
    "Metal",
    "MetalNet",
    "MetalPiece",
    "Outcome",
    "Points",
    "Probe",
    "ProofLine",
    "ProofPlan",
    "ProofRecord",
    "ProofTest",
    "Search",
    "Stage",
    "Suspect",
    "Verdict",
    "WorkFacts",
    "failed_test_search",
    "fuse_blows_search",
    "job_proof",
    "judge",
    "last_reading",
    "limit_text",
    "loop_open_search",
    "loops_of",
    "no_communication_search",
    "proof_json",
    "proof_metal",
    "proof_plan",
    "proof_schema_text",
    "proof_table",
    "proof_text",
    "stays_live_search",
    "way_search",
    "work_facts",
    "write_proof_csv",
    "write_proof_schema",
    "write_proof_xlsx",
]
