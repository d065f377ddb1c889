"""Reporting brings a case back, takes back and tells in one act; later it is closed or struck."""

from __future__ import annotations

import pytest
from django.utils import timezone

from labcases.domain import casts, gates, incident, stages, teeth_needed, tooth_orders
from labcases.domain import incident_reading as reading
from labcases.domain.foreseeing import Report
from labcases.domain.incident import AlreadyClosed, NotReportable, ReportedMeanwhile
from labcases.domain.stages import Refused
from labcases.enums import Stage
from labcases.models import Case, Incident, PastMounting
from labcases.reference.incidents import kinds
from labcases.views._sentences import sentence


def told(key, answer="", **more):
    return Report(kind=kinds()[key], text=more.pop("text", "it fell"), answer=answer, **more)


def report(walk, key, by, answer="", *, seen=None, seen_last=None, **more):
    case = walk.reload()
    return incident.report(
        case=case,
        report=told(key, answer, **more),
        seen=Stage(case.stage) if seen is None else seen,
        seen_last=incident.last_of(case) if seen_last is None else seen_last,
        by=by,
    )


@pytest.fixture
def waxed(before):
    """A case in final wax, tried in, its wax approved."""
    return before(Stage.PROCESSING)


def test_a_broken_cast_brings_the_case_back_and_everything_on_it_falls(waxed):
    cast = waxed.case.casts.create(arch="upper", kind="master", by=waxed.hands.technician)

    row = report(waxed, "broken-cast", waxed.hands.technician, "own", cast=cast)

    case = waxed.reload()
    assert case.stage == Stage.MASTER_CAST
    assert (row.stage_before, row.stage_after, row.days_lost) == (
        *(Stage.FINAL_WAX, Stage.MASTER_CAST),
        11,
    )
    assert row.told == ["office", "laboratory"]
    assert "The dentist's approval of the final wax and of the trimming falls." in row.undid
    assert case.final_wax.approved_at is None
    assert PastMounting.objects.get(case=case).reason == "incident: a cast broke"
    assert cast.looks.get().state == "broken"
    said = [sentence(entry) for entry in case.history.order_by("id")]
    assert any(
        "reported that something went wrong: A cast broke, a cast of the denture's arch, upper "
        "master cast. Reason: it fell." in one
        for one in said
    )
    assert any(
        "brought the case back from final wax to master cast and rims through an incident: a cast "
        "broke." in one
        for one in said
    )


def poured(walk, arch, **more):
    values = {"arch": arch, "kind": "master", **more}
    return casts.add_cast(case=walk.reload(), by=walk.hands.technician, values=values)


def lacks(walk, to):
    return [item for item in stages.missing(walk.reload(), to) if item.part == "casts"]


def test_nothing_goes_on_after_a_cast_broke_until_a_new_one_of_its_arch_is_entered(waxed):
    poured(waxed, "upper")
    report(waxed, "broken-cast", waxed.hands.technician, "own")

    assert [(item.text, item.passable) for item in lacks(waxed, Stage.JAW_RECORDS)] == [
        (
            "A report says that a cast of the upper arch broke, and no new one is entered since. "
            "Enter and inspect the new cast, or close the report with what was done.",
            "pass a manager's gate",
        )
    ]
    poured(waxed, "lower")
    assert len(lacks(waxed, Stage.JAW_RECORDS)) == 1
    poured(waxed, "upper")
    assert lacks(waxed, Stage.JAW_RECORDS) == []


def test_the_cast_that_was_chosen_says_which_arch_a_new_one_is_needed_of(waxed):
    lower = poured(waxed, "lower")
    row = report(waxed, "broken-cast", waxed.hands.technician, "opposing", cast=lower)
    poured(waxed, "upper")

    assert "of the lower arch broke" in lacks(waxed, Stage.JAW_RECORDS)[0].text
    incident.close(incident=row, done="The pieces fit and were joined.", by=waxed.hands.manager)
    assert lacks(waxed, Stage.JAW_RECORDS) == []


def test_a_broken_cast_keeps_no_case_from_going_back(waxed):
    report(waxed, "broken-cast", waxed.hands.technician, "own")
    Case.objects.filter(pk=waxed.case.pk).update(stage=Stage.SET_UP)

    assert lacks(waxed, Stage.SETTINGS) == []
    assert "of the upper arch broke" in lacks(waxed, Stage.FINAL_WAX)[0].text


