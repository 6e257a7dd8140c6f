"""Folders of old versions open forever. Each version has a folder in `data/`, written when it was new."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from loomfolio.basics import DocumentError, MmPoint
from loomfolio.project import (
    HalfKey,
    Known,
    LeadColour,
    NameMark,
    Photo,
    PinPair,
    Project,
    ProjectFolder,
)
from loomfolio.project.document_file import (
    MIGRATIONS,
    PRESENT_VERSION,
    document_bytes,
    migrated,
    parsed,
    version_of,
)
from support.make_project import make_two_sheets

HERE = Path("van/project.json")


def test_a_folder_of_version_1_opens_with_the_edits_of_its_journal(version_1: Path):
    with ProjectFolder.open(version_1) as folder:
        assert folder.notes == ()
        project = folder.project
        assert folder.sheet_path(project.sheets[0]).read_bytes() == b"hello\n"
    assert project.serial == 24
    assert [sheet.title for sheet in project.sheets] == ["Towing", "Fuse box"]
    assert project.sheets[1].table_at == MmPoint(220.5, 0)
    assert not project.sheets[1].is_read
    assert project.sheets[0].valid_for.year_from == 2019
    module, relay, pair = project.parts
    assert (module.name, relay.name, pair.name) == ("TCU", "K2", "X14")
    assert module.known == Known(how="seen", source="this van", on=dt.date(2026, 3, 1))
    assert module.connectors[0].halves[0].cavities[0].when == "towing"
    assert relay.ways[2].at_rest == "closed"
    assert project.mates[0].pairs == (PinPair(a="3", b="7"),)
    assert project.leads[0].colour == LeadColour(text="grün")
    assert project.leads[0].harness == project.harnesses[0].id
    assert project.groups[0].screen_ends == (HalfKey(part="part-6", half="A").pin("4"),)
    assert [mark.kind for mark in project.marks] == [
        *("name", "lead", "line", "join", "apart", "not_conductor", "name")
    ]
    named = project.marks[-1]
    assert isinstance(named, NameMark)
    assert (named.name, named.at) == ("TAIL “links”", MmPoint(12.7, 99))
    assert project.links[0].label == "A"
    assert [c.detail for c in project.confirmations] == ["3=7", ""]
    assert project.acceptances[0].reason == "drawn on a sheet that we lack"
    assert project.specimens[0].photos == (Photo(file="photos/rear.jpg"),)
    assert project.job.cautions == ("Take the service plug out first.",)


def test_a_folder_of_version_1_that_lost_its_document_opens_from_what_is_beside(version_1: Path):
    before = ProjectFolder.open(version_1, read_only=True).project
    (version_1 / "project.json").unlink()
    assert ProjectFolder.open(version_1, read_only=True).project == before


def test_there_is_a_way_from_every_old_version_to_the_next():
    assert set(MIGRATIONS) == set(range(1, PRESENT_VERSION))


def test_every_old_version_has_a_stored_folder():
    stored = {path.name for path in (Path(__file__).parent / "data").glob("version-*")}
    assert stored == {f"version-{number}" for number in range(1, PRESENT_VERSION + 1)}


def test_migrations_are_applied_one_after_the_other():
    ways = {
        1: lambda data: {**data, "log": [*data["log"], "1 to 2"]},
        2: lambda data: {**data, "log": [*data["log"], "2 to 3"]},
    }
    assert migrated({"log": []}, version=1, to=3, migrations=ways) == {"log": ["1 to 2", "2 to 3"]}
    assert migrated({"log": []}, version=2, to=3, migrations=ways) == {"log": ["2 to 3"]}
    assert migrated({"log": []}, version=3, to=3, migrations=ways) == {"log": []}


def test_the_document_of_a_newer_version_is_refused_in_one_sentence(version_1: Path):
    document = version_1 / "project.json"
    document.write_text(document.read_text().replace("project/1", "project/7"))
    before = {path: path.read_bytes() for path in version_1.iterdir() if path.is_file()}
    with pytest.raises(DocumentError) as caught:
        ProjectFolder.open(version_1)
    assert str(caught.value) == (
        f"{document}: the project was written by a newer version (format 7, this one knows 1);"
        " update loomfolio to open it."
    )
    assert {path: path.read_bytes() for path in version_1.iterdir() if path.is_file()} == before


def test_the_journal_of_a_newer_version_is_refused_and_not_set_aside(version_1: Path):
    """A newer program opened the folder, wrote an edit, and was killed."""
    from loomfolio.project import compare, edits
    from loomfolio.project.journal import line_bytes

    project = ProjectFolder.open(version_1, read_only=True).project
    line = line_bytes(4, "Rename", compare(project, edits.rename_part(project, "part-5", "K3")))
    body = json.loads(line)
    newer = line.replace(b"edit/1", b"edit/2")
    import zlib

    rest = newer.split(b",", 1)[1].removesuffix(b"\n")
    newer = newer.replace(body["check"].encode(), b"%08x" % zlib.crc32(rest))
    with (version_1 / "journal.jsonl").open("ab") as file:
        file.write(newer)
    with pytest.raises(DocumentError, match="written by a newer version"):
        ProjectFolder.open(version_1)
    assert not list(version_1.glob("*damaged*"))


@pytest.mark.parametrize(
    "schema",
    [
        pytest.param(None, id="no schema"),
        pytest.param("loomfolio.conductors/1", id="another file of ours"),
        pytest.param("loomfolio.project/one", id="no number"),
        pytest.param("loomfolio.project/0", id="nought"),
        pytest.param("loomfolio.project/²", id="a digit that is no number"),
        pytest.param(7, id="no text"),
    ],
)
def test_a_foreign_file_is_no_project(schema: object):
    data = {} if schema is None else {"schema": schema}
    with pytest.raises(DocumentError, match=r"the file is no project .* choose a folder"):
        version_of(HERE, data)


def test_what_is_written_carries_the_present_version():
    data = parsed(document_bytes(Project(), saved_edit=0))
    assert version_of(HERE, data) == PRESENT_VERSION
    assert parsed(document_bytes(make_two_sheets().project, saved_edit=5))["saved_edit"] == 5
