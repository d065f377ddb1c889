"""A digest that is not read anew where nothing was written says the same as one that is."""

import pytest
from django.contrib.sessions.models import Session
from django.db import connection, transaction
from django.utils import timezone

from labcases.models import Organisation
from tests import fingerprints
from tests.factories import OrganisationFactory
from tests.fingerprints import fingerprint, read

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _one_row():
    OrganisationFactory(name="First")


def test_each_way_of_writing_is_seen():
    told = [fingerprint()]
    OrganisationFactory(name="Second")
    told.append(fingerprint())
    Organisation.objects.filter(name="First").update(name="Other")
    told.append(fingerprint())
    Organisation.objects.filter(name="Second").delete()
    told.append(fingerprint())
    with connection.cursor() as cursor:
        cursor.execute("UPDATE labcases_organisation SET name = 'By hand'")
    told.append(fingerprint())

    assert len(set(told)) == 5
    assert told[-1] == read()


def test_what_was_taken_back_is_seen():
    before = fingerprint()
    with transaction.atomic():
        OrganisationFactory(name="Second")
        within = fingerprint()
        assert within != before
        transaction.set_rollback(True)

    assert fingerprint() == before == read()

    with transaction.atomic():
        OrganisationFactory(name="Second")
        transaction.set_rollback(True)

    assert fingerprint() == before == read()


def test_what_was_taken_back_further_in_is_seen_after_something_that_stays():
    with transaction.atomic():
        OrganisationFactory(name="Second")
        stays = fingerprint()
        with transaction.atomic():
            assert fingerprint() == stays
            OrganisationFactory(name="Third")
            assert fingerprint() != stays
            transaction.set_rollback(True)
        assert fingerprint() == stays == read()


def test_where_nothing_was_written_nothing_is_read(monkeypatch):
    before = fingerprint()
    monkeypatch.setattr(fingerprints, "read", lambda: pytest.fail("It was read."))

    with transaction.atomic():
        assert Organisation.objects.count() == 1
        assert fingerprint() == before
        transaction.set_rollback(True)
    Session.objects.create(session_key="k", session_data="", expire_date=timezone.now())
    assert fingerprint() == before
