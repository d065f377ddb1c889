"""Height budget of a site: ways out, warnings and refusals; the worked sites are in a table."""

import pytest

from occlusion.errors import BadRequest, OutOfRange
from occlusion.space import site_budget

ROOMY = {
    "space_mm": 9.0,
    "base_min_mm": 2.0,
    "tooth_height_mm": 8.0,
    "shell_over_fossa_mm": 2.8,
    "shell_min_mm": 1.5,
}
SHORT = {
    "space_mm": 6.0,
    "base_min_mm": 2.0,
    "tooth_height_mm": 7.0,
    "shell_over_fossa_mm": 3.0,
    "shell_min_mm": 1.5,
}


def test_a_site_that_is_short_names_every_way_out():
    assert site_budget(tooth="16", pin_ratio=0.5, **SHORT).ways_out == (
        "A tooth of at most 5.5 mm in place of 7 mm.",
        "A base thinner than 2 mm, only if the house's own rule allows one: no least base is built "
        "in.",
        "A metal base or a facing without base at this site, if the dentist agrees.",
        "Only if the dentist raises the vertical by 1.5 mm at this site (3 mm at the pin), then "
        "new record and try-in.",
    )


@pytest.mark.parametrize(
    ("allowed", "way"),
    [
        (1.6, "A base of 1.6 mm in place of 2 mm, which the house allows; still 1.1 mm short."),
        (1.0, "A base of 1 mm in place of 2 mm, which the house allows; still 0.5 mm short."),
        (0.4, "A base of 0.5 mm in place of 2 mm, which the house allows."),
        (2.0, None),
        (2.5, None),
    ],
)
def test_a_thinner_base_is_a_way_out_as_far_as_the_house_allows(allowed, way):
    ways = site_budget(tooth="16", base_allowed_mm=allowed, **SHORT).ways_out
    assert [one for one in ways if one.startswith("A base")] == ([way] if way else [])


def test_a_site_that_fits_needs_no_way_out():
    assert site_budget(tooth="14", **ROOMY).ways_out == ()


def test_a_thin_shell_is_not_mended_by_more_height():
    # Nothing is hollowed, but the tooth itself has 1.2 mm where 1.5 are wanted.
    found = site_budget(tooth="14", **{**ROOMY, "space_mm": 12, "shell_over_fossa_mm": 1.2})

    assert (found.fits, found.short_by_mm) == (False, 0.3)
    assert found.ways_out == ("A tooth with a shell that is 0.3 mm thicker over the fossa.",)


def test_sizes_in_a_way_out_are_never_rounded_to_the_wrong_side():
    found = site_budget(tooth="16", **{**SHORT, "space_mm": 6.004})

    assert found.ways_out[0] == "A tooth of at most 5.5 mm in place of 7 mm."
    assert "by 1.5 mm" in found.ways_out[-1]
    found = site_budget(tooth="16", **{**SHORT, "space_mm": 5.996})
    assert found.ways_out[0] == "A tooth of at most 5.49 mm in place of 7 mm."
    assert "by 1.51 mm" in found.ways_out[-1]


def test_an_opened_pin_cannot_even_be_said():
    with pytest.raises(TypeError):
        site_budget(tooth="14", pin_opening_mm=1.0, **ROOMY)


def test_a_raise_without_the_ratio_of_its_site_is_refused():
    with pytest.raises(BadRequest, match="pin_ratio is missing"):
        site_budget(tooth="14", approved_raise_mm=1.0, **ROOMY)


def test_an_answer_within_the_reading_error_says_so():
    # 0.3 mm of budget: safe from a healed ridge read to 0.3, not from a trim line read to 1.0.
    sure = site_budget(tooth="14", **ROOMY)
    doubtful = site_budget(tooth="14", space_from="planned trim line", **ROOMY)

    assert sure.warnings == ()
    assert [warning.code for warning in doubtful.warnings] == ["budget_within_reading_error"]


def test_a_low_site_warns_of_the_resin_base():
    found = site_budget(tooth="14", **{**SHORT, "space_mm": 4.9})

    assert "space_low" in [warning.code for warning in found.warnings]


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"space_mm": 41}, OutOfRange),
        ({"base_allowed_mm": 11}, OutOfRange),
        ({"relief_mm": -0.1}, OutOfRange),
        ({"space_from": "gum"}, BadRequest),
        ({"tooth": "99"}, BadRequest),
    ],
)
def test_impossible_readings_are_refused(values, error):
    with pytest.raises(error):
        site_budget(**{"tooth": "14", **ROOMY, **values})
