"""Proposals as people meet them: raising, reading what hangs on them, answering, withdrawing."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.enums import SetUpAct, Stage
from labcases.enums.proposals import ProposalKind
from labcases.models import Proposal
from tests.factories import PASSWORD, world
from tests.labcases.domain.test_proposal_answer import propose
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

K = ProposalKind
D = Decimal


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.SET_UP)
    return walk


def address(name, case, *more):
    return reverse(name, args=[case.code, *more])


def send(user, row, **typed):
    data = {"version": row.version, "text": "", **typed}
    return logged_in(user).post(address("proposal", row.case, row.pk), data)


def say(answer):
    return " ".join(text_of(answer).split())


def test_a_tooth_is_chosen_with_what_is_left_of_its_height_budget(here, walk):
    client = logged_in(here.tomas)
    chosen = address("proposal_new", walk.case, "reduction")
    assert "15 (Universal 4), upper right second premolar: 0.3 mm of its budget left" in text_of(
        client.get(chosen)
    )
    walk.log(SetUpAct.REDUCTION, teeth=["15"], after_mm=Decimal("0.4"))
    assert "second premolar: 0.1 mm over its budget" in text_of(client.get(chosen))


@pytest.mark.parametrize(
    ("slug", "typed", "words"),
    [
        (
            "setting",
            {"field": "incisal_table_deg", "to": "15,5", "basis": "check record"},
            "Incisal table 20 deg → 15.5 deg",
        ),
        (
            "reduction",
            {"tooth": "15", "depth_mm": "0.5"},
            "Reduce denture tooth 15 (Universal 4) by 0.5 mm, beyond its height budget",
        ),
        ("natural-tooth", {"tooth": "46"}, "Natural tooth 46 (Universal 30): the dentist decides"),
        ("vertical", {"agreed_mm": "2"}, "The dentist raises the vertical by 2 mm"),
        (
            "arrangement",
            {"tooth": "11"},
            "Another arrangement than the natural one at 11 (Universal 8)",
        ),
    ],
)
def test_the_bench_proposes_each_kind_and_the_page_says_it(here, walk, slug, typed, words):
    client = logged_in(here.tomas)
    page = client.get(address("proposal_new", walk.case, slug))
    answer = client.post(
        address("proposal_new", walk.case, slug), {"why": "so that it fits", **typed}, follow=True
    )

    assert page.status_code == 200
    told = say(answer)
    assert words in told
    assert "Proposal 1 waits for the dentist. The case waits for the answer." in told
    assert "What hangs on the answer" in told
    assert "The dentist answers it on this page." in told


@pytest.mark.parametrize(
    ("slug", "typed", "words"),
    [
        ("setting", {"field": "", "to": "15", "basis": "marks"}, "Choose the setting that is to"),
        (
            "setting",
            {"field": "bennett_left_deg", "to": "15.55", "basis": "marks"},
            "15.55 deg is finer than an articulator shows. Enter tenths.",
        ),
        ("setting", {"field": "bennett_left_deg", "to": "99", "basis": "marks"}, "Enter 0 to 40"),
        ("setting", {"field": "bennett_left_deg", "to": "20"}, "Say what the change rests on."),
        ("reduction", {"tooth": "46", "depth_mm": "0.5"}, "Choose a denture tooth that has a"),
        ("reduction", {"tooth": "15", "depth_mm": "0.2"}, "so it needs no proposal"),
        ("natural-tooth", {"tooth": "15"}, "Choose the natural tooth at which it was found."),
        ("vertical", {"agreed_mm": "11"}, "Enter -2 to 10 mm"),
        ("arrangement", {"tooth": "11", "why": ""}, "Say how the tooth is set otherwise"),
    ],
)
def test_what_cannot_be_proposed_keeps_what_was_typed(here, walk, slug, typed, words):
    data = {"why": "kept words", **typed}
    answer = logged_in(here.tomas).post(address("proposal_new", walk.case, slug), data)

    assert answer.status_code == 422
    assert words in say(answer)
    assert data["why"] in answer.content.decode()
    assert not Proposal.objects.exists()


def test_a_natural_tooth_is_offered_no_box_for_a_number(here, walk):
    url = address("proposal_new", walk.case, "natural-tooth")
    form = logged_in(here.tomas).get(f"{url}?tooth=46&why=46%20stands%20out&depth_mm=0.4").context

    assert list(form["form"].fields) == ["tooth", "why", "aside"]
    assert form["form"]["why"].value() == "46 stands out"


def test_the_dentist_reads_what_hangs_on_each_answer_and_answers(here, walk):
    row = propose(walk, K.SETTING)
    page = say(logged_in(here.dora).get(address("proposal", walk.case, row.pk)))
    for words in (
        "The case goes back to settings",
        "The clearance check goes stale.",
        "The setting stays as it is.",
        "Surgery",
    ):
        assert words in page

    answer = send(here.dora, row, answer="change", number="33,5", text="between the two")

    assert answer.status_code == 302
    assert walk.reload().stage == Stage.SETTINGS
    told = say(logged_in(here.tomas).get(answer["Location"]))
    assert "Yes, with a change: 33.5 deg. between the two" in told
    assert "What hung on the answer" in told


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Answer yes, no, or yes with a change."),
        ({"answer": "change"}, "Enter your number, for a yes with a change."),
        ({"answer": "change", "number": "90"}, "Enter 0 to 75"),
    ],
)
def test_an_answer_that_is_not_whole_is_refused_in_words(here, walk, typed, words):
    row = propose(walk, K.SETTING)
    answer = send(here.dora, row, **typed)

    assert answer.status_code == 422
    assert words in say(answer)
    assert Proposal.objects.get().waits


def test_a_new_vertical_is_answered_with_the_password_again(here, walk):
    row = propose(walk, K.VERTICAL)
    typed = {"answer": "yes", "signed_name": "Dora Winsley", "licence_number": "D-7781"}
    refused = send(here.dora, row, **typed, password="a guess")
    assert refused.status_code == 422
    assert "That is not your password. Nothing was signed; type it again." in say(refused)
    assert Proposal.objects.get().waits

    assert send(here.dora, row, **typed, password=PASSWORD).status_code == 302
    assert walk.reload().stage == Stage.JAW_RECORDS
    told = say(logged_in(here.mona).get(address("proposal", walk.case, row.pk)))
    assert f"licence D-7781; digest {Proposal.objects.get().digest[:16]}" in told
    settings = say(logged_in(here.tomas).get(address("settings", walk.case)))
    assert "Agreed with the dentist: 2 mm from pin zero, by proposal 1" in settings


def test_the_second_of_two_dentists_sees_the_first_answer(here, walk):
    row = propose(walk, K.SETTING)
    send(here.dora, row, answer="no", text="the record is right")
    late = send(here.dora, row, answer="yes")

    assert late.status_code == 409
    assert "answered proposal 1 first: No. the record is right." in say(late)
    assert walk.reload().articulator.condylar_right_deg == 30


def test_a_stale_proposal_says_so_and_takes_no_yes(here, walk):
    row = propose(walk, K.SETTING)
    walk.settings["condylar_right_deg"] = D("32")
    walk.enter_settings()
    page = say(logged_in(here.dora).get(address("proposal", walk.case, row.pk)))
    assert "Stale: it cannot be answered with yes any more" in page
    assert "The right condylar inclination is 32 deg now; it was 30 deg." in page

    answer = send(here.dora, row, answer="yes")

    assert answer.status_code == 422
    assert "Proposal 1 no longer fits the case" in say(answer)


def test_the_bench_withdraws_with_a_reason(here, walk):
    row = propose(walk, K.REDUCTION)
    url = address("proposal_withdraw", walk.case, row.pk)
    client = logged_in(here.mona)
    refused = client.post(url, {"reason": ""})
    assert refused.status_code == 422
    reason = "Give the reason why the proposal is withdrawn."
    assert f"Please correct this {reason}" in say(refused)

    page = say(client.post(url, {"reason": "set again"}, follow=True))

    assert "Withdrawn. set again" in page
    assert client.post(url, {"reason": "again"}).status_code == 409
    nothing = client.post(url, {"reason": ""})
    assert nothing.status_code == 409
    assert "withdrew proposal 1 first" in say(nothing)


def test_settings_lead_to_a_proposal_and_show_what_became_of_it(here, walk):
    page = logged_in(here.tomas).get(address("settings", walk.case)).content.decode()
    assert f'href="{address("proposal_new", walk.case, "setting")}"' in page
    row = propose(walk, K.SETTING)
    send(here.dora, row, answer="yes")
    walk.reload().articulator.__class__.objects.update(condylar_right_deg=31)

    told = say(logged_in(here.tomas).get(address("settings", walk.case)))

    assert "1. Right condylar inclination 30 deg → 35 deg : Yes" in told
    assert "The dentist approved 35 deg; the articulator record has 31 deg now." in told


def test_lists_say_that_a_proposal_waits_and_how_many(here, walk):
    propose(walk, K.NATURAL)
    propose(walk, K.ARRANGEMENT)

    bench, cases = (say(logged_in(here.tomas).get(reverse(name))) for name in ("bench", "cases"))
    desk = say(logged_in(here.farah).get(reverse("desk")))
    case = say(logged_in(here.farah).get(address("case", walk.case)))

    assert "2 proposals to the dentist" in bench
    assert ": a proposal is open" in bench
    assert "2 proposals to the dentist" in cases
    assert (
        "Proposal 1 to the dentist: Natural tooth 46 (Universal 30): the dentist decides." in desk
    )
    assert ": a proposal is open." in case
    assert "2. Another arrangement than the natural one at 11 (Universal 8), waits since" in case


def test_kinds_that_cannot_be_proposed_now_say_why(here):
    case = here.case_at(Stage.ACCEPTED)
    told = say(logged_in(here.tomas).get(address("proposals", case)))
    assert "Change of a setting: There is no articulator record yet. Enter it first." in told
    assert logged_in(here.tomas).get(address("proposal_new", case, "setting")).status_code == 409


def test_sites_lead_to_a_reduction_and_a_new_vertical_and_say_what_is_allowed(here):
    walk = here.walk()
    walk.sites = {"26": {"space_mm": D("6"), "tooth_height_mm": D("7")}}
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    walk.choose_teeth()
    walk.measure()
    page = logged_in(here.tomas).get(address("sites", walk.case)).content.decode()
    way = page[page.index("Only if the dentist raises the vertical by") :]

    assert way[: way.index("</li>")].count(address("proposal_new", walk.case, "vertical")) == 1
    assert f'href="{address("proposal_new", walk.case, "reduction")}"' in page

    send(here.dora, propose(walk, K.REDUCTION), answer="yes")

    told = say(logged_in(here.tomas).get(address("sites", walk.case)))
    assert "0.5 mm allowed by the dentist, proposal 1" in told


def test_nobody_types_that_the_dentist_approved_the_settings(here, walk):
    url = address("settings", walk.case)
    page = logged_in(here.tomas).get(url).content.decode()
    assert 'name="origin" value="approved"' not in page

    send(here.dora, propose(walk, K.SETTING), answer="yes")

    kept = logged_in(here.tomas).get(url).content.decode()
    assert 'name="origin" value="approved"' in kept
