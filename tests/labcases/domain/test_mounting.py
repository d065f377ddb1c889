"""What counts as a verified mounting, by record, way and result; and what to mind of one."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.domain import bench, casts, gates, jaw_records, mounting
from labcases.models import Mounting, Organisation, PastMounting
from tests.factories import world

D = Decimal
MI, CR = "maximum intercuspation", "centric relation"
FOIL, SECOND, SPLIT = "foil", "second record", "split cast"
YES, NO, OPEN = "agreed", "not agreed", "not verified yet"

# Jaw record, way, result (foil points, pairs, mm of difference, split cast closes) -> verdict.
TABLE = [
    *((record, "", {}, OPEN) for record in ("", MI, CR)),
    *(("", way, {}, OPEN) for way in (FOIL, SECOND, SPLIT)),
    ("", FOIL, {"foil_points": 4, "foil_pairs": "16/46"}, OPEN),
    ("", SECOND, {"agreement_mm": "0"}, OPEN),
    ("", SPLIT, {"split_cast_closes": True}, OPEN),
    (MI, FOIL, {}, OPEN),
    (MI, FOIL, {"foil_points": 0}, NO),
    (MI, FOIL, {"foil_points": 2, "foil_pairs": "16/46, 26/36"}, NO),
    (MI, FOIL, {"foil_points": 3}, OPEN),
    (MI, FOIL, {"foil_points": 3, "foil_pairs": "16/46, 26/36, 11/41"}, YES),
    (MI, FOIL, {"foil_points": 8, "foil_pairs": "16/46"}, YES),
    (MI, FOIL, {"foil_pairs": "16/46"}, OPEN),
    (MI, SECOND, {}, OPEN),
    (MI, SECOND, {"agreement_mm": "0"}, OPEN),
    (MI, SECOND, {"agreement_mm": "2"}, OPEN),
    (MI, SPLIT, {}, OPEN),
    (MI, SPLIT, {"split_cast_closes": True}, OPEN),
    (CR, FOIL, {}, OPEN),
    (CR, FOIL, {"foil_points": 4, "foil_pairs": "16/46"}, OPEN),
    (CR, SECOND, {}, OPEN),
    (CR, SECOND, {"agreement_mm": "0"}, YES),
    (CR, SECOND, {"agreement_mm": "0.3"}, YES),
    (CR, SECOND, {"agreement_mm": "0.31"}, NO),
    (CR, SECOND, {"agreement_mm": "5", "split_cast_closes": True}, NO),
    (CR, SPLIT, {}, NO),
    (CR, SPLIT, {"split_cast_closes": True}, YES),
    (CR, SPLIT, {"split_cast_closes": False, "agreement_mm": "0"}, NO),
]


def entered(record, way, result):
    told = {**result}
    if "agreement_mm" in told:
        told["agreement_mm"] = D(told["agreement_mm"])
    return Mounting(jaw_record=record, verified_by_method=way, **told)


@pytest.mark.parametrize(("record", "way", "result", "word"), TABLE)
def test_a_mounting_is_judged_by_record_way_and_result(record, way, result, word):
    verdict = mounting.judge(entered(record, way, result))

    assert verdict.word == word
    assert verdict.text.endswith(".")


@pytest.mark.parametrize(
    ("record", "way", "result", "text"),
    [
        (MI, FOIL, {"foil_points": 2}, "Foil is held at 2 of at least 3 spread points."),
        (
            *(CR, SECOND, {"agreement_mm": "0.50"}),
            "The second record differs by 0.5 mm; up to 0.3 mm agrees.",
        ),
        (CR, SPLIT, {}, "The split cast does not close, or that it does is not ticked."),
        (
            *(MI, SPLIT, {}),
            "A mounting in maximum intercuspation is verified another way: foil held at spread "
            "points.",
        ),
        (
            *(CR, FOIL, {}),
            "A mounting in centric relation is verified another way: second record agrees or "
            "split cast closes.",
        ),
    ],
)
def test_a_verdict_says_why(record, way, result, text):
    assert mounting.judge(entered(record, way, result)).text == text


@pytest.mark.parametrize(
    ("record", "way", "result", "words"),
    [
        (
            *(CR, SECOND, {"agreement_mm": "0.4"}),
            "The second record differs by 0.4 mm; up to 0.25 mm agrees. Limit of the laboratory: "
            "0.25 mm (common practice, no source).",
        ),
        (
            *(CR, SECOND, {"agreement_mm": "0.25"}),
            "The second record differs by 0.25 mm. Limit of the laboratory: 0.25 mm (common "
            "practice, no source).",
        ),
        (
            *(MI, FOIL, {"foil_points": 3, "foil_pairs": "16/46"}),
            "Foil is held at 3 points: 16/46. Foil of the laboratory: 12 µm (common practice, no "
            "source).",
        ),
        (CR, SPLIT, {"split_cast_closes": True}, "The split cast closes."),
    ],
)
def test_the_limit_of_the_laboratory_stands_beside_the_verdict(record, way, result, words):
    own = mounting.Limits(agree_mm=D("0.25"), foil_um=12)

    assert mounting.judge(entered(record, way, result), own).whole == words


# -- with rows ----------------------------------------------------------------------------------


@pytest.fixture
def here(db):
    return world()


@pytest.fixture
def case(here):
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def mount(here, case, **values):
    row = getattr(case, "mounting", None)
    bench.save_mounting(case=case, version=row.version if row else 0, by=here.tomas, values=values)
    return type(case).objects.get(pk=case.pk)


def codes(case):
    return [one.code for one in mounting.cautions(case)]


@pytest.mark.parametrize(("record", "way", "result", "word"), TABLE)
def test_the_gate_into_the_settings_asks_for_exactly_what_is_not_agreed(
    here, case, record, way, result, word
):
    row = entered(record, way, result)
    row.case, row.casts_inspected, row.transfer, row.pin_zero_mm = case, True, "average", D(0)
    row.save()

    assert (list(gates.mounted(type(case).objects.get(pk=case.pk))) == []) is (word == YES)


def test_the_gate_uses_the_limit_that_the_laboratory_has_set(here, case):
    case = mount(
        *(here, case),
        **{"casts_inspected": True, "transfer": "average values", "pin_zero_mm": D(0)},
        **{"jaw_record": CR, "verified_by_method": SECOND, "agreement_mm": D("0.3")},
    )
    assert list(gates.mounted(case)) == []

    Organisation.objects.filter(pk=here.laboratory.pk).update(records_agree_mm=D("0.2"))

    assert [item.text for item in gates.mounted(type(case).objects.get(pk=case.pk))] == [
        "In centric relation the mounting is verified when a second record agrees within 0.2 mm "
        "or the split cast closes. Enter which."
    ]


def test_a_past_mounting_keeps_the_limit_of_its_day(here, case):
    case = mount(here, case, jaw_record=CR, verified_by_method=SECOND, agreement_mm=D("0.3"))
    mounting.keep_as_past(row=case.mounting, by=here.tomas, reason="rocks")
    Organisation.objects.filter(pk=here.laboratory.pk).update(records_agree_mm=D("0.2"))

    past = PastMounting.objects.get()
    assert (past.verdict, past.said) == (
        YES,
        "The second record differs by 0.3 mm. Limit of the laboratory: 0.3 mm (common practice, "
        "no source).",
    )


def taken(here, case, kind=MI, **more):
    values = {"kind": kind, "taken_at": timezone.now(), "taken_by": "Dora Winsley"}
    return jaw_records.add(case=case, by=here.tomas, values=values | more)


def test_a_sound_mounting_is_nothing_to_mind(here, case):
    upper = casts.add_cast(case=case, by=here.tomas, values={"kind": "master", "arch": "upper"})
    casts.look_at(cast=upper, by=here.tomas, values={"state": "good"})

    case = mount(
        *(here, case),
        **{"casts_inspected": True, "upper_cast": upper, "record": taken(here, case)},
        jaw_record=MI,
    )

    assert codes(case) == []


def test_the_casts_that_are_mounted_are_held_against_what_is_known_of_them(here, case):
    lower = casts.add_cast(case=case, by=here.tomas, values={"kind": "opposing", "arch": "lower"})
    case = mount(here, case, casts_inspected=True, lower_cast=lower)
    assert codes(case) == ["cast-not-inspected"]

    casts.look_at(cast=lower, by=here.tomas, values={"state": "broken"})
    assert codes(type(case).objects.get(pk=case.pk)) == ["mounted-cast-broken"]

    casts.strike(row=lower, reason="gone", by=here.tomas)
    assert codes(type(case).objects.get(pk=case.pk)) == ["cast-struck-out"]


def test_the_record_is_held_against_what_the_mounting_says(here, case):
    record = taken(here, case, CR)
    case = mount(here, case, jaw_record=MI, record=record)
    assert codes(case) == ["record-of-another-kind"]

    jaw_records.strike(row=record, reason="wrong", by=here.tomas)
    case = type(case).objects.get(pk=case.pk)
    assert codes(case) == ["record-struck-out", "record-of-another-kind"]


def test_an_old_record_is_pointed_out_after_a_new_one_was_asked_for(here, case):
    old = taken(here, case, taken_at=timezone.now() - timedelta(days=1))
    case = mount(here, case, jaw_record=MI, record=old, transfer="average values")
    mounting.keep_as_past(row=case.mounting, by=here.tomas, reason="rocks", asked="new record")
    assert codes(case) == ["record-is-the-old-one"]

    case = mount(here, case, record=taken(here, case))

    assert codes(case) == []


def test_two_planes_are_pointed_out(here):
    walk = here.walk()
    walk.prescribe()
    case = mount(here, walk.reload(), reference_plane="ala-tragus plane")
    assert codes(case) == []

    walk.enter_settings()

    assert codes(walk.reload()) == ["planes-differ"]
    assert "the ala-tragus plane, the settings are read against the axis plane" in (
        mounting.cautions(walk.reload())[0].text
    )


def test_a_record_says_which_casts_it_mounted(here, case):
    upper = casts.add_cast(
        case=case, by=here.tomas, values={"kind": "master", "arch": "upper", "lot": "G-7"}
    )
    record = taken(here, case)
    case = mount(here, case, upper_cast=upper, record=record, jaw_record=MI)
    mounting.keep_as_past(row=case.mounting, by=here.tomas, reason="rocks")
    Mounting.objects.update(number=2)

    assert mounting.mounted_by(type(case).objects.get(pk=case.pk)) == {
        record.pk: ["mounting 1: upper master cast, G-7", "mounting 2: upper master cast, G-7"]
    }
    assert PastMounting.objects.get().verdict == OPEN
