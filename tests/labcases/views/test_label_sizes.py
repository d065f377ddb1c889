"""The manager chooses the labels of the laboratory, and both kinds of label follow."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from tests import needs
from tests.factories import world

pytestmark = pytest.mark.django_db
GIVEN = {
    **{"name": "Tarn Lane Laboratory", "address": "", "notation": "Universal"},
    **{"paper_size": "A4", "records_agree_mm": "0.3", "foil_um": "8"},
}


@pytest.fixture
def here():
    return world()


def change(client, here, **told):
    client.force_login(here.mona)
    address = reverse("organisation_change", args=[here.laboratory.pk])
    answer = client.post(address, {**GIVEN, **told})
    here.laboratory.refresh_from_db()
    return answer


def stored(here):
    return here.laboratory.label_width_mm, here.laboratory.label_height_mm


def test_a_listed_size_or_an_own_one_is_kept_shown_and_stands_in_the_history(client, here):
    assert change(client, here, label_size="70x35").status_code == 302
    assert stored(here) == (70, 35)
    own = {"label_size": "own", "own_label_width": "60", "own_label_height": "42 mm"}
    assert change(client, here, **own).status_code == 302
    assert stored(here) == (60, 42)

    page = client.get(reverse("organisation", args=[here.laboratory.pk])).text
    assert "Labels for casts and boxes: 60 x 42 mm." in page
    history = client.get(reverse("house_history", args=[here.laboratory.pk])).text
    assert "width of labels, mm: 70 → 60" in history
    form = client.get(reverse("organisation_change", args=[here.laboratory.pk])).text
    assert '<option value="own" selected>' in form
    assert change(client, here).status_code == 302
    assert stored(here) == (None, None)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"own_label_width": "24"}, "Width of a label of our own is 24 mm. Enter 25 to 150 mm."),
        ({"own_label_height": "151"}, "our own is 151 mm. Enter 25 to 150 mm."),
        ({"own_label_height": ""}, "Height of a label of our own: enter a number, or choose"),
        ({"label_size": "50x30"}, "Choose “A size of our own”, or empty both."),
    ],
)
def test_a_size_that_cannot_be_is_refused_and_stays_typed(client, here, told, words):
    own = {"label_size": "own", "own_label_width": "61", "own_label_height": "43", **told}

    answer = change(client, here, **own)

    assert answer.status_code == 422
    assert words in answer.text
    for name in ("own_label_width", "own_label_height"):
        assert not own[name] or f'value="{own[name]}"' in answer.text
    assert stored(here) == (None, None)


@needs.pango
def test_the_cast_label_opens_at_its_size_and_a_box_that_does_not_fit_is_told(client, here):
    walk = here.walk()
    walk.to(Stage.SENT)
    change(client, here, label_size="38x25")
    client.force_login(here.lena)
    page = client.get(f"/cases/{walk.case.code}/papers/cast-label/").text
    assert "PDF, label 38 x 25 mm" in page

    small = client.get(f"/cases/{walk.case.code}/papers/cast-label.pdf")
    refused = client.get(f"/cases/{walk.case.code}/papers/box-label.pdf?size=label")

    assert small.content.startswith(b"%PDF")
    assert refused.status_code == 409
    assert "A label of 38 x 25 mm is too small for what belongs on it." in refused.text
    assert "telephone" not in refused.text
