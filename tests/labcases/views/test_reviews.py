"""The pages of the reviews, as people meet them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases import codes
from labcases.enums import Stage
from labcases.management import walk_review
from labcases.models import ReviewEntry
from labcases.templatetags.units import long_date
from tests.factories import PASSWORD, world
from tests.labcases.views.pages import words_of

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()
DAY = long_date(TODAY)


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.DELIVERED)


def read(client, user, case, name="reviews", *more):
    client.force_login(user)
    return words_of(client.get(reverse(name, args=[case.code, *more])))


def post(client, user, case, name="reviews", *more, **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code, *more]), typed)


def test_the_page_says_what_is_due_and_that_sources_of_the_reline_differ(client, here, case):
    words = read(client, here.lena, case)
    for said in (
        f"Delivered {DAY}.",
        "Day after delivery",
        "that day",
        "They disagree, so no single day stands here; the dentist decides.",
        f"Sources have it made between {long_date(TODAY + timedelta(days=42))} and "
        f"{long_date(TODAY + timedelta(days=365))}",
        "No liner is in use.",
        "no line here takes anything off one",
    ):
        assert said in words
    assert "Log a line" not in words


def test_a_review_is_recorded_with_words_at_every_no(client, here, case):
    typed = {"happened_on": DAY, "answer_rv1_spots": "no"}
    answer = post(client, here.dora, case, "review_seen", "first", **typed)
    assert "Say what is otherwise: Pressure spots were looked for." in words_of(answer, 422)
    typed |= {"words_rv1_spots": "too sore"}
    assert post(client, here.dora, case, "review_seen", "first", **typed).status_code == 302
    words = read(client, here.tomas, case)
    assert (
        f"{DAY}: review, day after delivery, 1 of 6 lines; "
        "no to &quot;Pressure spots were looked for&quot;" in words
    )
    assert ReviewEntry.objects.get().words == {"rv1_spots": "too sore"}


def test_one_year_recorded_two_days_after_the_delivery_is_asked_about(client, here, case):
    case.delivery.delivered_on = TODAY - timedelta(days=2)
    case.delivery.save()
    due = TODAY + timedelta(days=363)
    typed = {"happened_on": DAY, "answer_rv8_fit": "yes"}
    words = words_of(post(client, here.dora, case, "review_seen", "year", **typed), 422)
    assert "The day of the review &quot;One year&quot; is " in words
    assert (
        f"it is on time from {long_date(due - timedelta(days=30))} to "
        f"{long_date(due + timedelta(days=30))}. On {DAY} the review &quot;Two to three days&quot; "
        "is due. Correct it, or tick below." in words
    )
    assert f"&quot;One year&quot; was held on {DAY}" in words
    assert not ReviewEntry.objects.exists()
    typed |= {"day_meant": str(TODAY)}
    assert post(client, here.dora, case, "review_seen", "year", **typed).status_code == 302


def test_a_decision_that_nothing_seen_speaks_for_is_asked_about(client, here, case):
    typed = {
        **{"decision": "reline", "signs": ["fit_good"], "reason": "wishes it"},
        "password": PASSWORD,
    }
    words = words_of(post(client, here.dora, case, "review_decide", **typed), 422)
    assert (
        "What was seen speaks for: leave it as it is. None of it speaks for: reline. Say under "
        "Reason why it is decided so. Correct it, or tick below." in words
    )
    assert "wishes it" in words
    assert not ReviewEntry.objects.exists()
    typed |= {"all_the_same": "reline:fit_good"}
    assert post(client, here.dora, case, "review_decide", **typed).status_code == 302
    assert "Reason: wishes it" in read(client, here.dora, case)


def test_a_natural_tooth_sends_the_bench_to_the_dentist_and_not_the_dentist(client, here, case):
    typed = {"act": "reduction", "teeth": "34", "happened_on": DAY}
    said = "34 is no denture tooth, and nothing else is ground."
    words = words_of(post(client, here.dora, case, **typed), 422)
    assert f"{said} What you decide about it stands in the records of the patient." in words
    words = words_of(post(client, here.tomas, case, **typed), 422)
    assert f"{said} Ask the dentist about what you found on it." in words


def test_an_empty_review_and_an_unknown_one_are_refused(client, here, case):
    answer = post(client, here.dora, case, "review_seen", "first", happened_on=DAY)
    assert "Answer at least one line of what was looked at." in words_of(answer, 422)
    assert post(client, here.dora, case, "review_seen", "tenth").status_code == 404


# What is typed into a small form, and the line or the refusal that it makes.
TYPED = [
    (
        {"act": "spot", "place": "right tuberosity", "relieved": "yes"},
        "pressure spot, right tuberosity, relieved",
    ),
    (
        {"act": "liner", "liner": "soft liner", "product": "silicone", "lot": "SL-4"},
        "soft liner placed, silicone, lot SL-4",
    ),
    ({"act": "liner", "liner": "none"}, "liner taken out"),
    ({"act": "liner", "liner": "soft liner"}, "Enter the lot, as its label says."),
    (
        {"act": "reduction", "teeth": "16", "depth_mm": "0,2"},
        "denture tooth 16 adjusted, 0.2 mm off",
    ),
    ({"act": "reduction", "teeth": "46"}, "46 is no denture tooth, and nothing else is ground."),
    ({"act": "mounted", "agreement_mm": "0"}, "Take a record in the mouth and log it"),
    (
        {"act": "pass", "movement": "centric", "teeth": "16 26", "as_wanted": "yes"},
        "centric, as wanted: 16, 26",
    ),
    (
        {"act": "done", "decision": "reline", "product": "resin", "lot": "R-1"},
        "reline done, resin, lot R-1",
    ),
    ({"act": "seen"}, "Choose what was done, then fill its boxes."),
]


@pytest.mark.parametrize(("typed", "said"), TYPED, ids=lambda one: str(one)[:40])
def test_each_small_form_makes_its_line_or_says_why_not(client, here, case, typed, said):
    answer = post(client, here.dora, case, **{"happened_on": DAY, **typed})
    words = read(client, here.dora, case) if answer.status_code == 302 else words_of(answer, 422)
    assert said in words


def test_a_technician_logs_the_remount_and_the_reline_and_no_review(client, here, case):
    words = read(client, here.tomas, case)
    assert "Log: contacts" in words
    assert "Log: pressure spot" not in words
    spot = {"act": "spot", "place": "x", "relieved": "yes", "happened_on": DAY}
    assert post(client, here.tomas, case, **spot).status_code == 403


def test_the_decision_is_signed_with_the_password_and_a_reason(client, here, case):
    typed = {"decision": "reline", "signs": ["fit_only"], "reason": "loose", "password": "no"}
    answer = post(client, here.dora, case, "review_decide", **typed)
    assert "That is not your password." in words_of(answer, 422)
    assert not ReviewEntry.objects.exists()
    typed |= {"password": PASSWORD}
    assert post(client, here.dora, case, "review_decide", **typed).status_code == 302
    words = read(client, here.farah, case)
    assert "Decided, not done" in words
    assert "Reason: loose" in words


def test_a_line_is_struck_out_with_its_reason_by_whose_work_it_is(client, here, case):
    row = walk_review.log(case, here.dora, "spot", place="right", relieved=True)
    url = reverse("reviews_strike", args=[case.code, row.pk])
    client.force_login(here.tomas)
    assert client.post(url, {"reason": "x"}).status_code == 403
    client.force_login(here.dora)
    assert client.post(url, {}).status_code == 422
    assert client.post(url, {"reason": "left, not right"}).status_code == 302
    assert "left, not right" in read(client, here.lena, case)


def test_the_case_tells_the_story_on_its_page(client, here, case):
    assert "Next: day after delivery, " in read(client, here.farah, case, "case")
    walk_review.decide(case, here.dora, "remake", signs=["look"], note="wishes other teeth")
    post(client, here.farah, case, "remake", reason="teeth", in_words="")
    words = read(client, here.farah, case)
    made = case.remakes.get().case
    assert f"Made again in case {codes.grouped(made.code)} (it stands at draft)" in words
    assert "Not needed: made again" in words
    client.force_login(here.lena)
    page = client.get(reverse("reviews", args=[case.code])).content.decode()
    assert f'href="{reverse("case", args=[made.code])}"' in page
    words = read(client, here.farah, case, "case")
    assert "Decided: remake; made again in case" in words
    assert "Place or form of the teeth" in words
