"""The cut list of a job whose gaps are known: what the vehicle has already is never cut again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pypdf import PdfReader

from loomfolio.basics import demo_projects_path
from loomfolio.bench import write_bench_pack
from loomfolio.bench.cut_list import CutPiece, joints_for_gaps, pieces_for_gaps
from loomfolio.bench.joints import Joint, JointEnd
from loomfolio.nets import connector_map, derive
from loomfolio.project import PinKey, ProjectFolder
from loomfolio.reading import readings_of
from loomfolio.retrofit import Closing, Gap, Mend, job_gaps

A, B, C, D = (PinKey(part=f"part-{n}", pin="1") for n in (1, 2, 3, 4))
TRACTOR = demo_projects_path() / "orchard_tractor_dc_inlet"


def _piece(a: PinKey, b: PinKey | None) -> CutPiece:
    return CutPiece((1,), a, b, "" if b else "S1", "", None, None, None)


def _gap(a: PinKey, b: PinKey, closed_by: Closing | None = None) -> Gap:
    return Gap(
        "lead missing", "lead", "A lead is missing", (a, b), None, None, (), "sure", (),
        Mend(joined=((a, b),)), closed_by=closed_by,
    )  # fmt: skip


def test_only_a_lead_that_the_vehicle_lacks_is_cut() -> None:
    pieces = [_piece(A, B), _piece(B, C), _piece(A, None), _piece(C, None)]
    assert pieces_for_gaps(pieces, [_gap(B, A)]) == (pieces[0], pieces[2])


def test_a_closed_gap_asks_for_no_lead() -> None:
    closing = Closing(by="reason", reason="the owner wants no camera")
    assert pieces_for_gaps([_piece(A, B)], [_gap(A, B, closing)]) == ()


def _joint(*pins: PinKey) -> Joint:
    ends = tuple(
        JointEnd(pin=pin, leads=(1,), colour=None, area_mm2=None, is_released=True, is_seen=False)
        for pin in pins
    )
    return Joint(
        kind="drawn branch", name="Branch", net="", sheets=(), ends=ends, open_sentences=()
    )


def test_a_joint_at_which_nothing_is_missing_is_not_made_again() -> None:
    new, there = _joint(A, C), _joint(C, D)
    assert joints_for_gaps([new, there], [_gap(A, B)]) == (new,)
    assert joints_for_gaps([new, there], []) == ()


def test_no_traction_lead_of_the_tractor_is_on_its_cut_list(tmp_path: Path) -> None:
    with ProjectFolder.open(TRACTOR, read_only=True) as folder:
        readings = readings_of(folder, folder.project)
        netlist = derive(folder.project, readings)
        gaps = job_gaps(folder.project, readings).gaps
        rows = connector_map(netlist)
        write_bench_pack(
            netlist.project, netlist, rows, tmp_path, gaps=gaps, today=date(2026, 11, 25)
        )
    text = "\n".join(page.extract_text() for page in PdfReader(tmp_path / "splice_sheet.pdf").pages)
    cut = text[text.index("Cut list") : text.index("Not released:")]
    assert "X95 CP" in cut or "X95CP" in cut.replace(" ", "")
    assert "F80" not in cut
    assert "G2" not in cut


def test_without_fits_the_sheet_says_that_leads_may_be_there_already(tmp_path: Path) -> None:
    with ProjectFolder.open(TRACTOR, read_only=True) as folder:
        netlist = derive(folder.project, readings_of(folder, folder.project))
        write_bench_pack(
            netlist.project, netlist, connector_map(netlist), tmp_path, today=date(2026, 11, 25)
        )
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "splice_sheet.pdf").pages)
    assert "is not known" in " ".join(text.split())
