"""Height budget of a site, cases A to D worked by hand."""

import pytest

from occlusion.errors import BadRequest, OutOfRange
from occlusion.space import site_budget

A = {
    "space_mm": 9.0,
    "base_min_mm": 2.0,
    "tooth_height_mm": 8.0,
    "shell_over_fossa_mm": 2.8,
    "shell_min_mm": 1.5,
}
B = {
    "space_mm": 7.5,
    "base_min_mm": 1.5,
    "relief_mm": 0.2,
    "tooth_height_mm": 7.0,
    "shell_over_fossa_mm": 3.0,
    "shell_min_mm": 1.5,
}
C = {
    "space_mm": 6.0,
    "base_min_mm": 2.0,
    "tooth_height_mm": 7.0,
    "shell_over_fossa_mm": 3.0,
    "shell_min_mm": 1.5,
}


@pytest.mark.parametrize(
    ("values", "hollow", "budget", "left", "short"),
    [
        (A, 1.0, 0.3, 1.8, 0.0),
        (B, 1.2, 0.3, 1.8, 0.0),
        (C, 3.0, 0.0, 0.0, 1.5),
        # D is A with 1 mm more at the pin, approved by the dentist; the site moves 0.625 of it.
        ({**A, "approved_raise_mm": 1.0, "pin_ratio": 0.625}, 0.375, 0.925, 2.425, 0.0),
    ],
    ids="ABCD",
)
def test_base_hollow_and_reduction_share_the_space(values, hollow, budget, left, short):
    found = site_budget(tooth="14", **values)

    assert (found.hollow_mm, found.occlusal_budget_mm) == (hollow, budget)
    assert (found.shell_left_mm, found.short_by_mm) == (left, short)
    assert found.fits is (short == 0)


def test_a_site_that_is_short_names_every_way_out():
    assert site_budget(tooth="16", pin_ratio=0.5, **C).ways_out == (
        "A tooth of at most 5.5 mm in place of 7 mm.",
        "A base of 1.5 mm in place of 2 mm, if the office's rule allows it; still 1 mm short.",
        "A metal base or a facing without base at this site, if the dentist agrees.",
        "Only if the dentist raises the vertical by 1.5 mm at this site (3 mm at the pin), then "
        "new record and try-in.",
    )


def test_a_site_that_fits_needs_no_way_out():
    assert site_budget(tooth="14", **A).ways_out == ()


def test_a_thin_shell_is_not_mended_by_more_height():
    # Nothing is hollowed, but the tooth itself has 1.2 mm where 1.5 are wanted.
    found = site_budget(tooth="14", **{**A, "space_mm": 12, "shell_over_fossa_mm": 1.2})

    assert (found.fits, found.short_by_mm) == (False, 0.3)
    assert found.ways_out == ("A tooth with a shell that is 0.3 mm thicker over the fossa.",)


def test_sizes_in_a_way_out_are_never_rounded_to_the_wrong_side():
    found = site_budget(tooth="16", **{**C, "space_mm": 6.004})

    assert found.ways_out[0] == "A tooth of at most 5.5 mm in place of 7 mm."
    assert "by 1.5 mm" in found.ways_out[-1]
    found = site_budget(tooth="16", **{**C, "space_mm": 5.996})
    assert found.ways_out[0] == "A tooth of at most 5.49 mm in place of 7 mm."
    assert "by 1.51 mm" in found.ways_out[-1]


def test_an_opened_pin_cannot_even_be_said():
    with pytest.raises(TypeError):
        site_budget(tooth="14", pin_opening_mm=1.0, **A)


def test_a_raise_without_the_ratio_of_its_site_is_refused():
    with pytest.raises(BadRequest, match="pin_ratio is missing"):
        site_budget(tooth="14", approved_raise_mm=1.0, **A)


def test_an_answer_within_the_reading_error_says_so():
    # 0.3 mm of budget: safe from a healed ridge read to 0.3, not from a trim line read to 1.0.
    sure = site_budget(tooth="14", **A)
    doubtful = site_budget(tooth="14", space_from="planned trim line", **A)

    assert sure.warnings == ()
    assert [warning.code for warning in doubtful.warnings] == ["budget_within_reading_error"]


def test_a_low_site_warns_of_the_resin_base():
    found = site_budget(tooth="14", **{**C, "space_mm": 4.9})

    assert "space_low" in [warning.code for warning in found.warnings]


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"space_mm": 41}, OutOfRange),
        ({"relief_mm": -0.1}, OutOfRange),
        ({"space_from": "gum"}, BadRequest),
        ({"tooth": "99"}, BadRequest),
    ],
)
def test_impossible_readings_are_refused(values, error):
    with pytest.raises(error):
        site_budget(**{"tooth": "14", **A, **values})
