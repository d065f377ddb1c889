"""The record of a processing: steps in order and in time, materials with lots, nothing erased."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import processing_runs, striking
from labcases.domain import processing_state as states
from labcases.domain.versions import EditConflict
from labcases.enums import Stage
from labcases.management.walk_curing import RECORD
from labcases.models import Handoff
from labcases.views._sentences import sentence
from tests.factories import world

pytestmark = [pytest.mark.django_db]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk().to(Stage.PROCESSING)


@pytest.fixture
def run(here, case):
    return processing_runs.save(case=case, version=0, by=here.tomas, values=RECORD)


def ago(**span):
    return timezone.now().replace(second=0, microsecond=0) - timedelta(**span)


def test_nothing_is_recorded_of_a_case_that_was_not_handed_over(here):
    case = here.walk(patient_code="P-2").to(Stage.ACCEPTED)

    with pytest.raises(processing_runs.NothingToProcess, match="Hand the case over"):
        processing_runs.save(case=case, version=0, by=here.tomas, values=RECORD)
    assert states.run_of(case) is None


def test_the_record_says_what_it_is_processed_by(run):
    assert processing_runs.told(run) == [
        ("Technique", "Flask and water bath"),
        ("Flask", "3"),
        ("Bath", "1"),
        ("Curing cycle", "Short, 2 hours and 1 hour"),
        ("Water when the flask goes in", "cold"),
        ("Trial closures", "2"),
        ("Remount index", "plaster"),
    ]
    assert processing_runs.instructions_of(run).endswith("module 6 (quoted)")


def test_a_milled_base_is_asked_for_no_flask_and_no_cycle(here, case):
    values = {"technique": "milled", "place": "2", "details": {"teeth": "bonded into the base"}}
    run = processing_runs.save(case=case, version=0, by=here.tomas, values=values)

    assert processing_runs.told(run) == [
        *(("Technique", "Milled"), ("Mill", "2"), ("Teeth", "bonded into the base")),
    ]


def test_of_two_who_save_at_once_the_second_is_told(here, case, run):
    processing_runs.save(
        case=case, version=run.version, by=here.mona, values={**RECORD, "flask": "5"}
    )
    with pytest.raises(EditConflict) as told:
        processing_runs.save(
            case=case, version=run.version, by=here.tomas, values={**RECORD, "flask": "6"}
        )
    assert [clash.field for clash in told.value.clashes] == ["flask"]
    assert states.run_of(case).flask == "5"


def test_another_technique_is_refused_once_a_step_is_entered(here, case, run):
    processing_runs.log_step(run=run, step="packed", at=ago(hours=1), by=here.tomas)

    with pytest.raises(ValueError, match="Steps of flask and water bath are entered"):
        processing_runs.save(
            case=case, version=run.version, by=here.tomas, values={**RECORD, "technique": "pour"}
        )


def test_a_step_out_of_order_is_refused_with_both_times(here, run):
    processing_runs.log_step(run=run, step="in bath", at=ago(hours=2), by=here.tomas)

    with pytest.raises(ValueError, match=r"Closed in the press at .* does not go with put in the"):
        processing_runs.log_step(run=run, step="closed", at=ago(hours=1), by=here.tomas)
    with pytest.raises(ValueError, match="taken out of the bath comes after it"):
        processing_runs.log_step(run=run, step="out", at=ago(hours=3), by=here.tomas, words="x")
    assert run.steps.count() == 1


def test_taken_out_before_the_end_of_the_cycle_needs_words_and_keeps_them(here, run):
    processing_runs.log_step(run=run, step="in bath", at=ago(minutes=170), by=here.tomas)

    with pytest.raises(processing_runs.Early, match=r"more monomer in the base. Wait, or say why"):
        processing_runs.log_step(run=run, step="out", at=ago(minutes=1), by=here.tomas)
    assert run.steps.count() == 1
    processing_runs.log_step(
        run=run, step="out", at=ago(minutes=1), by=here.tomas, words="power failed"
    )
    (caution,) = states.of(run).cautions()
    assert caution.code == "out-early"
    assert caution.text.endswith(
        "A shorter cycle leaves more monomer in the base. Why: power failed."
    )


@pytest.mark.parametrize(("minutes_after", "early"), [(29, True), (30, False), (39, False)])
def test_opened_before_the_bench_cooling_ends_is_refused(here, run, minutes_after, early):
    """The bench cooling is 30 minutes in the notes that were read."""
    out = ago(hours=1)
    for step, minutes in (("in bath", 180), ("out", 0)):
        processing_runs.log_step(
            run=run, step=step, at=out - timedelta(minutes=minutes), by=here.tomas
        )
    at = out + timedelta(minutes=minutes_after)
    if early:
        with pytest.raises(processing_runs.Early, match=r"\(30 min\) ends at .* warm warps"):
            processing_runs.log_step(run=run, step="deflasked", at=at, by=here.tomas)
    else:
        processing_runs.log_step(run=run, step="deflasked", at=at, by=here.tomas)
    assert run.steps.filter(step="deflasked").exists() is not early


def test_opened_without_having_been_taken_out_is_refused(here, run):
    processing_runs.log_step(run=run, step="in bath", at=ago(hours=5), by=here.tomas)

    with pytest.raises(processing_runs.Early, match="nobody entered that it was taken out"):
        processing_runs.log_step(run=run, step="deflasked", at=ago(hours=1), by=here.tomas)


def test_a_line_is_struck_out_and_never_erased(here, case, run):
    line = processing_runs.log_step(
        run=run, step="packed", at=ago(hours=1), by=here.tomas, done_by="Ines", note="tight"
    )
    processing_runs.strike(row=line, reason="another flask", by=here.mona)

    line.refresh_from_db()
    assert line.struck_reason == "another flask"
    assert states.of(run).started is None
    with pytest.raises(striking.AlreadyStruck):
        processing_runs.strike(row=line, reason="again", by=here.mona)
    entered, struck = (sentence(entry) for entry in case.history.order_by("-id")[:2][::-1])
    assert 'entered a step of processing, "Packed, ' in entered
    assert 'by Ines, tight"' in entered
    assert struck.endswith("Reason: another flask.")


def test_a_material_stands_with_lot_expiry_and_instructions(here, case, run):
    day = timezone.localdate() - timedelta(days=1)
    row = processing_runs.use_material(
        run=run,
        by=here.tomas,
        values={
            **{"use": "resin powder", "product": "resin, pink", "lot": "L-9"},
            **{"expires_on": day, "instructions": "sheet 4 of 2025"},
        },
    )

    assert processing_runs.in_words(row).startswith("Resin powder: resin, pink, lot L-9, expires ")
    assert processing_runs.in_words(row).endswith("by its instructions: sheet 4 of 2025")
    assert states.of(run).lots_missing() == ["Resin liquid"]
    (caution,) = states.of(run).cautions()
    assert caution.code == "expired"
    assert 'entered a material of processing, "Resin powder' in sentence(case.history.last())


def test_given_up_it_stays_readable_and_another_begins(here, case, run):
    with pytest.raises(ValueError, match="Give the reason"):
        processing_runs.give_up(row=run, version=run.version, reason=" ", by=here.tomas)
    processing_runs.give_up(row=run, version=run.version, reason="porous", by=here.tomas)

    assert states.run_of(case) is None
    again = processing_runs.save(case=case, version=0, by=here.tomas, values=RECORD)
    assert (again.number, again.pk != run.pk) == (2, True)
    assert "gave a processing up" in " ".join(sentence(one) for one in case.history.all())


def test_handed_over_again_it_is_processed_anew(here, case, run):
    """After it was taken back, what was processed before is not what goes on."""
    Handoff.objects.create(
        case=case,
        number=2,
        revision=1,
        base_material="heat-cured resin",
        base_product="resin, pink",
        frozen={},
        engine_version="1",
        by=here.tomas,
    )

    assert states.run_of(case) is None
    again = processing_runs.save(case=case, version=0, by=here.tomas, values=RECORD)
    assert (again.handoff.number, again.number) == (2, 1)
    assert run.handoff.number == 1
