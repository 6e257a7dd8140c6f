"""The view menu: stage, ledger, theme, text size and the table's view, without touching the job."""

import pytest

from loomfolio.desk.looking import Looking
from loomfolio.desk.settings import Settings
from loomfolio.desk.stages import STAGES


class Table:
    """What is asked of the table."""

    def __init__(self):
        self.asked = []

    def fit_all(self):
        self.asked.append("fit")

    def zoom_by(self, factor):
        self.asked.append(factor)

    def set_moves_animated(self, is_animated):
        self.asked.append(is_animated)


@pytest.fixture
def table():
    return Table()


@pytest.fixture
def themes():
    return []


@pytest.fixture
def stages():
    return []


@pytest.fixture
def looking(qapp, tmp_path, table, themes, stages):
    return Looking(Settings(tmp_path / "s.ini"), table, themes.append, stages.append)


def test_a_theme_that_was_chosen_is_shown_and_kept(looking, themes):
    looking.choose_theme("dark")
    assert themes[-1].is_dark
    assert looking.theme.is_dark
    looking.switch_theme()
    assert not themes[-1].is_dark


def test_the_dark_paper_is_the_papers_alone(looking, themes):
    looking.choose_theme("light")
    looking.invert_paper()
    assert themes[-1].paper_colours.name == "dark"
    assert themes[-1].colours.name == "light"
    looking.invert_paper()
    assert themes[-1].paper_colours.name == "light"


def test_text_grows_in_steps_and_comes_back(looking, themes):
    looking.larger_text()
    looking.larger_text()
    assert themes[-1].scale == pytest.approx(1.2)
    looking.smaller_text()
    assert themes[-1].scale == pytest.approx(1.1)
    looking.usual_text()
    assert themes[-1].scale == 1.0
    looking.smaller_text()
    assert themes[-1].scale == 1.0


def test_zooming_in_and_out_is_one_step_each(looking, table):
    looking.zoom_in()
    looking.zoom_out()
    looking.fit_all()
    assert table.asked[0] * table.asked[1] == pytest.approx(1.0)
    assert table.asked[2] == "fit"


def test_the_table_glides_or_jumps(looking, table):
    looking.switch_moves()
    looking.switch_moves()
    assert table.asked == [False, True]


def test_a_stage_chosen_again_closes_and_the_key_opens_it_again(looking, stages):
    looking.choose_stage("pins")
    looking.choose_stage("pins")
    looking.switch_ledger()
    assert stages == ["pins", None, "pins"]
    assert looking.stage == "pins"


def test_a_stage_reached_by_key_stays_open(looking, stages):
    looking.open_stage("names")
    looking.open_stage("names")
    assert stages == ["names", "names"]


def test_stages_are_walked_round(looking, stages):
    for _ in STAGES:
        looking.next_stage()
    assert sorted(stages) == sorted(stage.id for stage in STAGES)


def test_the_ledger_closes_by_the_same_key(looking, stages):
    looking.open_stage("names")
    looking.switch_ledger()
    assert stages[-1] is None
