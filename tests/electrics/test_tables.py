"""Tables become records that know their source; a spoilt cell is named with its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from loomfolio.basics import FileUnreadableError, NameNotFoundError, asset_path
from loomfolio.electrics import find_conductor, find_fuse, read_tables, series


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the tables that a test may spoil."""
    return Path(shutil.copytree(asset_path("tables"), tmp_path / "tables"))


def spoil(folder: Path, table: str, old: str, new: str) -> None:
    path = folder / table
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_each_conductor_carries_its_row_and_status(tables):
    thin = find_conductor(series(tables, "vehicle"), "0.35")
    flexible = find_conductor(series(tables, "flexible"), "2.5")

    assert (thin.source.status, flexible.source.status) == ("memory", "verified")
    assert flexible.source.row == "conductors_mm2.csv, IEC 60228 copper plain 5 (flexible) 2.5"


def test_the_metal_of_a_japanese_size_is_that_of_its_strands(tables):
    """1.25 mm² is 16 strands of 0.32 mm: 1.287 mm² (JIS C 3406, a wire maker's catalogue)."""
    assert find_conductor(series(tables, "japanese"), "1.25").area_mm2 == 1.287


def test_stranded_gauges_have_the_metal_of_the_aviation_table(tables):
    """14 AWG: 3831 circular mils and 3.06 ohm per 1000 ft (FAA AC 43.13-1B Table 11-9)."""
    stranded = find_conductor(series(tables, "awg stranded"), "14 AWG")

    assert stranded.area_mm2 == pytest.approx(1.941, abs=0.001)
    assert stranded.resistance_20c_ohm_per_km == pytest.approx(10.04, abs=0.01)


def test_a_size_without_a_diameter_in_its_table_takes_it_from_the_list_of_diameters(tables):
    diameter = find_conductor(series(tables, "flexible"), "1.5").outside_diameter

    assert diameter is not None
    assert (diameter.value, diameter.is_confirmed) == (2.4, True)
    assert find_conductor(series(tables, "flexible"), "16").outside_diameter is None


def test_lists_of_diameters_without_a_resistance_are_no_conductors(tables):
    assert not [c for c in tables.conductors if c.standard == "SAE J1128 (GXL)"]


def test_the_adiabatic_constants_are_read_from_the_general_formula(tables):
    """226 and 234.5 for copper (IEC 60949), 148 and 228 for aluminium, the latter from memory."""
    copper, aluminium = tables.copper, tables.aluminium

    assert (copper.adiabatic_constant.value, copper.zero_resistance_c.value) == (226, 234.5)
    assert (aluminium.adiabatic_constant.value, aluminium.zero_resistance_c.value) == (148, 228)
    assert copper.adiabatic_constant.is_confirmed
    assert not aluminium.adiabatic_constant.is_confirmed


def test_an_insulation_without_an_overload_limit_has_its_limit_for_ever(tables):
    by_name = {insulation.name: insulation for insulation in tables.insulations}

    assert by_name["PVC 70 C"].overload_c.value == 70
    assert by_name["PVC 105 C"].overload_c.value == 120


def test_a_band_takes_the_widest_of_the_rows_of_one_point(tables):
    """600 %: 0.15 s on the 35 A sheet, 0.1 s from memory; the longer one holds for every rating."""
    last = find_fuse(tables, "C", 10).band[-1]

    assert (last.percent, last.at_most_s.value, last.at_least_s.value) == (600, 0.15, 0.02)
    assert last.at_most_s.is_confirmed


def test_rows_of_published_currents_are_read_with_their_conditions(tables):
    boat = [a for a in tables.ampacities if (a.table_id, a.size) == ("US_BOAT", "16")]
    group = [a for a in tables.ampacities if a.table_id == "ISO_10133" and a.size == "1.5"]
    density = next(a for a in tables.ampacities if a.table_id == "AUTO_DENSITY")

    assert [a.current_a for a in boat if a.insulation_c == 105] == [25]
    assert [a.insulation_c for a in group] == [60, 70, 85, 105, 125, 200]
    assert (density.insulation_c, density.ambient_c) == (None, None)


