"""The section on the page of grinding-in: comparing, adopting and leaving."""

import pytest
from django.urls import reverse

from labcases.domain import bench
from labcases.enums import Movement, SettingsOrigin, Stage
from labcases.models import MarksCompared
from tests.factories import world
from tests.labcases import compared
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.DRAFT)
    bench.save_articulator(
        case=walk.reload(),
        version=0,
        by=walk.hands.technician,
        values={**walk.settings, "origin": SettingsOrigin.AVERAGE},
    )
    walk.foil(Movement.RIGHT, "16")
    return walk


@pytest.fixture
def tomas(here, client):
    client.force_login(here.tomas)
    return client


def address(name, walk, *pk):
    return reverse(name, args=[walk.case.code, *pk])


def page(client, walk):
    return text_of(client.get(address("passes", walk)))


def keep(walk, best=None, **more):
    return compared.keep(walk.reload(), walk.hands.technician, best, **more)


def test_before_anything_is_compared_the_page_offers_it(tomas, walk):
    text = page(tomas, walk)

    assert "Not compared yet" in text
    assert "Compare the marks with the prediction" in text


def test_comparing_what_lacks_something_says_what_and_leads_there(tomas, walk):
    answer = tomas.post(address("passes_compare", walk))

    assert answer.status_code == 422
    assert "Enter the tooth selection first." in text_of(answer)
    assert reverse("teeth", args=[walk.case.code]) in answer.content.decode()
    assert MarksCompared.objects.count() == 0


def test_the_section_shows_what_was_seen_and_the_change_with_its_deviation(tomas, walk):
    keep(walk, compared.setting())

    text = page(tomas, walk)

    assert "Prediction against marks" in text
    assert "lifted by a deeper one: 25" in text
    assert "One change explains the marks: right condylar inclination." in text
    assert "30 of 32 readings" in text
    assert "Adopt it in the articulator record" in text
    assert compared.ASSUMED in text


def test_a_pass_says_what_explains_its_marks_before_anything_is_ground(tomas, walk):
    entry = walk.foil(Movement.RIGHT, "16", as_wanted=False)
    keep(walk, compared.setting())
    seen = address("pass_seen", walk, entry.pk)

    text = text_of(tomas.get(seen))
    before = text.index("Before anything is ground: One change explains the marks")
    assert before < text.index("What the rules say of these marks")

    tomas.post(address("compared_leave", walk, MarksCompared.objects.get().pk), {"reason": "no"})
    assert "Before anything is ground" not in text_of(tomas.get(seen))


def test_adopting_changes_the_record_and_the_section_goes_stale(tomas, walk):
    run = keep(walk, compared.setting())

    answer = tomas.post(address("compared_adopt", walk, run.pk))

    assert answer.url == f"{address('passes', walk)}#compared"
    assert str(walk.reload().articulator.condylar_right_deg) == "38.2"
    text = page(tomas, walk)
    assert "Stale" in text
    assert "condylar right: 30 → 38.2" in text
    assert "Compare again" in text
    assert "Adopt it in the articulator record" not in text


def test_leaving_asks_for_the_reason_and_shows_it(tomas, walk):
    run = keep(walk, compared.setting())

    refused = tomas.post(address("compared_leave", walk, run.pk), {"reason": ""})
    assert refused.status_code == 422
    link = '<a href="#id_leave_reason">Give the reason why it is left.</a>'
    assert link in refused.content.decode()

    tomas.post(address("compared_leave", walk, run.pk), {"reason": "the screw holds"})
    text = page(tomas, walk)
    assert "the screw holds" in text
    assert "Leave it, with this reason" not in text


def test_what_changed_meanwhile_is_not_adopted(tomas, walk):
    run = keep(walk, compared.setting())
    walk.foil(Movement.LEFT, "26")

    answer = tomas.post(address("compared_adopt", walk, run.pk))

    assert answer.status_code == 422
    assert "Compare again." in text_of(answer)


def test_a_comparison_of_another_case_is_not_there(tomas, here, walk):
    other = here.walk()
    other.to(Stage.DRAFT)
    run = compared.keep(other.reload(), other.hands.technician, compared.setting())

    assert tomas.post(address("compared_adopt", walk, run.pk)).status_code == 404


def test_the_office_reads_it_and_decides_nothing_here(client, here, walk):
    keep(walk, compared.setting())
    client.force_login(here.dora)

    text = page(client, walk)

    assert "One change explains the marks" in text
    assert "Adopt it in the articulator record" not in text
    assert "Compare again" not in text
