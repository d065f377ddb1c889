"""Sizes of labels: a short list within the bounds of an own size."""

from labcases.reference.labels import LabelSize, bounds_mm, least, sizes, usual


def test_the_list_starts_with_the_smallest_and_keeps_to_the_bounds():
    assert [size.words for size in sizes()] == [
        *("38 x 25 mm", "50 x 30 mm", "70 x 35 mm"),
        *("100 x 50 mm", "100 x 70 mm", "100 x 150 mm"),
    ]
    assert bounds_mm() == (25, 150)


def test_a_cast_takes_a_small_label_and_a_box_a_large_one():
    assert (usual("CL"), usual("BL")) == (LabelSize(50, 30), LabelSize(100, 150))
    assert (least("CL"), least("BL")) == (LabelSize(25, 25), LabelSize(70, 70))
