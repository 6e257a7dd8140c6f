"""A process that dies at any moment: the folder opens with every edit that was shown.

At most the one edit more that was being written at that moment is there, too, and it is whole.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomfolio.basics import MmPoint
from loomfolio.project import Project, ProjectFolder, edits
from loomfolio.project.journal import read_journal
from support.breaking_disk import BreakingDisk, PowerCutError
from support.make_project import Step, make_two_sheets, runs_of_edits

one_folder_per_example = settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25
)

JOURNAL = "journal.jsonl"


def some_edits(project: Project, count: int) -> list[Project]:
    """The documents that so many joins put beside each other lead to."""
    documents = []
    for number in range(count):
        at = MmPoint(5.0 + 10 * number, 5.0)
        project = edits.put_join(project, sheet=project.sheets[0].id, at=at).project
        documents.append(project)
    return documents


class Work:
    """Commits and checkpoints as a person causes them.

    `shown` is what the screen has shown, `begun` what was being written last.
    """

    def __init__(self, path: Path, disk: BreakingDisk) -> None:
        self.folder = ProjectFolder.open(path, disk=disk)
        self.lock = self.folder._lock
        self.shown = self.begun = self.folder.project

    def do(self, documents: list[Project]) -> None:
        for document in documents:
            self.begun = document
            self.folder.commit("Join", document)
            self.shown = document

    def until_it_dies(self, documents: list[Project]) -> None:
        with pytest.raises(PowerCutError):
            self.whole(documents)
        self.lock.release()  # as the system does when a process ends

    def whole(self, documents: list[Project]) -> None:
        """Edits, a save, more edits, another save, more edits, the end."""
        self.do(documents[:2])
        self.folder.checkpoint()
        self.do(documents[2:4])
        self.folder.checkpoint()
        self.do(documents[4:])
        self.folder.close()


def number_of_steps(fresh_path: Callable[[], Path]) -> int:
    counting, path, start = BreakingDisk(), fresh_path(), make_two_sheets().project
    ProjectFolder.create(path, start).close()
    Work(path, counting).whole(some_edits(start, 5))
    return counting.steps_done


def test_a_process_that_dies_between_any_two_steps_loses_nothing_that_was_shown(
    fresh_path: Callable[[], Path], copy_of: Callable[[Path], Path]
):
    start = make_two_sheets().project
    documents = some_edits(start, 5)
    steps = number_of_steps(fresh_path)
    assert steps > 25
    for step in range(steps):
        path = fresh_path()
        ProjectFolder.create(path, start).close()
        work = Work(path, BreakingDisk(step))
        work.until_it_dies(documents)
        found = copy_of(path)
        with ProjectFolder.open(found) as again:
            assert again.project in (work.shown, work.begun), f"after step {step}"
            assert again.notes == ()
            assert not again.is_read_only
            again.commit("Go on", some_edits(again.project, 9)[-1])
            went_on = again.project
        with ProjectFolder.open(found) as once_more:
            assert once_more.project == went_on, f"after step {step}"


def test_a_lost_document_is_found_again_after_a_death_between_any_two_steps(
    fresh_path: Callable[[], Path], copy_of: Callable[[Path], Path]
):
    """The generation before and both journals hold everything, from the first save on."""
    start = make_two_sheets().project
    documents = some_edits(start, 5)
    checked = 0
    for step in range(number_of_steps(fresh_path)):
        path = fresh_path()
        ProjectFolder.create(path, start).close()
        work = Work(path, BreakingDisk(step))
        work.until_it_dies(documents)
        if not (path / "project.json.before").exists():
            continue
        found = copy_of(path)
        (found / "project.json").unlink()
        with ProjectFolder.open(found) as again:
            assert again.project in (work.shown, work.begun), f"after step {step}"
            assert len(again.notes) == 1
        checked += 1
    assert checked > 15


def test_mending_that_dies_between_any_two_steps_can_be_done_again(
    fresh_path: Callable[[], Path], copy_of: Callable[[Path], Path]
):
    start = make_two_sheets().project
    damaged = fresh_path()
    ProjectFolder.create(damaged, start).close()
    work = Work(damaged, BreakingDisk(14))
    work.until_it_dies(some_edits(start, 5))
    (damaged / "project.json").write_bytes(b'{"schema": "loomf')
    counting = BreakingDisk()
    ProjectFolder.open(copy_of(damaged), disk=counting).close()
    assert counting.steps_done > 5
    for step in range(counting.steps_done):
        path = copy_of(damaged)
        with pytest.raises(PowerCutError):
            ProjectFolder.open(path, disk=BreakingDisk(step))
        with ProjectFolder.open(copy_of(path)) as again:
            assert again.project in (work.shown, work.begun), f"after step {step}"


def test_making_a_folder_that_dies_leaves_none(fresh_path: Callable[[], Path]):
    for step in range(3):
        path = fresh_path()
        with pytest.raises(PowerCutError):
            ProjectFolder.create(path, Project(), disk=BreakingDisk(step))
        assert not (path / "project.json").exists() or step == 2
        assert [p.name for p in path.parent.iterdir() if p.name.startswith(".")] == []


def make_journalled(path: Path, steps: list[Step], start: Project | None = None) -> bytes:
    """Make a folder whose edits are all in the journal still, and return the journal."""
    folder = ProjectFolder.create(path, start or make_two_sheets().project)
    for step in steps:
        folder.commit(step.title, step.project)
    folder._lock.release()  # as the system does when a process ends
    journal = path / JOURNAL
    return journal.read_bytes() if journal.exists() else b""


def test_a_journal_cut_at_every_byte_opens_with_the_edits_whose_lines_are_whole(
    fresh_path: Callable[[], Path],
):
    """What `test_journal.py` finds for any journal, here on disk for one."""
    start, part = edits.add_part(Project(), name="K1")
    named = edits.rename_part(start, part, "K 1 “ÄÖ”")
    documents = [start, named, edits.remove_part(named, part), named]
    path = fresh_path()
    steps = [Step("Edit", document) for document in documents[1:]]
    journal = make_journalled(path, steps, start=start)
    for cut in range(len(journal) + 1):
        (path / JOURNAL).write_bytes(journal[:cut])
        folder = ProjectFolder.open(path, read_only=True)
        assert folder.project == documents[journal[:cut].count(b"\n")]
        assert folder.notes == ()


@given(steps=runs_of_edits(min_size=3, max_size=6), data=st.data())
@one_folder_per_example
def test_damage_anywhere_in_the_journal_keeps_the_edits_before_it_and_the_rest_beside(
    steps: list[Step], data: st.DataObject, fresh_path: Callable[[], Path]
):
    path = fresh_path()
    journal = make_journalled(path, steps)
    if not journal:
        return
    at = data.draw(st.integers(0, len(journal) - 1))
    other = data.draw(st.integers(0, 255).filter(lambda byte: byte != journal[at]))
    damaged = journal[:at] + bytes([other]) + journal[at + 1 :]
    (path / JOURNAL).write_bytes(damaged)
    whole = journal[:at].count(b"\n")
    documents = [make_two_sheets().project, *(step.project for step in steps)]
    folder = ProjectFolder.open(path)
    assert folder.project == documents[whole]
    kept = b"".join(line.told.title.encode() for line in read_journal(damaged).lines)
    assert kept == b"".join(step.title.encode() for step in steps[:whole])
    rest = damaged[sum(len(line) for line in journal.splitlines(keepends=True)[:whole]) :]
    aside = folder.path / "journal.damaged-1.jsonl"
    if b"\n" in rest:
        assert aside.read_bytes() == rest
        assert folder.notes == (
            (
                f"The journal is damaged behind edit {whole}; the edits up to there are here, "
                "the rest was set aside in journal.damaged-1.jsonl."
            ),
        )
    else:
        assert not aside.exists()
    folder.close()


KILLED = """
import os, sys
from pathlib import Path
from loomfolio.basics import MmPoint
from loomfolio.project import Session, edits
session = Session.open(Path(sys.argv[1]))
sheet = session.project.sheets[0].id
number = 0
while True:
    number += 1
    made = edits.put_name(session.project, sheet=sheet, at=MmPoint(number, 1), name=f"N{number}")
    session.do("Name", made.project)
    print(f"N{number}", flush=True)
    if number % 7 == 0:
        session.save()
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill outright")
def test_a_killed_program_loses_no_edit_and_leaves_no_lock(fresh_path: Callable[[], Path]):
    path = fresh_path()
    ProjectFolder.create(path, make_two_sheets().project).close()
    with subprocess.Popen(
        [sys.executable, "-c", KILLED, str(path)],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        text=True,
    ) as program:
        assert program.stdout is not None
        shown = [program.stdout.readline().strip() for _ in range(40)]
        program.send_signal(signal.SIGKILL)
        shown += program.stdout.read().split()
    with ProjectFolder.open(path) as folder:
        assert not folder.is_read_only
        assert folder.notes == ()
        names = {getattr(mark, "name", "") for mark in folder.project.marks}
    assert set(shown) <= names
    assert len(names - set(shown) - {"", "BRAKE"}) <= 1  # one may be written and not yet shown
