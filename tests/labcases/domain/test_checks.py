"""A kept answer stays as it was given, and says when its inputs are no longer the case's."""

import pytest

from labcases.domain import calculations, checks
from labcases.domain.calculations import CannotCompute
from labcases.enums import CheckKind, Stage
from labcases.models import CheckRun
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    """A case with everything entered that the engine needs, and both checks computed."""
    walk = world().walk()
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    walk.choose_teeth()
    walk.measure()
    walk.compute()
    return walk


def latest(walk, kind=CheckKind.CLEARANCE):
    return checks.latest(walk.reload(), kind)


def test_a_fresh_answer_is_not_stale(walk):
    for kind in CheckKind:
        assert latest(walk, kind).changed == []
        assert not latest(walk, kind).stale


def test_looking_computes_nothing(walk):
    before = CheckRun.objects.count()
    latest(walk)
    assert CheckRun.objects.count() == before


def test_a_changed_setting_makes_it_stale_and_is_named(walk):
    walk.settings["condylar_right_deg"] = 40
    walk.enter_settings()
    shown = latest(walk)
    assert shown.stale
    assert shown.changed == ["condylar right: 30 → 40"]
    assert not latest(walk, CheckKind.HEIGHT).stale


def test_a_setting_put_back_makes_it_current_again(walk):
    for degrees in (40, 30):
        walk.settings["condylar_right_deg"] = degrees
        walk.enter_settings()
    assert not latest(walk).stale


def test_another_engine_makes_every_answer_stale(walk, monkeypatch):
    monkeypatch.setattr(calculations, "ENGINE_VERSION", "99.0.0")
    (change,) = latest(walk).changed
    assert change.startswith("engine: ")
    assert change.endswith(" → 99.0.0")


def test_computing_again_keeps_the_earlier_answer_beside_the_new_one(walk):
    first = latest(walk).run
    walk.compute()
    assert latest(walk).run.pk != first.pk
    assert CheckRun.objects.filter(pk=first.pk).exists()


def test_an_answer_is_kept_with_its_inputs_and_one_entry_in_history(walk):
    case = walk.reload()
    before = case.history.count()
    run = checks.compute(case=case, kind=CheckKind.CLEARANCE, by=walk.hands.technician)
    assert run.inputs["articulator"]["condylar_right_deg"] == 30.0
    assert run.engine_version == calculations.ENGINE_VERSION
    assert case.history.count() == before + 1
    assert (case.history.last().act, case.history.last().part) == ("computed", "clearance check")


def test_the_same_inputs_give_the_same_findings(walk):
    runs = [
        checks.compute(case=walk.reload(), kind=CheckKind.CLEARANCE, by=walk.hands.technician)
        for _ in range(2)
    ]
    assert runs[0].findings == runs[1].findings


def test_a_case_that_lacks_something_is_refused_and_nothing_is_kept():
    here = world()
    case = here.case_at(Stage.DRAFT)
    with pytest.raises(CannotCompute) as refused:
        checks.compute(case=case, kind=CheckKind.CLEARANCE, by=here.tomas)
    assert str(refused.value) == "Enter the articulator record first."
    assert refused.value.part == "settings"
    assert not CheckRun.objects.exists()
    assert checks.latest(case, CheckKind.CLEARANCE) is None
