"""Device statement on paper: its items by place, how long it is kept, and no name."""

import pytest

from labcases.domain import device_statement
from labcases.enums import Stage
from labcases.models import Organisation
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_the_paper_has_every_item_its_rule_and_its_source_but_no_name(cast):
    walk = cast.walk(patient_name="Ada Quill")
    walk.to(Stage.RELEASED)
    Organisation.objects.filter(pk=walk.case.office_id).update(profile="eu")
    text = text_of(render("device-statement", walk.reload(), cast.tomas))
    assert "Not drawn up yet." in text

    device_statement.draw_up(case=walk.reload(), by=cast.tomas, values={})

    text = text_of(render("device-statement", walk.reload(), cast.dora))
    assert "Quill" not in text
    assert "Statement 1 on a device made for one patient" in text
    assert "for the exclusive use of one patient, patient code P-100" in text
    assert "Annex XIII section 1, read whole" in text
    assert "At least 10 years from delivery, by the longest rule that counts" in text
    assert "Not legal advice." in text


def test_where_no_place_is_chosen_the_paper_says_so(cast):
    text = text_of(render("device-statement", cast.case_at(Stage.DRAFT), cast.tomas))

    assert "asks for a statement with the denture: none is chosen." in text
