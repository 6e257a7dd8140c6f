"""What was dropped or named at the start, sorted by what it is."""

import pytest

from loomfolio.basics import FileUnreadableError
from loomfolio.desk.arrivals import free_folder, sorted_out
from support.make_desk import open_session


def test_projects_packed_ones_and_sheets_are_told_apart(tmp_path):
    open_session(tmp_path / "job").close()
    packed, page = tmp_path / "job.ZIP", tmp_path / "page.pdf"
    packed.touch()
    page.touch()
    found = sorted_out([tmp_path / "job", packed, page])
    assert found.projects == (tmp_path / "job",)
    assert found.packed == (packed,)
    assert found.sheets == (page,)


def test_the_file_of_a_project_stands_for_its_folder(tmp_path):
    open_session(tmp_path / "job").close()
    assert sorted_out([tmp_path / "job" / "project.json"]).projects == (tmp_path / "job",)


def test_nothing_is_nothing():
    found = sorted_out([])
    assert found.projects == found.packed == found.sheets == ()


def test_a_folder_that_is_no_project_is_said_so(tmp_path):
    with pytest.raises(
        FileUnreadableError, match=r"no project; open one that holds a project\.json"
    ):
        sorted_out([tmp_path])


def test_a_file_that_is_not_there_is_said_so(tmp_path):
    with pytest.raises(FileUnreadableError, match="there is no such file"):
        sorted_out([tmp_path / "missing.png"])


def test_a_free_folder_is_counted_up(tmp_path):
    assert free_folder(tmp_path, "Job") == tmp_path / "Job"
    (tmp_path / "Job").mkdir()
    (tmp_path / "Job 2").mkdir()
    assert free_folder(tmp_path, "Job") == tmp_path / "Job 3"


@pytest.mark.parametrize(
    ("name", "folder"),
    [("a/b:c?", "a b c"), ("...", "Project"), ("", "Project"), ("tow\x00bar", "tow bar")],
)
def test_a_folder_is_named_so_that_every_system_takes_it(tmp_path, name, folder):
    assert free_folder(tmp_path, name).name == folder
