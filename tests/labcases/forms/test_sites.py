"""A site's row knows what its person changed, and one row may fill the boxes of all."""

from decimal import Decimal

import pytest
from django.http import QueryDict

from labcases.forms.sites import HEIGHT, SiteForm, with_shared
from labcases.models import SiteMeasure

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db


def posted(**values: str) -> QueryDict:
    data = QueryDict(mutable=True)
    data.update(values)
    return data


def shown(**more: str) -> dict[str, str]:
    """A page that showed space 9 and base 2, with nothing changed yet."""
    return {
        "16-version": "1",
        "16-space_mm": "9",
        "initial-16-space_mm": "9",
        "16-base_min_mm": "2",
        "initial-16-base_min_mm": "2",
        "16-relief_mm": "0",
        "initial-16-relief_mm": "0",
        "16-space_from": "healed ridge",
        "initial-16-space_from": "healed ridge",
        "initial-16-ample": "False",
        **more,
    }


def form(**values: str) -> SiteForm:
    """Over a row that somebody else changed to 7 meanwhile."""
    row = SiteMeasure(pk=1, tooth="16", version=2, space_mm=Decimal("7"), base_min_mm=Decimal("2"))
    return SiteForm(posted(**values), instance=row, prefix="16")


def test_a_row_that_shows_what_it_showed_is_untouched_whatever_is_stored():
    assert not form(**shown()).touched


@pytest.mark.parametrize(
    "change",
    [
        {"16-space_mm": "8"},
        {"16-space_mm": ""},
        {"16-ample": "on"},
        {"16-space_from": "tuberosity"},
        {"16-cusp_angle_deg": "25"},
    ],
)
def test_a_row_with_one_changed_box_is_touched(change):
    assert form(**shown(**change)).touched


def test_a_number_in_another_spelling_is_no_change():
    assert not form(**shown(**{"16-space_mm": "9,0"})).touched


def test_only_changed_boxes_become_values():
    row = form(**shown(**{"16-base_min_mm": "2,5"}))

    assert row.is_valid()
    assert row.values() == {"base_min_mm": Decimal("2.5")}


def test_the_stored_value_is_taken_where_the_person_chose_it():
    row = form(**shown(**{"16-space_mm": "8", "keep-16-space_mm": "stored"}))

    assert row.is_valid()
    assert row.values() == {"space_mm": Decimal("7")}


def test_a_reading_outside_the_limits_names_the_column():
    row = form(**shown(**{"16-space_mm": "41"}))

    assert row.errors == {"space_mm": ["Space is 41 mm. Enter 0 to 40 mm."]}


def test_the_table_has_a_column_for_every_height_field():
    row = form(**shown())

    assert [field.name for field in row.height_fields] == list(HEIGHT)
    assert row.row_name == "16"


def test_the_shared_row_goes_into_empty_boxes_of_sites_that_are_not_ample():
    data = posted(
        **{
            "all-base_min_mm": "2",
            "16-base_min_mm": "",
            "15-base_min_mm": "3",
            "14-ample": "on",
        }
    )

    filled = with_shared(data, ["16", "15", "14", "24"])

    assert filled["16-base_min_mm"] == "2"
    assert filled["15-base_min_mm"] == "3"
    assert "14-base_min_mm" not in filled
    assert filled["24-base_min_mm"] == "2"


def test_an_empty_shared_row_fills_nothing():
    assert "16-base_min_mm" not in with_shared(posted(**{"all-base_min_mm": " "}), ["16"])
