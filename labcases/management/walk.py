"""Takes a case along its stages through the same verbs that the pages call.

The demo tells its cases with it, and tests start from any stage with it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from labcases.domain import (
    bench,
    box,
    checks,
    prescription,
    processing,
    records,
    stages,
)
from labcases.domain import case as cases
from labcases.domain.calculations import record_proposals, settings_findings
from labcases.domain.passes import Marked
from labcases.domain.teeth import posterior_sites
from labcases.enums import (
    BaseMaterial,
    BoxContent,
    BoxDirection,
    CheckKind,
    Route,
    SetUpAct,
    Stage,
    TryInOutcome,
    TryInWish,
)
from labcases.management import (
    clock,
    walk_delivery,
    walk_remount,
    walk_review,
    walk_setup,
    walk_wax,
)
from labcases.management.sample import (
    MOUNTING,
    SELECTION,
    SETTINGS,
    SITE,
    natural,
    order,
    teeth_of,
)
from labcases.management.walk_curing import process
from labcases.management.walk_foil import foil
from labcases.management.walk_teeth import have_teeth
from labcases.management.walk_tryin import check_bench, judge
from labcases.models import ArticulatorRecord, Box, Case, Organisation, SetUpEntry, User
from labcases.models.articulator import DEVIATIONS

__all__ = ["SETTINGS", "SITE", "Hands", "Walk", "natural", "order", "start", "teeth_of"]


@dataclass(frozen=True)
class Hands:
    """Who does what on one case."""

    dentist: User
    office_desk: User
    technician: User
    lab_desk: User
    manager: User


class Walk:
    """One case on its way. Each step is one verb; ``to`` does all that lead to a stage."""

    def __init__(self, case: Case, hands: Hands) -> None:
        self.case = case
        self.hands = hands
        self.settings: dict[str, Any] = dict(SETTINGS)
        self.sites: dict[str, dict[str, Any]] = {}
        self.selection: dict[str, Any] = dict(SELECTION)
        self.check_records: Sequence[dict[str, Any]] = ()
        self.days: Mapping[Stage, date] = {}
        """On which day a stage is told; the others are told now."""
        self.also: Mapping[Stage, Callable[[Walk], None]] = {}
        """What is told of a stage beside what its gate asks for, once the case stands in it."""

    def reload(self) -> Case:
        """The case as it is stored now, with nothing remembered."""
        self.case = Case.objects.get(pk=self.case.pk)
        return self.case

    # -- steps ------------------------------------------------------------------------------

    def prescribe(self, **values: Any) -> None:
        case = self.reload()
        row = case.draft_revision or case.prescription
        wanted = order(**values)
        if wanted["route"] == Route.CONVENTIONAL and case.surgery_on:
            wanted.setdefault("first_extraction_on", case.surgery_on - timedelta(days=75))
        prescription.save(row=row, version=row.version, by=self.hands.dentist, values=wanted)

    def sign(self) -> None:
        case = self.reload()
        row = case.draft_revision or case.prescription
        dentist = self.hands.dentist
        prescription.sign(
            row=row,
            version=row.version,
            by=dentist,
            signed_name=dentist.full_name,
            licence_number=dentist.licence_number or "demo-0000",
        )

    def pack(self, direction: str, *contents: str, by: User) -> Box:
        items = [
            {"content": content, "count": 1}
            | (
                {}
                if content == BoxContent.PHOTOGRAPHS
                else {
                    "agent": "hypochlorite spray, closed bag",
                    "label_minutes": 10,
                    "actual_minutes": 10,
                    "disinfected_by": by.full_name,
                }
            )
            for content in contents
        ]
        return box.save(
            case=self.case,
            box=None,
            version=0,
            direction=direction,
            courier="own round",
            items=items,
            by=by,
        )

    def take_in(self, direction: str, *, by: User) -> None:
        for row in self.case.boxes.filter(
            direction=direction, sent_at__isnull=False, received_at__isnull=True
        ):
            box.receive(box=row, counts={item.pk: item.count for item in row.items.all()}, by=by)

    def move(self, to: Stage, by: User, reason: str = "") -> None:
        stages.move(case=self.reload(), to=to, by=by, reason=reason)

    def mount(self) -> None:
        bench.save_mounting(
            case=self.reload(), version=0, by=self.hands.technician, values=MOUNTING
        )

    def enter_settings(self) -> None:
        record = getattr(self.reload(), "articulator", None)
        saved = bench.save_articulator(
            case=self.case,
            version=record.version if record else 0,
            by=self.hands.technician,
            values=self.settings,
        )
        if self.check_records:
            saved = self.adopt_records()
        if settings_findings(saved).warnings:
            bench.acknowledge_settings(
                case=self.case, version=saved.version, by=self.hands.technician
            )

    def adopt_records(self) -> ArticulatorRecord:
        """Read the check records in, and take the four angles that their points say."""
        for values in self.check_records:
            records.add(case=self.reload(), by=self.hands.technician, values=values)
        told = record_proposals(self.reload())["points"]
        return records.adopt(
            case=self.case,
            version=self.case.articulator.version,
            method=told.method,
            digest=told.digest,
            fields=list(DEVIATIONS),
            by=self.hands.technician,
        )

    def choose_teeth(self) -> None:
        row = self.reload().prescription
        bench.save_selection(
            case=self.case,
            version=0,
            by=self.hands.technician,
            values={"shade": row.shade, "material": row.tooth_material, **self.selection},
        )
        have_teeth(self.reload(), self.hands.technician)

    def measure(self) -> None:
        """Height at every site, and what was read of any tooth of both arches."""
        height = dict.fromkeys(posterior_sites(self.reload().prescription), SITE)
        for tooth in {**height, **self.sites}:
            bench.save_site(
                case=self.case,
                tooth=tooth,
                version=0,
                by=self.hands.technician,
                values={**height.get(tooth, {}), **self.sites.get(tooth, {})},
            )

    def compute(self) -> None:
        for kind in CheckKind:
            checks.compute(case=self.reload(), kind=kind, by=self.hands.technician)

    def log(self, act: SetUpAct, **values: Any) -> None:
        bench.log(case=self.case, by=self.hands.technician, values={"act": act, **values})

    def foil(
        self, movement: str, *marks: str | Marked, as_wanted: bool | None = True
    ) -> SetUpEntry:
        """Log a pass with the teeth that marked in it."""
        return foil(self.case, self.hands.technician, movement, marks, as_wanted)

    def set_posterior(self) -> None:
        walk_setup.posterior(self)

    def set_anterior(self) -> None:
        walk_setup.anterior(self)

    def check_bench(self) -> None:
        check_bench(self.reload(), self.hands.technician)

    def judge_try_in(self, outcome: str = TryInOutcome.APPROVED) -> None:
        judge(self.reload(), self.hands.dentist, outcome)

    def wax(self) -> None:
        walk_wax.wax_up(self.reload(), self.hands.technician)

    def approve_wax(self) -> None:
        walk_wax.approve(self.reload(), self.hands.dentist)

    def hand_over(self) -> None:
        processing.hand_over(
            case=self.reload(),
            by=self.hands.technician,
            values={
                "base_material": BaseMaterial.HEAT_CURED,
                "base_product": "heat-cured resin, pink, veined",
                "base_lot": "L-2291",
                "index_made": True,
            },
        )

    def process(self) -> None:
        process(self.reload(), self.hands.technician)

    def remount(self) -> None:
        walk_remount.remount(self.reload(), self.hands.technician)

    def finish(self) -> None:
        walk_remount.release(self.reload(), self.hands.technician, self.hands.manager)

    def report_delivery(self) -> None:
        walk_delivery.report(self.reload(), self.hands.office_desk, self.hands.dentist)

    # -- whole ways -------------------------------------------------------------------------

    def to(self, goal: Stage, **prescribed: Any) -> Case:
        """Do everything that leads from an empty draft to a stage, and stop there.

        ``prescribed`` overrides fields of the prescription.
        """
        with self._told(Stage.DRAFT):
            self.prescribe(**prescribed)
        for stage in self._path(goal):
            with self._told(stage):
                self.prepare(stage)
                self.enter(stage)
                if stage in self.also:
                    self.also[stage](self)
        return self.reload()

    def _told(self, stage: Stage) -> AbstractContextManager[None]:
        """The day on which a stage is told."""
        return clock.on(self.days[stage]) if stage in self.days else nullcontext()

    def ready(self, goal: Stage, **prescribed: Any) -> Case:
        """The same, but stop before the case goes into the stage: only the move is left."""
        self.prescribe(**prescribed)
        for stage in self._path(goal):
            self.prepare(stage)
            if stage != goal:
                self.enter(stage)
        return self.reload()

    def prepare(self, stage: Stage) -> None:
        """Everything that the gate into a stage asks for."""
        hands = self.hands
        lab, office = BoxDirection.TO_LABORATORY, BoxDirection.TO_OFFICE
        if stage == Stage.SENT:
            self.sign()
            self.pack(lab, BoxContent.IMPRESSION, BoxContent.PHOTOGRAPHS, by=hands.office_desk)
        elif stage == Stage.ACCEPTED:
            self.take_in(lab, by=hands.lab_desk)
        elif stage == Stage.MOUNTING:
            sent = self.pack(lab, BoxContent.JAW_RECORD, BoxContent.FACE_BOW, by=hands.office_desk)
            box.send(box=sent, by=hands.office_desk)
            self.take_in(lab, by=hands.lab_desk)
        elif stage == Stage.SETTINGS:
            self.mount()
        elif stage == Stage.SET_UP:
            self.enter_settings()
            self.choose_teeth()
            self.measure()
            self.compute()
        elif stage == Stage.TRY_IN:
            self.set_posterior()
            self.check_bench()
        elif stage == Stage.FINAL_WAX:
            if not self.reload().try_ins.exists():
                self.set_posterior()
            else:
                self.judge_try_in()
                self.move(Stage.SET_UP, hands.technician)
            self.set_anterior()
        elif stage == Stage.PROCESSING:
            self.wax()
            self.approve_wax()
        elif stage == Stage.REMOUNT:
            self.process()
        elif stage == Stage.FINISHING:
            self.remount()
        elif stage == Stage.RELEASED:
            self.finish()
        elif stage == Stage.DISPATCHED:
            walk_remount.statement(self.reload(), hands.technician)
            self.pack(office, BoxContent.DENTURE, BoxContent.TEMPLATE, by=hands.lab_desk)
        elif stage == Stage.RECEIVED:
            self.take_in(office, by=hands.office_desk)
        elif stage == Stage.DELIVERED:
            self.report_delivery()
        elif stage == Stage.IN_REVIEW:
            walk_review.first_review(self.reload(), hands.dentist)
        elif stage == Stage.CLOSED:
            walk_review.decide(self.reload(), hands.dentist)

    def enter(self, stage: Stage) -> None:
        """Move into a stage that is prepared, by the person whose work that is."""
        if stage == Stage.PROCESSING:
            self.hand_over()
        else:
            self.move(stage, self._mover(stage))

    def _path(self, goal: Stage) -> list[Stage]:
        """Stages in order up to a goal, without the ones that this case does not have."""
        row = self.reload().prescription
        skipped = {Stage.TRAY, Stage.DRAFT}
        if row.try_in != TryInWish.WANTED:
            skipped.add(Stage.TRY_IN)
        stages_in_order = list(Stage)
        upto = stages_in_order[: stages_in_order.index(goal) + 1]
        return [stage for stage in upto if stage not in skipped]

    def _mover(self, stage: Stage) -> User:
        hands = self.hands
        return {
            "send the case": hands.office_desk,
            "release": hands.manager,
            "dispatch": hands.lab_desk,
            "receive": hands.office_desk,
            "record a delivery": hands.dentist,
        }.get(stages.MOVED_BY[stage], hands.technician)


def start(
    *,
    office: Organisation,
    laboratory: Organisation,
    hands: Hands,
    patient_code: str,
    surgery_on: date | None,
    patient_name: str = "",
) -> Walk:
    """Open a case and take hold of it."""
    case = cases.open_case(
        office=office,
        laboratory=laboratory,
        patient_code=patient_code,
        patient_name=patient_name,
        surgery_on=surgery_on,
        by=hands.dentist,
    )
    return Walk(case, hands)