def test_a_tooth_that_was_ground_through_is_the_only_one_that_is_replaced(waxed):
    hands = waxed.hands
    row = report(waxed, "perforated-tooth", hands.technician, teeth=["16"])
    need = teeth_needed.need_of(waxed.reload(), "upper-posterior")

    def lacking():
        return [one for one in stages.missing(waxed.reload(), Stage.FINAL_WAX) if "16" in one.text]

    assert teeth_needed.set_of(waxed.reload(), need).state == "in hand"
    assert [(one.text, one.part, one.field, one.passable) for one in lacking()] == [
        (
            "Tooth 16 was ground through, and none in its place is entered. Take one from stock, "
            "order it, or say that it is here; or close the report with what was done.",
            *("teeth", "upper-posterior", "pass a manager's gate"),
        )
    ]
    told = {**teeth_needed.wanted(waxed.case, "posterior"), "lot": "T-9"}
    about = {"case": waxed.case, "need": need, "by": hands.technician, "tooth": "16"}
    with pytest.raises(tooth_orders.NeedsReason, match="the reason why tooth 16 is replaced"):
        tooth_orders.enter(values=told, **about)
    first = tooth_orders.order(values=told, reason="ground through", **about)
    assert lacking()[0].text == "Tooth 16 is ordered and not here."
    here = {"arrived_on": timezone.localdate(), "counted": 1}
    tooth_orders.arrived(row=first, version=1, by=hands.technician, values=here)
    assert lacking() == []

    incident.close(incident=row, done="Replaced.", by=hands.technician)
    report(waxed, "perforated-tooth", hands.technician, teeth=["16"])
    first.refresh_from_db()
    assert (first.state, len(lacking())) == ("not used", 1)


def test_what_fell_is_asked_for_again_on_the_way_forward(waxed):
    report(waxed, "broken-cast", waxed.hands.technician, "own")
    poured(waxed, "upper")
    for stage in (Stage.JAW_RECORDS, Stage.MOUNTING):
        waxed.move(stage, waxed.hands.technician)

    with pytest.raises(Refused) as refused:
        waxed.move(Stage.SETTINGS, waxed.hands.technician)

    assert "Inspect the casts and tick it." in [item.text for item in refused.value.items]


def test_of_two_who_report_at_once_the_second_sees_the_first_and_writes_nothing(waxed):
    seen, last = Stage.FINAL_WAX, incident.last_of(waxed.case)
    report(waxed, "broken-cast", waxed.hands.technician, "own")
    lines = waxed.reload().history.count()

    with pytest.raises(ReportedMeanwhile) as refused:
        report(waxed, "perforated-tooth", waxed.hands.manager, seen=seen, seen_last=last)

    assert str(refused.value).startswith(
        "Tomas Abelard reported something of this case first: A cast broke. Nothing of yours is "
        "saved."
    )
    assert [row.title for row in refused.value.incidents] == ["A cast broke"]
    assert Incident.objects.count() == 1
    assert waxed.reload().history.count() == lines


def test_a_case_that_was_moved_meanwhile_is_looked_at_again(waxed):
    with pytest.raises(ReportedMeanwhile, match="The case now stands at final wax: somebody"):
        report(waxed, "broken-cast", waxed.hands.technician, "own", seen=Stage.SET_UP)


REFUSED = [
    ("flask-failed", "technician", "wax", {}, "this is not reported at final wax"),
    ("patient-died", "technician", "end", {}, "or not by your role"),
    ("broken-cast", "technician", "", {}, "Which cast? Choose: A cast of the denture's arch"),
    ("surgery-cancelled", "office_desk", "end", {}, "Choose: On hold: it may be taken up"),
    (
        "perforated-tooth",
        "technician",
        "",
        {"teeth": ["46"]},
        "lower right first molar, 46 (Universal 30): no denture tooth of this case.",
    ),
]


