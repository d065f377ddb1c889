"""The wax of a walk is finished, so that the dentist can approve it as on a page."""

import pytest

from labcases.domain import final_wax
from labcases.enums import Stage
from labcases.models import FinalWax
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("arch", ["upper", "lower"])
def test_a_wax_up_leaves_nothing_open(arch):
    walk = world().walk()
    case = walk.to(Stage.FINAL_WAX, arch=arch)
    walk.wax()
    row = FinalWax.objects.get(case=case)
    assert list(final_wax.unfinished(walk.reload(), row)) == []
    walk.approve_wax()
    assert FinalWax.objects.get().approved_by == walk.hands.dentist
