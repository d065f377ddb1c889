"""`manage.py erase_due`; what it erases is tested beside ``domain/erasing_due.py``."""

from io import StringIO

import pytest
from django.core.management import call_command


@pytest.mark.django_db
def test_without_a_request_it_says_that_nothing_is_due():
    out = StringIO()
    call_command("erase_due", stdout=out)
    assert out.getvalue() == ("Nothing is due: no request for erasure has come to its day.\n")
