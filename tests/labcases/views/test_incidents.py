"""Something went wrong: choose, read what follows, report it; desk and bench then say it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import incident, teeth_needed, tooth_orders
from labcases.enums import Stage
from labcases.models import Case, Incident, IncidentRead
from tests.factories import world
from tests.labcases.domain.gaps import discard_teeth
from tests.labcases.domain.test_incident import report
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.MOUNTING)
    walk.mount()
    return walk


def new(case, kind):
    return reverse("incident_new", args=[case.code, kind])


def filled(case, **more):
    return {
        **{"answer": "own", "text": "It fell off the bench.", "seen": case.stage},
        **{"seen_last": incident.last_of(case), "step": "preview", **more},
    }


def test_only_what_can_have_happened_is_offered(here, walk):
    page = reverse("incidents", args=[walk.case.code])

    bench = text_of(logged_in(here.tomas).get(page))
    office = text_of(logged_in(here.farah).get(page))

    assert "A cast broke" in bench
    assert "The second jaw record disagrees" in bench
    assert "The flask failed" not in bench
    assert "The patient has died" not in bench
    assert "The surgery is postponed" in office
    assert "The second jaw record disagrees" not in office
    assert "Nothing was reported of this case." in office


def test_what_follows_is_read_before_anything_is_saved(here, walk):
    case = walk.reload()
    lines = case.history.count()

    answer = logged_in(here.tomas).post(new(case, "broken-cast"), filled(case))

    said = text_of(answer)
    assert answer.status_code == 200
    assert "The case goes back from mounting to master cast and rims." in said
    assert "The mounting is kept as a past one; the casts are mounted and verified again." in said
    assert "Office and laboratory: it stands on the desk and on the case until it is read." in said
    assert "4 working days by the stage times of the plan." in said
    assert "still holds, with" in said
    assert "Common practice, no source" not in said
    assert not Incident.objects.exists()
    assert Case.objects.get(pk=case.pk).history.count() == lines


def test_it_is_then_reported_in_one_act(here, walk):
    case = walk.reload()

    answer = logged_in(here.tomas).post(
        new(case, "broken-cast"), filled(case, step="report"), follow=True
    )

    said = text_of(answer)
    assert "Reported: A cast broke. The case stands at master cast and rims." in said
    assert "The case went from mounting to master cast and rims. 4 working days lost" in said
    assert "Told: office and laboratory." in said
    assert walk.reload().stage == Stage.MASTER_CAST


def test_the_details_can_be_changed_after_the_preview_and_are_kept(here, walk):
    case = walk.reload()

    answer = logged_in(here.tomas).post(new(case, "broken-cast"), filled(case, step="change"))

    assert answer.status_code == 200
    assert "It fell off the bench." in answer.content.decode()
    assert "Show what follows" in text_of(answer)
    assert not Incident.objects.exists()


@pytest.mark.parametrize(
    ("kind", "lacking", "sentence"),
    [
        ("broken-cast", "text", "Write what happened, in a few words."),
        ("broken-cast", "answer", "Choose one of the answers."),
        ("allergy-reported-late", "allergy", "Name what the patient is allergic to"),
    ],
)
def test_what_is_left_out_is_asked_for_and_the_rest_stays(here, walk, kind, lacking, sentence):
    case = walk.reload()
    told = filled(case, allergy="acrylate")
    told.pop(lacking)

    answer = logged_in(here.tomas).post(new(case, kind), told)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    kept = "acrylate" if lacking == "text" and kind != "broken-cast" else told.get("text", "")
    assert kept in answer.content.decode()


def test_a_tooth_is_shown_in_words_and_both_notations(here, walk):
    case = walk.reload()
    told = filled(case, teeth="13")

    said = text_of(logged_in(here.farah).post(new(case, "tooth-lost-or-changed"), told))

    assert "Upper right canine, 13 (Universal 6)" in said
    assert "A signed revision brings it back to master cast and rims" in said
    assert "The dentist is asked for a revision of the prescription" in said


def test_no_tooth_at_all_is_refused(here, walk):
    case = walk.reload()

    answer = logged_in(here.farah).post(new(case, "tooth-lost-or-changed"), filled(case, teeth=""))

    assert answer.status_code == 422
    assert "Enter the tooth, by its number." in text_of(answer)


def test_a_kind_of_another_role_says_so(here, walk):
    said = text_of(logged_in(here.tomas).get(new(walk.case, "patient-died")))

    assert "This is not reported at the present stage, or not by your role." in said


def test_what_another_reported_first_is_shown_and_nothing_typed_is_lost(here, walk):
    case = walk.reload()
    typed = filled(case, step="report", text="The lower one is in two pieces.")
    report(walk, "wrong-box", here.lena, text="A bag of another case.")

    answer = logged_in(here.tomas).post(new(case, "broken-cast"), typed)

    said = text_of(answer)
    assert answer.status_code == 409
    assert "Lena Marsh reported something of this case first: A box came" in said
    assert "A bag of another case." in said
    assert "The lower one is in two pieces." in said
    assert Incident.objects.count() == 1
    again = {**typed, "seen_last": Incident.objects.get().pk}
    assert logged_in(here.tomas).post(new(case, "broken-cast"), again).status_code == 302
    assert Incident.objects.count() == 2


def test_desk_bench_and_case_say_it_until_it_is_read(here, walk):
    row = report(walk, "disagreeing-record", here.tomas)
    desk = reverse("desk")
    page = reverse("case", args=[walk.case.code])
    dora, mona = logged_in(here.dora), logged_in(here.mona)

    assert "New: The second jaw record disagrees, reported by Tomas Abelard" in text_of(
        dora.get(desk)
    )
    assert "Read what it undid, and mark it as read" in text_of(dora.get(page))
    assert "The second jaw record disagrees" in text_of(mona.get(desk))
    assert "New: The second" not in text_of(mona.get(desk))
    assert "Mark 1 new as read" in text_of(dora.get(reverse("incidents", args=[walk.case.code])))

    dora.post(reverse("incidents_read", args=[walk.case.code]), {"seen": [row.pk, "x"]})

    assert IncidentRead.objects.filter(user=here.dora, incident=row).exists()
    assert "Read what it undid" not in text_of(dora.get(page))
    assert "New: The second" not in text_of(dora.get(desk))


def test_the_bench_names_what_is_open_of_a_job(here, walk):
    report(walk, "broken-cast", here.lena, "own")

    said = text_of(logged_in(here.tomas).get(reverse("bench")))

    assert "A cast broke 1 new report" in said
    assert "A report says that a cast of the upper arch broke" in said


def test_the_preview_says_what_becomes_of_orders_and_of_the_other_teeth(here, walk):
    case = walk.reload()
    later = filled(case, answer="later", text="Three weeks.")
    assert "No order is open, so none is marked." in text_of(
        logged_in(here.lena).post(new(case, "teeth-out-of-stock"), later)
    )
    walk.choose_teeth()
    discard_teeth("upper-posterior")(walk)
    need = teeth_needed.need_of(walk.reload(), "upper-posterior")
    tooth_orders.order(case=walk.case, need=need, by=here.lena, values={}, reason="as sent")

    said = text_of(logged_in(here.lena).post(new(case, "teeth-out-of-stock"), later))

    assert "Order of the upper posterior teeth: it is marked as not to be had yet." in said


def test_the_case_page_offers_nothing_after_a_death_but_to_read_the_report(here, walk):
    report(walk, "patient-died", here.farah, "hold")

    said = text_of(logged_in(here.mona).get(reverse("case", args=[walk.case.code])))

    assert "Take the case off hold" not in said
    assert "A report says that the patient has died, and the case stays at rest." in said
    assert "Open the reports" in said


def test_a_new_day_and_old_casts_are_told_of_a_postponed_surgery(here, walk):
    case = walk.reload()
    case.impressions.create(
        arch="upper",
        material="alginate",
        taken_at=timezone.now() - timedelta(days=30),
        by=here.tomas,
    )
    day = timezone.localdate() + timedelta(days=130)

    said = text_of(
        logged_in(here.farah).post(
            new(case, "surgery-postponed"), filled(case, new_day=day.isoformat())
        )
    )

    assert "Every approval stays." in said
    assert "The last impression will be 160 days old at surgery, more than 8 weeks" in said
    assert "(common practice, no source)" in said


def test_a_postponed_surgery_is_not_moved_into_the_past(here, walk):
    case = walk.reload()

    refused = logged_in(here.farah).post(
        new(case, "surgery-postponed"), filled(case, new_day="12-Mar-2020", text="A cold.")
    )

    assert refused.status_code == 422
    said = text_of(refused)
    assert "12-Mar-2020 is past. Enter the new day, or leave it empty until it is known." in said
    assert "A cold." in refused.content.decode()


def test_a_postponed_surgery_comes_after_the_signed_extractions(here, walk):
    case = walk.reload()
    first = timezone.localdate() + timedelta(days=20)
    type(case.prescription).objects.filter(pk=case.prescription.pk).update(
        first_extraction_on=first
    )

    refused = logged_in(here.farah).post(
        new(case, "surgery-postponed"), filled(case, new_day=first.isoformat())
    )

    assert refused.status_code == 422
    assert "and surgery comes after that. Choose a later day than" in text_of(refused)


def test_the_only_answer_there_is_is_chosen_already(here):
    case = here.case_at(Stage.SENT)

    page = logged_in(here.farah).get(new(case, "patient-died")).content.decode()

    assert page.count('name="answer"') == 1
    assert re.search(r'name="answer"[^>]*value="hold"[^>]*checked', page)


@pytest.mark.parametrize("kind", ["patient-died", "surgery-cancelled"])
def test_no_surgery_day_is_said_to_hold_when_none_will_come(here, walk, kind):
    case = walk.reload()

    said = text_of(logged_in(here.farah).post(new(case, kind), filled(case, answer="hold")))

    assert "stays on the record; nothing is planned towards it any more." in said
    assert "still holds" not in said


def test_an_end_is_told_as_one(here, walk):
    case = walk.reload()

    said = text_of(logged_in(here.dora).post(new(case, "patient-died"), filled(case, answer="end")))

    assert "The case ends as cancelled. It cannot be taken up again" in said
    assert "No notice, reminder or feed about this patient leaves any more" in said
    assert "None: the case ends." in said


def test_a_late_day_is_told_with_the_earliest_one(here):
    walk = here.walk(surgery_in_days=3)
    walk.to(Stage.MOUNTING)
    case = walk.reload()

    said = text_of(logged_in(here.tomas).post(new(case, "broken-cast"), filled(case)))

    assert "does not hold by the stage times" in said
    assert "dentist and laboratory decide." in said


def test_the_reader_of_universal_numbers_types_them(here, walk):
    here.office.notation = "Universal"
    here.office.save()
    case = walk.reload()

    answer = logged_in(here.farah).post(new(case, "tooth-lost-or-changed"), filled(case, teeth="6"))

    assert "Upper right canine, 13 (Universal 6)" in text_of(answer)


def test_there_is_no_such_kind(here, walk):
    assert logged_in(here.tomas).get(new(walk.case, "no-such-thing")).status_code == 404
