"""Which size a label has, and which sizes are refused."""

import pytest

from labcases.domain import label_sizes
from labcases.enums import PaperKind
from labcases.models import Organisation
from labcases.reference.labels import LabelSize


def test_a_chosen_size_goes_before_the_usual_one():
    house = Organisation()
    assert label_sizes.chosen(house) is None
    assert label_sizes.size_for(house, PaperKind.CAST_LABEL) == LabelSize(50, 30)

    house.label_width_mm, house.label_height_mm = 60, 40

    assert label_sizes.size_for(house, PaperKind.BOX_LABEL) == LabelSize(60, 40)
    assert not label_sizes.may_take(LabelSize(60, 40), PaperKind.BOX_LABEL)
    assert label_sizes.may_take(LabelSize(60, 40), PaperKind.CAST_LABEL)


@pytest.mark.parametrize(
    ("size", "words"),
    [
        ((24, 40), "The width of a label is 24 mm. Enter 25 to 150 mm."),
        ((40, 151), "The height of a label is 151 mm. Enter 25 to 150 mm."),
    ],
)
def test_an_edge_outside_of_the_bounds_is_refused(size, words):
    with pytest.raises(ValueError, match=words):
        label_sizes.check(LabelSize(*size))
    label_sizes.check(LabelSize(25, 150))