@pytest.mark.parametrize(("key", "who", "answer", "more", "sentence"), REFUSED)
def test_what_cannot_have_happened_is_refused_in_words(waxed, key, who, answer, more, sentence):
    with pytest.raises(NotReportable) as refused:
        report(waxed, key, getattr(waxed.hands, who), answer, **more)

    assert sentence in str(refused.value)
    assert not Incident.objects.exists()
    assert waxed.reload().stage == Stage.FINAL_WAX


def test_a_denture_tooth_may_be_ground_through(waxed):
    row = report(waxed, "perforated-tooth", waxed.hands.technician, teeth=["16"])

    case = waxed.reload()
    assert case.stage == Stage.SET_UP
    assert incident.in_words(row) == (
        "A denture tooth was ground through, upper right first molar, 16 (Universal 3)"
    )
    assert list(gates.teeth_in_hand(case)) == []
    assert case.try_ins.last().taken_back == ""


def test_a_denture_that_is_made_again_goes_through_every_gate_again(before):
    walk = before(Stage.DISPATCHED)

    report(walk, "denture-failed", walk.hands.technician, "again")

    case = walk.reload()
    assert case.stage == Stage.MOUNTING
    assert case.release.agent == ""
    assert not case.remount_entries.filter(struck_at=None).exists()
    assert list(gates.teeth_in_hand(case))
    assert case.try_ins.last().taken_back == ""


def test_it_is_new_to_those_who_are_told_until_they_have_read_it(waxed, cast):
    row = report(waxed, "disagreeing-record", waxed.hands.technician)
    case = waxed.reload()

    def new_to(user):
        return reading.unread(user, case)

    assert new_to(cast.dora) == [row]
    assert new_to(cast.farah) == [row]
    assert new_to(cast.mona) == []
    assert new_to(cast.tomas) == []
    assert new_to(cast.olga) == []
    reading.mark_read(user=cast.dora, incidents=[row, row])
    assert reading.open_to(cast.dora) == [reading.Report(row, new=False)]
    assert reading.open_to(cast.farah) == [reading.Report(row, new=True)]


def test_it_is_closed_with_what_was_done_and_is_then_no_longer_new(waxed, cast):
    row = report(waxed, "broken-cast", cast.tomas, "own")

    incident.close(incident=row, done=" Poured again. ", by=cast.mona)

    row.refresh_from_db()
    assert (row.done, row.closed_by, row.is_open) == ("Poured again.", cast.mona, False)
    assert reading.open_to(cast.dora) == []
    with pytest.raises(AlreadyClosed, match="closed or struck out already"):
        incident.close(incident=row, done="Twice.", by=cast.mona)


def test_nothing_is_closed_without_saying_what_was_done(waxed, cast):
    row = report(waxed, "broken-cast", cast.tomas, "own")

    with pytest.raises(ValueError, match="Write what was done about it"):
        incident.close(incident=row, done="  ", by=cast.mona)


def test_a_wrong_report_is_struck_out_and_what_it_took_back_stays_taken_back(waxed, cast):
    row = report(waxed, "broken-cast", cast.tomas, "own")

    incident.strike(incident=row, reason="It was another case.", by=cast.tomas)

    case = waxed.reload()
    row.refresh_from_db()
    assert row.struck_reason == "It was another case."
    assert case.stage == Stage.MASTER_CAST
    assert case.final_wax.approved_at is None
    assert reading.open_to(cast.mona, [case]) == []
    with pytest.raises(incident.AlreadyStruck):
        incident.strike(incident=row, reason="Again.", by=cast.tomas)


def test_one_strikes_out_ones_own_and_dentist_and_manager_any(waxed, cast):
    row = report(waxed, "broken-cast", cast.tomas, "own")

    may = {
        user.username: incident.may_strike(user, row)
        for user in (cast.tomas, cast.lena, cast.mona, cast.dora, cast.farah, cast.olga)
    }

    assert may == {
        **{"tomas": True, "lena": False, "mona": True},
        **{"dora": True, "farah": False, "olga": False},
    }


def test_a_stage_is_changed_by_the_table_of_stages_only(waxed):
    report(waxed, "disagreeing-record", waxed.hands.technician)

    entry = waxed.reload().history.filter(part="stage").order_by("id").last()
    assert (entry.act, entry.changes) == ("brought back", {"stage": ["Final wax", "Jaw records"]})
    assert stages.next_stages(waxed.case)[0] == Stage.MOUNTING
