"""The hand-over: the vehicle as built in one PDF with bookmarks, and what changed against the original.

It says what was done and how it came out, what was measured, what is only inferred, and what to mind. Photos
of joints are printed small; their originals lie in the packed project.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import cv2

from loomfolio.bench.annotated import together
from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.map_wall import wall_sheet
from loomfolio.bench.output_files import make_folder, write_files
from loomfolio.bench.plan_words import PlanWords
from loomfolio.bench.proof import judge, last_reading
from loomfolio.bench.step_sheet import PrintedItem, printed_items
from loomfolio.bench.typesetting import typeset
from loomfolio.bench.work_files import BenchJob, annotated_sheets, as_built_map
from loomfolio.bench.work_pack import PROOF_ONLY, SPLICE_ONLY, work_pack
from loomfolio.bench.work_tables import plan_lines
from loomfolio.project import Doing, Photo
from loomfolio.sheets import load_page

LONGEST_PHOTO_PX = 1100
JPEG_QUALITY = 80


@dataclass(frozen=True, slots=True)
class PrintedPhotoMark:
    """Something pointed out in a photo, as shares of its width and height."""

    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class PrintedPhoto:
    """A photo of what was done: the file beside the template, what it shows, and what is pointed out in it."""

    file: str
    of: str
    caption: str
    marks: tuple[PrintedPhotoMark, ...]


@dataclass(frozen=True, slots=True)
class PrintedChange:
    """One change against the original vehicle: what was missing, and how it was closed."""

    what: str
    how: str
    is_done: bool


@dataclass(frozen=True, slots=True)
class PrintedDeviation:
    """What was done otherwise than planned."""

    of: str
    words: str
    note: str


@dataclass(frozen=True, slots=True)
class HandOver:
    """What the first part of the hand-over prints."""

    frame: Frame
    summary: tuple[tuple[str, str], ...]
    changes: tuple[PrintedChange, ...]
    deviations: tuple[PrintedDeviation, ...]
    items: tuple[PrintedItem, ...]
    photos: tuple[PrintedPhoto, ...]
    inferred: tuple[str, ...]
    signatures: tuple[tuple[str, str], ...]
    failed: tuple[str, ...]


def hand_over_pdf(
    bench: BenchJob, photos: Mapping[str, Path], *, paper: Paper = "a4", today: date
) -> bytes:
    """Return the hand-over as one searchable PDF with a bookmark for each part.

    Parameters
    ----------
    photos
        Where the photos of the document lie, by their file name in it; one that is missing is left out.
    """
    words = bench.words()
    pictures = {name: _small(path) for name, path in photos.items() if path.is_file()}
    files = {f"photo-{number}.jpg": data for number, data in enumerate(pictures.values(), 1)}
    file_of = dict(zip(pictures, files, strict=True))
    first = _hand_over(bench, words, file_of, paper, today)
    proof = bench.proof
    parts = [
        ("What was done", typeset("hand_over.typ", first, today=today, files=files)),
        (
            "Joints and leads",
            typeset(
                "bench_pack.typ",
                work_pack(
                    words,
                    proof,
                    title="Joints and leads",
                    sections=SPLICE_ONLY,
                    paper=paper,
                    today=today,
                ),
                today=today,
            ),
        ),
        (
            "Test record",
            typeset(
                "bench_pack.typ",
                work_pack(
                    words, proof, title="Test record", sections=PROOF_ONLY, paper=paper, today=today
                ),
                today=today,
            ),
        ),
        ("Connector map", as_built_map(bench, paper=paper, today=today)),
        ("Picture of the map", _wall(bench, today)),
        ("Annotated sheets", annotated_sheets(bench, today=today)),
    ]
    return together(parts, title=f"Hand-over, {bench.project.job.title}")


def _wall(bench: BenchJob, today: date) -> bytes:
    sheet = wall_sheet(
        bench.project, bench.own_leads, new_ends=frozenset(bench.new_numbers), today=today
    )
    return typeset("map_picture.typ", sheet, today=today)


def _small(path: Path) -> bytes:
    """Return a photo as JPEG, no larger than is printed."""
    pixels = load_page(path).pixels
    share = min(1.0, LONGEST_PHOTO_PX / max(pixels.shape[:2]))
    if share < 1.0:
        size = (round(pixels.shape[1] * share), round(pixels.shape[0] * share))
        pixels = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA).astype(pixels.dtype)
    bgr = pixels if pixels.ndim == 2 else cv2.cvtColor(pixels, cv2.COLOR_RGB2BGR)
    _, data = cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    return data.tobytes()


def _hand_over(
    bench: BenchJob, words: PlanWords, file_of: Mapping[str, str], paper: Paper, today: date
) -> HandOver:
    inferred = tuple(_inferred(bench))
    note = f"{len(inferred)} things are only inferred." if inferred else "Nothing is only inferred."
    subject = Subject("Hand-over", (), note, has_hollow=False)
    return HandOver(
        frame=frame_of(bench.project, subject, plan_lines(words), paper=paper, today=today),
        summary=_summary(bench, words),
        changes=tuple(_changes(bench, words)),
        deviations=tuple(_deviations(bench, words)),
        items=printed_items(words),
        photos=tuple(_photos(bench, words, file_of)),
        inferred=inferred,
        signatures=tuple(_signatures(bench, words)),
        failed=tuple(_failed(bench)),
    )


def _summary(bench: BenchJob, words: PlanWords) -> tuple[tuple[str, str], ...]:
    project = bench.project
    names = (
        *(doing.by for doing in project.doings if doing.is_done),
        *(reading.by for reading in project.meter_readings),
        *(signature.by for signature in project.signatures),
    )
    people = sorted({name for name in names if name})
    made = sum(words.is_done(lead.key) for lead in words.plan.leads)
    joints = sum(words.is_done(joint.key) for joint in words.plan.joints)
    outcomes = [_outcome_of(bench, key) for key in {r.test for r in project.meter_readings}]
    return (
        ("Leads made", f"{made} of {len(words.plan.leads)}"),
        ("Joints made", f"{joints} of {len(words.plan.joints)}"),
        (
            "Tests",
            f"{outcomes.count('pass')} of {len(bench.proof.tests)} passed, {outcomes.count('fail')} failed",
        ),
        ("Worked on by", ", ".join(people)),
    )


def _outcome_of(bench: BenchJob, key: str) -> str:
    test = next((test for test in bench.proof.tests if test.key == key), None)
    reading = None if test is None else last_reading(test, bench.project.meter_readings)
    return "" if test is None or reading is None else judge(test, reading).outcome


def _changes(bench: BenchJob, words: PlanWords) -> Iterable[PrintedChange]:
    titles = {
        gap: operation.offer.title
        for operation in words.plan.operations
        if operation.offer is not None
        for gap in (operation.gap, *operation.offer.closes)
    }
    for gap in bench.job.gaps:
        if not gap.in_scope:
            continue
        closed = gap.closed_by
        how = (
            f"{closed.by}: {closed.reason}"
            if closed is not None
            else titles.get(gap.key, "still open")
        )
        yield PrintedChange(gap.sentence, how, closed is not None)


def _subject_words(words: PlanWords, subject: str) -> str:
    numbers = words.lead_numbers | words.joint_numbers
    if subject in numbers:
        return numbers[subject]
    titles = {step.key: step.title for step in words.plan.steps}
    titles |= {part.key: part.what for part in words.plan.parts}
    return titles.get(subject, "no longer in the plan")


def _deviations(bench: BenchJob, words: PlanWords) -> Iterable[PrintedDeviation]:
    for doing in bench.project.doings:
        for one in doing.deviations:
            instead = f" instead of {one.planned}" if one.planned else ""
            said = f"{one.what}: {one.done}{instead}"
            yield PrintedDeviation(_subject_words(words, doing.subject), said, doing.note)


def _photos(
    bench: BenchJob, words: PlanWords, file_of: Mapping[str, str]
) -> Iterable[PrintedPhoto]:
    for doing in bench.project.doings:
        yield from _photos_of(doing, _subject_words(words, doing.subject), file_of)


def _photos_of(doing: Doing, of: str, file_of: Mapping[str, str]) -> Iterable[PrintedPhoto]:
    for photo in doing.photos:
        if photo.file in file_of:
            yield PrintedPhoto(file_of[photo.file], of, photo.caption, _marks(photo))


def _marks(photo: Photo) -> tuple[PrintedPhotoMark, ...]:
    return tuple(PrintedPhotoMark(mark.at.x, mark.at.y, mark.text) for mark in photo.marks)


def _signatures(bench: BenchJob, words: PlanWords) -> Iterable[tuple[str, str]]:
    holds = {step.hold.key: step.hold.title for step in words.plan.steps if step.hold is not None}
    for one in bench.project.signatures:
        said = ", ".join(
            text for text in (one.by, one.on.isoformat() if one.on else "", one.read) if text
        )
        yield holds.get(one.hold, "no longer in the plan"), said


def _failed(bench: BenchJob) -> Iterable[str]:
    for test in bench.proof.tests:
        reading = last_reading(test, bench.project.meter_readings)
        if reading is None:
            continue
        verdict = judge(test, reading)
        if verdict.outcome != "pass":
            yield f"{test.title}: {verdict.outcome}. {verdict.sentence}"


def _inferred(bench: BenchJob) -> Iterable[str]:
    """What the as-built map rests on that nobody has confirmed, lead by lead."""
    for lead in bench.own_leads:
        if lead.open_sentences:
            more = len(lead.open_sentences) - 1
            rest = f" (and {more} more)" if more else ""
            yield f"Lead {lead.number}: {lead.open_sentences[0]}{rest}"


def document_photos(bench: BenchJob, folder: Path) -> dict[str, Path]:
    """Return where the photos of what was done lie in a project's folder, by their name in the document."""
    photos: Sequence[Photo] = [photo for doing in bench.project.doings for photo in doing.photos]
    return {photo.file: folder / photo.file for photo in photos}


def write_hand_over(pdf: bytes, out_dir: Path) -> Path:
    """Write the hand-over into a folder, which is made where it is missing, and return its file."""
    make_folder(out_dir)
    path = out_dir / "hand_over.pdf"
    write_files({path: pdf})
    return path
