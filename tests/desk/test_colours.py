"""The contrasts that the look promises, computed anew from the table of colours.

The figures stand in the project's table of the look; the formula is WCAG 2.2, success criterion
1.4.3 (https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio).
"""

import pytest

from loomfolio.desk.colours import ROLES, colours, contrast

# role: (light on panel, light on table, dark on panel, dark on table); from the table of the look
PROMISED = {
    "text": (15.4, 12.9, 13.6, 15.4),
    "second text": (7.2, 6.0, 7.3, 8.3),
    "hairline": (3.0, 3.0, 3.4, 3.9),
    "followed": (5.6, 4.7, 7.2, 8.2),
    "doubt": (4.5, 4.5, 7.6, 8.7),
    "confirmed": (5.4, 4.5, 7.4, 8.4),
    "gap": (6.2, 5.2, 6.4, 7.3),
    "stop": (6.0, 5.0, 6.9, 7.9),
}
GROUNDS = (("light", "panel"), ("light", "table"), ("dark", "panel"), ("dark", "table"))


@pytest.mark.parametrize("role", PROMISED)
@pytest.mark.parametrize("ground", range(4), ids=[" ".join(g) for g in GROUNDS])
def test_a_role_is_at_least_as_clear_as_promised(role, ground):
    name, under = GROUNDS[ground]
    ratio = contrast(colours(name).of(role), colours(name).of(under))
    assert round(ratio, 1) >= PROMISED[role][ground]


@pytest.mark.parametrize("name", ["light", "dark"])
def test_words_on_the_caution_bar_are_clear(name):
    shown = colours(name)
    assert round(contrast(shown.of("caution text"), shown.of("caution")), 1) >= 11.8


@pytest.mark.parametrize("role", ["followed", "doubt", "confirmed", "gap", "stop", "text"])
def test_the_light_set_can_be_read_on_the_light_paper(role):
    assert contrast(colours("light").of(role), colours("light").of("paper")) >= 4.5


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000000", "#FFFFFF", 21.0), ("#777777", "#FFFFFF", 4.48), ("#1A1E22", "#1A1E22", 1.0)],
    ids=["black on white", "the grey that just fails on white", "itself"],
)
def test_contrast_of_known_pairs(one, other, ratio):
    # 4.48 for #777 on white is the well-known example from the WCAG understanding documents.
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


def test_both_sets_have_every_role_as_a_full_colour():
    for name in ("light", "dark"):
        for role in ROLES:
            assert len(colours(name).of(role)) == 7
            assert int(colours(name).of(role)[1:], 16) >= 0


def test_mixing_goes_from_the_ground_to_the_ink():
    light = colours("light")
    assert light.mixed("panel", "text", 0.0) == light.of("panel")
    assert light.mixed("panel", "text", 1.0) == light.of("text")
