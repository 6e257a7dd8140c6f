"""Which letters wire colours are written in (IEC 60757 and the sets of common practice, assets/wire_colours.csv)."""

from loomfolio.reading import colour_sets, fitting_set


def test_the_letters_of_iec_60757_are_there():
    """IEC 60757: BK BN RD OG YE GN BU VT GY WH PK TQ."""
    wanted = {"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ"}

    assert wanted <= colour_sets()["IEC 60757"]


def test_letters_that_one_set_alone_knows_tell_the_set():
    own = colour_sets()
    letters = sorted(own["IEC 60757"])

    assert fitting_set(letters) == "IEC 60757"


def test_letters_of_several_sets_tell_nothing():
    shared = [
        code
        for code in colour_sets()["IEC 60757"]
        if sum(code in codes for codes in colour_sets().values()) > 1
    ]
    if shared:
        assert fitting_set(shared[:1]) == ""


def test_nothing_read_tells_nothing():
    assert fitting_set([]) == ""


def test_letters_of_no_set_tell_nothing():
    assert fitting_set(["QX", "ZZ"]) == ""
