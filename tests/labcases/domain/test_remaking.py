"""Making a denture again: a new case, its reason on both, and what is carried over."""

import pytest

from labcases.domain import pairs, remaking, stages
from labcases.domain.remaking import NotRemade
from labcases.enums import Stage
from labcases.models import Case, Remake
from labcases.views._sentences import sentence
from tests.factories import world


@pytest.fixture
def here(db):
    return world()


def remake(case, by, reason="fit", words="The ridge has healed."):
    return remaking.open_remake(case=case, reason=reason, words=words, by=by)


def test_the_new_case_is_of_the_same_arch_and_carries_the_choices(here):
    old = here.case_at(Stage.DELIVERED, shade="A3")
    new = remake(old, here.farah)
    row, signed = new.prescription, old.prescription
    assert (new.stage, new.patient, new.office, new.laboratory) == (
        *(Stage.DRAFT, old.patient, old.office, old.laboratory),
    )
    carried = ("arch", "shade", "shade_system", "base_material", "tooth_material", "scheme")
    for field in carried:
        assert getattr(row, field) == getattr(signed, field) != "", field
    assert (new.surgery_on, row.teeth, row.allergy) == (None, {}, "not asked")
    assert pairs.other(new) is None


def test_both_histories_say_so_with_the_reason(here):
    old = here.case_at(Stage.DELIVERED)
    new = remake(old, here.farah)
    acts = {"remade", "opened as a remake"}
    told = [sentence(e) for c in (old, new) for e in c.history.filter(act__in=acts)]
    a, b = (f"{c.code[:4]}-{c.code[4:8]}-{c.code[8:]}" for c in (new, old))
    reason = "Reason: Fit on the healed ridge. The ridge has healed."
    assert told == [
        f"Farah Kline (office desk) had the denture made again, in case {a}. {reason}",
        f"Farah Kline (office desk) opened the case in place of case {b}. {reason}",
    ]
    assert remaking.made_from(new).old == old
    assert [one.case for one in remaking.remakes_of(old)] == [new]


@pytest.mark.parametrize(
    ("reason", "words", "text"),
    [
        ("", "x", "Choose the reason."),
        ("somebody", "x", "Choose the reason."),
        ("other", "  ", "Say the reason in words."),
    ],
)
def test_without_a_reason_nothing_is_opened(here, reason, words, text):
    old = here.case_at(Stage.DELIVERED)
    with pytest.raises(NotRemade, match=text):
        remake(old, here.dora, reason, words)
    assert Case.objects.count() == 1


def test_before_the_processing_it_is_a_revision(here):
    old = here.case_at(Stage.SET_UP)
    with pytest.raises(NotRemade, match="Until the processing a change is"):
        remake(old, here.dora)


def test_one_remake_is_open_at_a_time(here):
    old = here.case_at(Stage.DELIVERED)
    new = remake(old, here.dora)
    with pytest.raises(NotRemade, match="A remake of this denture is open already"):
        remake(old, here.dora)
    stages.move(case=new, to=Stage.CANCELLED, by=here.dora, reason="the patient moved away")
    remake(old, here.dora, "other", "Another try.")
    assert Remake.objects.filter(old=old).count() == 2
