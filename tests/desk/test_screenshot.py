"""The picture of the real window, as the front page of the project shows it."""

import pytest
from PIL import Image

from loomfolio.desk.screenshot import HEIGHT_PX, WIDTH_PX, main
from support.make_desk import open_session


@pytest.fixture
def project(tmp_path, drawn_readings):
    open_session(tmp_path / "job").close()
    return tmp_path / "job"


@pytest.fixture(autouse=True)
def own_environment(monkeypatch):
    monkeypatch.setenv("QT_SCALE_FACTOR", "1")


def test_the_picture_is_of_the_stated_size_and_shows_much(qapp, project, tmp_path):
    out = tmp_path / "desk.png"
    assert main([str(out), str(project)]) == 0
    picture = Image.open(out).convert("RGB")
    assert picture.size == (WIDTH_PX, HEIGHT_PX)
    assert len(picture.getcolors(maxcolors=1 << 24)) > 100


def test_the_dark_one_is_dark(qapp, project, tmp_path):
    out = tmp_path / "dark.png"
    assert main([str(out), str(project), "--dark", "--follow", "TCU C1:2"]) == 0
    assert Image.open(out).convert("L").getpixel((5, 5)) < 80


def test_the_project_itself_is_left_alone(qapp, project, tmp_path):
    before = sorted(path.name for path in project.rglob("*"))
    main([str(tmp_path / "desk.png"), str(project)])
    assert sorted(path.name for path in project.rglob("*")) == before


@pytest.mark.parametrize(
    ("arguments", "what"),
    [(["--follow", "TCU C9:99"], "There is no pin"), ([], "cannot be written")],
    ids=["unknown pin", "unwritable place"],
)
def test_what_cannot_be_drawn_is_said_in_one_sentence(
    qapp, project, tmp_path, capsys, arguments, what
):
    out = tmp_path / "gone" / "desk.png" if not arguments else tmp_path / "desk.png"
    assert main([str(out), str(project), *arguments]) == 2
    told = capsys.readouterr().err
    assert what in told
    assert told.count("\n") == 1
