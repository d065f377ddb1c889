"""What the pages of the bench show to people who only read them."""

from labcases.forms.mounting import MountingForm
from labcases.models import Mounting
from labcases.views import _reading


def test_a_row_that_is_not_stored_gives_nothing_to_read():
    assert _reading.pairs(None, MountingForm) == []
    assert _reading.pairs(Mounting(), MountingForm) == []


def test_a_stored_row_is_read_with_the_labels_of_the_form():
    found = _reading.pairs(Mounting(pk=1, casts_inspected=True, foil_points=3), MountingForm)

    said = {pair["label"]: pair["value"] for pair in found}
    assert said["Points that hold foil"] == "3"
    assert said["Both casts are inspected: no bubbles, no broken tooth, edges sound"] == "yes"
    assert said["Record medium"] == ""
