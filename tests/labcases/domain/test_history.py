"""History can only grow: by the model, by a queryset, and by the database itself."""

import pytest
from django.db import DatabaseError, connection, transaction

from labcases.domain import history
from labcases.domain.versions import save_row
from labcases.enums import Role
from labcases.models import AppendOnly, HistoryEntry, Mounting, PatientName
from tests.factories import MembershipFactory, world

pytestmark = pytest.mark.django_db


def an_entry():
    here = world()
    return here.walk().case.history.first()


class TestAppendOnly:
    def test_an_entry_is_not_saved_again(self):
        entry = an_entry()
        entry.act = "never happened"
        with pytest.raises(AppendOnly, match="Write a new entry instead"):
            entry.save()
        entry.refresh_from_db()
        assert entry.act == "opened"

    def test_an_entry_is_not_erased(self):
        entry = an_entry()
        with pytest.raises(AppendOnly):
            entry.delete()
        assert HistoryEntry.objects.filter(pk=entry.pk).exists()

    def test_a_queryset_changes_nothing(self):
        entry = an_entry()
        with pytest.raises(AppendOnly):
            HistoryEntry.objects.filter(pk=entry.pk).update(act="never happened")
        with pytest.raises(AppendOnly):
            entry.case.history.all().update(act="never happened")
        entry.refresh_from_db()
        assert entry.act == "opened"

    def test_a_queryset_erases_nothing(self):
        entry = an_entry()
        with pytest.raises(AppendOnly):
            HistoryEntry.objects.all().delete()
        with pytest.raises(AppendOnly):
            entry.case.history.all().delete()
        assert HistoryEntry.objects.filter(pk=entry.pk).exists()

    @pytest.mark.both_databases
    @pytest.mark.parametrize(
        "statement",
        [
            "UPDATE labcases_historyentry SET act = 'never happened'",
            "DELETE FROM labcases_historyentry",
        ],
    )
    def test_the_database_refuses_what_goes_past_the_models(self, statement):
        entry = an_entry()
        with (
            pytest.raises(DatabaseError, match="history is append-only"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)
        entry.refresh_from_db()
        assert entry.act == "opened"

    def test_bulk_changes_go_past_the_models_and_are_refused_by_the_database(self):
        entry = an_entry()
        entry.act = "never happened"
        with (
            pytest.raises((AppendOnly, DatabaseError), match=r"append-only|cannot be changed"),
            transaction.atomic(),
        ):
            HistoryEntry.objects.bulk_update([entry], ["act"])
        entry.refresh_from_db()
        assert entry.act == "opened"


class TestEntries:
    def test_an_entry_says_who_in_which_role_and_when(self):
        here = world()
        entry = here.walk().case.history.first()
        assert (entry.by, entry.position, entry.part) == (here.dora, "dentist", "case")
        assert entry.at is not None

    def test_both_roles_of_one_person_are_named(self):
        here = world()
        case = here.walk().case
        MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
        entry = history.write(case=case, by=here.mona, act="noted", part="case")
        assert "laboratory manager" in entry.position

    def test_changes_hold_what_stood_there_before_in_words(self):
        here = world()
        case = here.walk().case
        row = save_row(
            row=Mounting(case=case),
            version=0,
            by=here.tomas,
            case=case,
            part="mounting",
            values={"record_medium": "hard wax", "foil_points": 3},
        )
        save_row(
            row=row,
            version=1,
            by=here.tomas,
            case=case,
            part="mounting",
            values={"record_medium": "silicone", "foil_points": 3},
        )
        entered, changed = case.history.order_by("-pk")[:2][::-1]
        assert entered.changes == {"record medium": [None, "hard wax"], "foil points": [None, 3]}
        assert changed.changes == {"record medium": ["hard wax", "silicone"]}

    def test_a_name_is_told_as_changed_and_never_by_its_value(self):
        here = world()
        case = here.walk(patient_name="Nell Harrow").case
        row = PatientName.objects.get(patient=case.patient)
        assert history.differences(row, {"name": "Nell Okoye"}) == {"name": ["", "changed"]}
        assert history.differences(row, {"name": "Nell Harrow"}) == {}
