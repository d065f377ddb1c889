"""What a person is reminded of, when, and what never stands in it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from labcases.domain import box, calendars, reminders, stages
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.enums import BoxContent, BoxDirection, Side, Stage
from labcases.models import Case, Delivery
from tests.factories import world

pytestmark = pytest.mark.django_db

TUESDAY = datetime(2027, 3, 9, 8, 0, tzinfo=UTC)
NEAR = date(2027, 3, 16)
"""The fifth working day after it."""


@pytest.fixture
def here():
    cast = world()
    for one in (cast.dora, cast.farah, cast.tomas, cast.lena, cast.mona):
        one.email = f"{one.username}@example.org"
        one.save()
    return cast


@pytest.fixture
def at(monkeypatch):
    """Set the clock to a moment."""

    def to(moment):
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    return to


def on_tuesday(here, at, stage=Stage.ACCEPTED, surgery=NEAR):
    """A case whose surgery is near, seen on a Tuesday."""
    case = here.walk(patient_name="Ada Quill").to(stage)
    Case.objects.filter(pk=case.pk).update(surgery_on=surgery)
    at(TUESDAY)
    return Case.objects.get(pk=case.pk)


def ask(case, by, side=Side.OFFICE, **more):
    return asking.ask(case=case, about="Ada Quill", text="P-100?", waits_for=side, by=by, **more)


def urgent(user):
    return [(one.case.code, [said.what for said in one.said]) for one in reminders.of(user).urgent]


def digest(user):
    found = reminders.of(user).digest
    return {title: [one.what for one in rows] for title, rows in found.parts} if found else None


# Urgent


def test_a_question_that_holds_the_case_up_is_urgent_for_the_house_that_must_answer(here, at):
    case = on_tuesday(here, at)
    ask(case, here.tomas)

    assert urgent(here.farah) == [(case.code, ["A question is open."])]
    assert urgent(here.dora) == [(case.code, ["A question is open."])]
    assert urgent(here.tomas) == []
    assert urgent(here.olga) == []


def test_a_question_to_the_laboratory_is_urgent_there(here, at):
    case = on_tuesday(here, at)
    ask(case, here.farah, Side.LABORATORY)

    assert urgent(here.lena) == [(case.code, ["A question is open."])]
    assert urgent(here.farah) == []


def test_several_questions_of_a_case_are_one_line_with_their_number(here, at):
    case = on_tuesday(here, at)
    ask(case, here.tomas)
    ask(case, here.tomas)
    ask(case, here.tomas, blocking=False)
    ask(case, here.tomas, blocking=False)

    assert urgent(here.farah) == [(case.code, ["2 questions are open."])]
    assert digest(here.farah)["Waits for you"] == [
        "2 questions are open.",
        "2 questions are open. The case does not wait for them.",
    ]


@pytest.mark.parametrize(
    ("surgery", "near"),
    [
        (date(2027, 3, 8), False),
        (date(2027, 3, 9), True),
        (date(2027, 3, 16), True),
        (date(2027, 3, 17), False),
        (None, False),
    ],
)
def test_within_five_working_days_of_surgery(here, at, surgery, near):
    case = on_tuesday(here, at, surgery=surgery)
    ask(case, here.tomas)

    assert bool(urgent(here.farah)) is near


def test_the_days_are_those_on_which_the_house_that_answers_is_open(here, at):
    case = on_tuesday(here, at, surgery=date(2027, 3, 17))
    ask(case, here.tomas)
    ask(case, here.farah, Side.LABORATORY)
    calendars.close(
        organisation=here.office, first=date(2027, 3, 12), last=None, reason="away", by=here.dora
    )

    assert len(urgent(here.farah)) == 1
    assert urgent(here.lena) == []


def test_what_the_case_does_not_wait_for_is_for_the_digest(here, at):
    case = on_tuesday(here, at)
    ask(case, here.tomas, blocking=False)

    assert urgent(here.farah) == []
    assert digest(here.farah)["Waits for you"] == [
        "A question is open. The case does not wait for it."
    ]


def test_a_stage_in_which_a_house_has_to_act_is_urgent_as_well(here, at):
    case = on_tuesday(here, at, Stage.SENT)

    assert urgent(here.mona) == [(case.code, ["The case is to be accepted."])]
    assert reminders.of(here.mona).urgent[0].since == case.stage_since


def test_two_that_began_at_once_are_one_and_a_later_one_is_another(here, at):
    case = on_tuesday(here, at)
    ask(case, here.tomas)
    ask(case, here.tomas)
    at(TUESDAY + timedelta(minutes=5))
    ask(case, here.tomas)

    keys = [one.key for one in reminders.of(here.farah).urgent]
    assert keys == [f"{case.code} 20270309T080000000000", f"{case.code} 20270309T080500000000"]
    assert [said for _code, said in urgent(here.farah)] == [
        ["2 questions are open."],
        ["A question is open."],
    ]


# The digest


def test_a_digest_has_what_waits_and_what_is_late(here, at):
    case = on_tuesday(here, at)
    ask(case, here.tomas)

    told = digest(here.farah)

    assert list(told) == ["Waits for you", "Late"]
    assert told["Waits for you"] == ["A question is open."]
    assert told["Late"][0].startswith("Late by ")
    assert "working days: " in told["Late"][0]
    assert list(digest(here.tomas)) == ["Late"]


def test_a_box_that_should_have_been_there(here, at):
    case = on_tuesday(here, at, surgery=date(2027, 9, 1))
    walk = here.walk().__class__(case, here.hands)
    sent = walk.pack(BoxDirection.TO_LABORATORY, BoxContent.CAST, by=here.farah)
    box.send(box=sent, by=here.farah)
    at(TUESDAY + timedelta(days=3))

    assert digest(here.lena) == {
        "Boxes overdue": [
            "To the laboratory: expected Wed\N{NO-BREAK SPACE}10-Mar-2027, 2 working days overdue."
        ]
    }


def test_a_review_that_is_due(here, at):
    case = here.walk().to(Stage.DELIVERED)
    Delivery.objects.filter(case=case).update(delivered_on=date(2027, 3, 8))
    at(TUESDAY)

    (what,) = digest(here.dora)["Reviews"]
    assert what.startswith("Review due Tue\N{NO-BREAK SPACE}09-Mar-2027")
    assert digest(here.tomas) is None


def test_where_nothing_is_to_be_said_there_is_no_digest(here, at):
    on_tuesday(here, at, surgery=date(2027, 9, 1))

    assert digest(here.farah) is None


def test_no_digest_before_its_hour_nor_on_a_day_on_which_the_house_is_closed(here, at, settings):
    on_tuesday(here, at)
    settings.DIGEST_HOUR = 9
    assert digest(here.farah) is None
    settings.DIGEST_HOUR = 8
    assert digest(here.farah) is not None
    at(TUESDAY + timedelta(days=5))  # a Sunday
    assert digest(here.farah) is None


def test_the_day_and_its_hour_are_those_of_the_house(here, at, settings):
    on_tuesday(here, at)
    here.office.time_zone = "Pacific/Auckland"
    here.office.save()
    at(TUESDAY + timedelta(hours=10))  # Wednesday, 07:00 there

    assert reminders.of(here.farah).digest.day == date(2027, 3, 10)
    assert reminders.of(here.lena).digest.day == date(2027, 3, 9)
    settings.DIGEST_HOUR = 8
    assert reminders.of(here.farah).digest is None
    assert reminders.of(here.lena).digest is not None


# Who wants what


def test_who_wants_the_digest_only_gets_nothing_urgent(here, at):
    case = on_tuesday(here, at)
    ask(case, here.tomas)
    reminders.choose(user=here.farah, email="farah@example.org", choice="digest")

    assert urgent(here.farah) == []
    assert digest(here.farah) is not None


def test_mail_goes_to_who_has_an_address_a_role_and_wants_it(here):
    here.dora.email = ""
    here.dora.save()
    reminders.choose(user=here.tomas, email="tomas@example.org", choice="none")
    here.lena.memberships.update(active=False)
    here.mona.is_active = False
    here.mona.save()

    assert reminders.wanting() == [here.farah]


# What never leaves


def hold(here, case):
    cases.hold(case=case, reason="ill", by=here.dora)


def cancel(here, case):
    stages.move(case=case, to=Stage.CANCELLED, by=here.dora, reason="Another denture.")


def die(here, case):
    Case.objects.filter(pk=case.pk).update(silent=True)


@pytest.mark.parametrize("stop", [hold, cancel, die])
def test_nothing_of_a_case_at_rest(here, at, stop):
    case = on_tuesday(here, at)
    ask(case, here.tomas)
    before = reminders.of(here.farah)
    assert before.urgent

    stop(here, case)

    assert reminders.of(here.farah) == reminders.Found([], None)
    # Also where it came to rest between the decision and the moment of sending.
    assert reminders.still(before.urgent[0].said) == []
    assert reminders.digest_now(before.digest) is None


def test_of_a_digest_only_the_case_at_rest_goes(here, at):
    case = on_tuesday(here, at, Stage.SENT)
    other = here.walk(patient_code="P-200").case
    Case.objects.filter(pk=other.pk).update(surgery_on=NEAR)
    before = reminders.of(here.farah).digest

    die(here, case)

    left = reminders.digest_now(before)
    assert {one.case.code for _title, rows in left.parts for one in rows} == {other.code}
