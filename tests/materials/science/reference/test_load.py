import pytest

from materials.science.errors import UnknownName
from materials.science.reference.load import species, species_named
from tests.data.rows import rows

# the spellings of the check values, where they are not those of the table
ALSO = {
    "basswood": "American basswood",
    "white oak, commercial": "white oak",
    "red oak, commercial": "red oak",
    "oak, northern red": "red oak",
}


def found_for(row):
    spelling = row["inputs"]["species"]
    by_handbook = {found.handbook_name: found for found in species()}
    return species_named(ALSO[spelling]) if spelling in ALSO else by_handbook[spelling]


@pytest.mark.parametrize("row", rows("species", quantity="green-to-ovendry shrinkage"))
def test_shrinkage_is_the_printed_one(row):
    found = found_for(row)
    assert row["expected"] == {
        "radial": found.radial_shrinkage_percent,
        "tangential": found.tangential_shrinkage_percent,
        "volumetric": found.volumetric_shrinkage_percent,
    }


@pytest.mark.parametrize("row", rows("species", quantity="dimensional change coefficient"))
def test_coefficients_of_movement_are_the_printed_ones(row):
    found = found_for(row)
    assert row["expected"] == {"C_R": found.radial_per_percent, "C_T": found.tangential_per_percent}


@pytest.mark.parametrize("row", rows("species", quantity="SG"))
def test_specific_gravity_and_modulus_are_the_printed_ones(row):
    found = found_for(row)
    modulus_gpa = row["expected"].get("MOE_GPa") or row["expected"]["MOE_MPa"] / 1000
    assert found.specific_gravity == row["expected"]["SG"]
    assert found.modulus_gpa == pytest.approx(modulus_gpa, abs=0.1)


@pytest.mark.parametrize("row", rows("species", status="MEMORY"))
def test_what_is_from_memory_is_marked_so_in_the_row(row):
    found = found_for(row)
    assert {"specific_gravity", "modulus_gpa"} <= set(found.from_memory)
    assert "from memory" in found.source


def test_every_row_names_its_source():
    assert all(row.source.startswith("Wood Handbook") for row in species())


def test_no_name_occurs_twice():
    assert len({row.name for row in species()}) == len(species()) == 17


def test_wood_moves_more_along_the_rings_than_across_them():
    assert all(
        row.tangential_per_percent > row.radial_per_percent
        for row in species()
        if row.radial_per_percent is not None
    )


def test_an_unknown_species_lists_the_known_ones():
    with pytest.raises(UnknownName, match='called "oak"; known are: American basswood, .*white oak'):
        species_named("oak")