def test_published_k_factors_are_read_and_formulas_left_to_the_materials(tables):
    pvc = [k.k for k in tables.adiabatic_factors if k.insulation == "PVC 70 C"]

    assert pvc == [115, 103, 76, 68]
    assert all(k.k > 60 for k in tables.adiabatic_factors)


def test_a_fact_of_words_has_no_number(tables):
    with pytest.raises(NameNotFoundError, match="no number in the tables called"):
        _ = tables.relays.find("pin 30", subject="mini, ISO 7588-1").figure


def test_an_unknown_fact_offers_the_nearest(tables):
    with pytest.raises(NameNotFoundError, match="resistance, one terminator missing") as caught:
        _ = tables.can_bus["resistance, two terminator missing"]

    assert "can_bus.csv" in str(caught.value)


def test_a_fact_is_sought_under_its_subject(tables):
    with pytest.raises(NameNotFoundError, match=r"no row in relays\.csv"):
        tables.relays.find("pin 30", subject="any 12 V")


@pytest.mark.parametrize(
    ("table", "old", "new", "says"),
    [
        pytest.param(
            "conductors_awg.csv",
            "24,0.5106,",
            "24,half,",
            "row 4 has 'half' under 'diameter_mm'",
            id="a word for a number",
        ),
        pytest.param(
            "materials.csv",
            "Handbook 100 (1966),verified",
            "Handbook 100 (1966),surely",
            "row 2 has 'surely' under 'status'",
            id="a status that is none",
        ),
        pytest.param(
            "conductors_mm2.csv",
            "copper plain,2 (stranded),0.5,",
            "silver,2 (stranded),0.5,",
            "row 2 has 'silver' under 'material'",
            id="a metal that is not tabulated",
        ),
        pytest.param(
            "conductors_mm2.csv",
            "copper plain,2 (stranded),0.5,",
            "copper plain,2 (stranded),half,",
            "row 2 has 'half' under 'size_mm2'",
            id="a size without a number",
        ),
        pytest.param(
            "adiabatic_k.csv",
            "226*sqrt",
            "226*cbrt",
            "row 15 has '226*cbrt",
            id="a formula of another form",
        ),
        pytest.param(
            "adiabatic_k.csv",
            "aluminium,general formula",
            "aluminium,formula",
            "row 2 has '115' under 'k_A_sqrt_s_per_mm2'",
            id="no formula for a metal",
        ),
        pytest.param(
            "ampacity.csv",
            "US_BOAT,AWG,18",
            "US_BOAT,SWG,18",
            "row 2 has 'SWG' under 'size_system'",
            id="a system of sizes that is none",
        ),
        pytest.param(
            "fuses.csv",
            "32 (58 in the high-voltage series)",
            "low",
            "row 2 has 'low' under 'max_system_voltage_V_DC'",
            id="a voltage without a number",
        ),
    ],
)
def test_a_spoilt_cell_is_named_with_its_place(folder, table, old, new, says):
    spoil(folder, table, old, new)

    with pytest.raises(FileUnreadableError) as caught:
        read_tables(folder)

    assert str(caught.value).startswith(f"{table}: {says}")
    assert str(caught.value).endswith("mend the cell or restore the table.")


def test_a_missing_table_is_named(folder):
    (folder / "fuses.csv").unlink()

    with pytest.raises(
        FileUnreadableError, match=r"fuses.csv: the table cannot be read; restore it"
    ):
        read_tables(folder)


def test_a_table_in_a_foreign_encoding_is_named(folder):
    (folder / "relays.csv").write_bytes(b"\xff\xfe\x00")

    with pytest.raises(FileUnreadableError, match=r"relays.csv: the table cannot be read"):
        read_tables(folder)


def test_a_fuse_of_a_kind_without_a_band_has_none(folder):
    spoil(folder, "fuses.csv", "C,regular blade (medium),1,", "X,own make,1,")

    assert find_fuse(read_tables(folder), "X", 1).band == ()
