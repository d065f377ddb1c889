"""Marks of foil: one a tooth and pass, on a permanent tooth."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db.models import ProtectedError

from labcases.models import Mark, SetUpEntry
from tests.labcases.models.limits import second_row_refused

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def entry(cast, case):
    return SetUpEntry.objects.create(case=case, act="pass", movement="centric", by=cast.tomas)


def test_a_tooth_marks_once_in_a_pass(entry):
    mark = Mark.objects.create(entry=entry, tooth="16", strength="heavy")
    second_row_refused(Mark, entry=entry, tooth="16")
    assert str(mark) == "16 heavy"
    assert str(Mark(tooth="46")) == "46"


def test_a_mark_names_a_permanent_tooth_and_known_words(entry):
    with pytest.raises(ValidationError) as refused:
        Mark(entry=entry, tooth="19", strength="loud", cusps="both").full_clean()
    assert set(refused.value.message_dict) == {"tooth", "strength", "cusps"}


def test_a_pass_with_marks_and_a_mark_with_a_reduction_stay(cast, case, entry):
    mark = Mark.objects.create(entry=entry, tooth="16")
    SetUpEntry.objects.create(case=case, act="reduction", by=cast.tomas, mark=mark)
    for row in (entry, mark):
        with pytest.raises(ProtectedError):
            row.delete()
