"""The cases of the demonstration, each told through the verbs of the pages.

Everything is invented. Surgery days are counted from the day of the load, so that
the demonstration never grows old.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

from django.conf import settings
from django.core.files.base import ContentFile
from django.utils import timezone

from labcases.domain import (
    arrangement,
    arrivals,
    defaults,
    explaining,
    files,
    linking,
    pairs,
    prescription,
)
from labcases.domain import box as boxes
from labcases.domain import question as asking
from labcases.domain.calendars import calendar_of
from labcases.domain.open_days import open_from
from labcases.domain.passes import Marked
from labcases.domain.teeth import positions, posterior_sites
from labcases.enums import (
    Allergy,
    AppointmentKind,
    Arch,
    AttachmentKind,
    BoxContent,
    BoxDirection,
    Movement,
    OpposingTooth,
    PhotographView,
    Route,
    Scheme,
    SettingsOrigin,
    SetUpAct,
    SetUpOrder,
    Side,
    Stage,
    TryInOutcome,
)
from labcases.enums.arrangement import Deviation, WantedBy
from labcases.enums.marks import Cusps, Strength
from labcases.enums.opponent import Opponent
from labcases.management.demo_boxes import on_the_way
from labcases.management.demo_curing import in_the_bath
from labcases.management.demo_dates import book, confirm
from labcases.management.demo_delivery import at_remount, at_the_office, delivered, made_again
from labcases.management.demo_papers import on_paper
from labcases.management.demo_proposals import proposed
from labcases.management.demo_teeth import ordered_late
from labcases.management.sample import MEASURES, POINT_RECORDS
from labcases.management.sample_casts import mounted_twice
from labcases.management.sample_incident import broken_and_mounted_again
from labcases.management.walk import Hands, Walk, start
from labcases.models import Organisation

D = Decimal


class Stories:
    """Opens cases for two offices of one laboratory."""

    def __init__(
        self,
        *,
        laboratory: Organisation,
        offices: tuple[Organisation, Organisation],
        hands: tuple[Hands, Hands],
    ) -> None:
        self.laboratory = laboratory
        self.offices = offices
        self.hands = hands

    def walk_to_surgery(
        self, office: int, patient_code: str, surgery_in_days: int, name: str = ""
    ) -> Walk:
        """A fresh draft with its surgery on the first working day that is so far away."""
        surgery = timezone.localdate() + timedelta(days=surgery_in_days)
        surgery = open_from(surgery, calendar_of(self.offices[office]))
        return self.walk_on(office, patient_code, surgery, name)

    def walk_on(self, office: int, patient_code: str, surgery: date, name: str = "") -> Walk:
        """A fresh draft with its surgery on a day."""
        return start(
            office=self.offices[office],
            laboratory=self.laboratory,
            hands=self.hands[office],
            patient_code=patient_code,
            patient_name=name,
            surgery_on=surgery,
        )

    def tell(self) -> None:
        """All, in the order in which they were opened; the last uses the defaults."""
        *told, last = STORIES
        for story in told:
            story(self)
        _remember_defaults(self)
        last(self)


def _photograph(walk: Walk, view: PhotographView, caption: str) -> None:
    """A drawing stands in the place of a photograph: nobody was photographed for this."""
    drawing = settings.BASE_DIR / "fixtures" / "demo" / "teeth-from-front.png"
    files.add(
        case=walk.reload(),
        kind=AttachmentKind.PHOTOGRAPH,
        view=view,
        caption=caption,
        upload=ContentFile(drawing.read_bytes()),
        by=walk.hands.office_desk,
    )


def _set_otherwise(walk: Walk) -> None:
    """One front tooth as the technician would have it, which the dentist was not asked about."""
    arrangement.log(
        case=walk.reload(),
        by=walk.hands.technician,
        tooth="12",
        deviation=Deviation.TURNED,
        amount_deg=D("8"),
        wanted_by=WantedBy.TECHNICIAN,
        words="out of the way of 43",
    )


def handed_over(stories: Stories) -> None:
    """Settings adopted from check records, each with how sure it is."""
    walk = stories.walk_to_surgery(1, "HB-0320", 12)
    walk.settings |= {"origin": SettingsOrigin.AVERAGE}
    walk.check_records = POINT_RECORDS
    walk.selection |= {"anterior_mould": "O-46"}
    walk.to(Stage.PROCESSING, scheme=Scheme.LINGUALISED)
    in_the_bath(walk)
    confirm(walk)
    book(walk, AppointmentKind.DELIVERY, 3)


def interference(stories: Stories) -> None:
    """A flat right path, and 46 with steep cusps out of its row: 15 cannot pass it.

    The set-up log has passes that were not as wanted, so that proposals stand beside them; 16
    marks in every movement, and one change explains that: it stands too high.
    """
    walk = stories.walk_to_surgery(0, "FL-1042", 21, "Bertil Aske")
    walk.settings |= {
        "condylar_right_deg": D("20"),
        "condylar_left_deg": D("35"),
        "incisal_table_deg": D("20"),
        "wing_right_deg": D("5"),
        "wing_left_deg": D("20"),
    }
    walk.selection |= {
        **MEASURES,
        "front_six_mm": D("46"),
        "posterior_mould": "30 degree, small",
        "cusp_angle_deg": D("30"),
        "tooth_height_mm": D("8"),
        "shell_over_fossa_mm": D("2.8"),
        "shell_min_mm": D("1.5"),
    }
    walk.sites = {
        "46": {"tip_height_mm": D("1.2"), "cusp_angle_deg": D("28"), "tilt_deg": D("-3")},
        "47": {"mesiodistal_mm": D("10.4"), "buccolingual_mm": D("10.2")},
        "25": {"shell_over_fossa_mm": D("3.3")},
    }
    walk.to(Stage.SET_UP, allergy=Allergy.LISTED, allergy_text="nickel")
    _photograph(walk, PhotographView.FRONT, "before the extractions")
    walk.log(SetUpAct.BASE_ADAPTED, separable_base=True)
    walk.log(SetUpAct.PIN_OPENED, before_mm=D("0"), after_mm=D("1"))
    walk.log(SetUpAct.BASE_REDUCED, teeth=["26"], after_mm=D("1.5"))
    for tooth, shell in (("16", D("1.8")), ("26", D("1.4"))):
        walk.log(
            SetUpAct.HOLLOW_GROUND,
            teeth=[tooth],
            after_mm=D("1"),
            shell_left_mm=shell,
            base_mm=D("2") if tooth == "16" else D("1.5"),
        )
    walk.log(SetUpAct.TOOTH_SET, teeth=posterior_sites(walk.reload().prescription))
    walk.log(SetUpAct.CUSP_HELD, teeth=["17", "16", "15", "25", "26", "27"], as_wanted=True)
    walk.log(SetUpAct.CUSP_HELD, teeth=["14"], as_wanted=False, note="short of the fossa of 44")
    walk.log(SetUpAct.PIN_READING, after_mm=D("1"))
    walk.log(SetUpAct.REDUCTION, teeth=["15"], after_mm=D("0.2"))
    walk.log(SetUpAct.PIN_READING, after_mm=D("0.4"))
    heavy, light = Strength.HEAVY, Strength.LIGHT
    for movement, as_wanted, marks in (
        (Movement.CENTRIC, False, [Marked("16", heavy), Marked("46"), Marked("15")]),
        (Movement.CENTRIC, False, [Marked("16", heavy), Marked("46")]),
        (Movement.RIGHT, False, [Marked("16"), Marked("24"), Marked("25"), Marked("36", light)]),
        (
            Movement.LEFT,
            False,
            [Marked("16"), Marked("15", heavy), Marked("46", heavy, Cusps.LINGUAL)],
        ),
        (Movement.PROTRUSIVE, False, [Marked("16"), Marked("46")]),
    ):
        walk.foil(movement, *marks, as_wanted=as_wanted)
    explaining.compare(case=walk.reload(), by=walk.hands.technician)
    confirm(walk)
    book(walk, AppointmentKind.TRY_IN, 13)


def no_height(stories: Stories) -> None:
    """One site over an over-erupted lower molar, where base and tooth do not fit.

    Its lower alginate was poured late, and its casts are mounted for the second time.
    """
    walk = stories.walk_to_surgery(0, "FL-1043", 24)
    walk.to(Stage.MOUNTING)
    mounted_twice(walk)
    walk.enter(Stage.SETTINGS)
    _photograph(walk, PhotographView.SMILE, "")
    walk.sites = {
        "26": {"space_mm": D("6"), "tooth_height_mm": D("7"), "shell_over_fossa_mm": D("3")},
        "36": {"tip_height_mm": D("2")},
    }
    walk.enter_settings()
    walk.choose_teeth()
    walk.measure()
    walk.compute()
    confirm(walk)
    book(walk, AppointmentKind.TRY_IN, 14)


def broken_cast(stories: Stories) -> None:
    """A cast that broke when it was mounted: poured again, mounted again, the report closed."""
    walk = stories.walk_to_surgery(1, "HB-0325", 38)
    walk.to(Stage.SETTINGS)
    broken_and_mounted_again(walk)
    confirm(walk)


def lower_at_try_in(stories: Stories) -> None:
    """Its teeth dropped towards the back, were set again, and are out for a second try-in."""
    walk = stories.walk_to_surgery(0, "FL-1047", 15)
    walk.to(Stage.TRY_IN, arch=Arch.LOWER, set_up_order=SetUpOrder.ANTERIOR_FIRST)
    _carry(walk, BoxDirection.TO_OFFICE)
    walk.judge_try_in(TryInOutcome.REDO)
    _carry(walk, BoxDirection.TO_LABORATORY)
    walk.set_posterior()
    walk.check_bench()
    walk.move(Stage.TRY_IN, walk.hands.technician)
    _carry(walk, BoxDirection.TO_OFFICE)
    book(walk, AppointmentKind.TRY_IN, 13)


def _carry(walk: Walk, way: BoxDirection) -> None:
    """The posterior base in a box, taken in where it goes."""
    out = way == BoxDirection.TO_OFFICE
    sender, taker = walk.hands.lab_desk, walk.hands.office_desk
    by, to = (sender, taker) if out else (taker, sender)
    boxes.send(box=walk.pack(way, BoxContent.WAX_SET_UP, by=by), by=by)
    walk.take_in(way, by=to)


def waiting(stories: Stories) -> None:
    """A question that was answered once and is asked again, and one that nobody waits for."""
    walk = stories.walk_to_surgery(1, "HB-0311", 30)
    walk.to(Stage.ACCEPTED, route=Route.INTERIM)
    hands = walk.hands
    shade = asking.ask(
        case=walk.reload(),
        about="the shade",
        text="The photographs look darker than B2 at the necks. Are the canines to be darker?",
        waits_for=Side.OFFICE,
        clinical=True,
        by=hands.technician,
    )
    asking.remark(
        question=shade, text="The dentist sees patients until noon.", by=hands.office_desk
    )
    asking.answer(question=shade, text="Darker, yes. B3 at the canines.", by=hands.dentist)
    asking.ask_again(
        question=shade, text="The whole canine, or only its neck?", by=hands.technician
    )
    asking.ask(
        case=walk.reload(),
        about="the delivery",
        text="May our own round bring the denture on the day before?",
        waits_for=Side.OFFICE,
        blocking=False,
        by=hands.lab_desk,
    )


def interim_final_wax(stories: Stories) -> None:
    walk = stories.walk_to_surgery(1, "HB-0312", 13)
    walk.to(
        Stage.FINAL_WAX,
        route=Route.INTERIM,
        set_up_order=SetUpOrder.ANTERIOR_FIRST,
        probing_mm={"13": "2.5", "12": "3", "11": "0.5", "21": "3", "22": "2", "23": "3.5"},
    )
    _set_otherwise(walk)
    walk.wax()
    confirm(walk)


def late(stories: Stories) -> None:
    """Surgery comes before the bench can: a lower interim denture, still at its cast.

    A tray came after the other box, with no word about how it was disinfected, and its teeth are
    ordered too late.
    """
    walk = stories.walk_to_surgery(1, "HB-0318", 9)
    walk.to(Stage.MASTER_CAST, route=Route.INTERIM, arch=Arch.LOWER)
    arrivals.record(
        case=walk.reload(),
        courier="the dentist's own car",
        items=[{"content": BoxContent.TRAY, "count": 1}],
        by=walk.hands.lab_desk,
    )
    ordered_late(walk)
    confirm(walk)
    book(walk, AppointmentKind.RECORDS, 8)


def being_written(stories: Stories) -> None:
    """The front desk began it, and the dentist filled in what she prescribes as a rule."""
    walk = stories.walk_to_surgery(0, "FL-1055", 110)
    row = walk.reload().prescription
    prescription.save(
        row=row,
        version=row.version,
        by=walk.hands.office_desk,
        values={"arch": Arch.UPPER, "shade_system": "office tabs, set of 16", "shade": "A3"},
    )
    row = walk.reload().prescription
    defaults.use(row=row, version=row.version, by=walk.hands.dentist)


def _remember_defaults(stories: Stories) -> None:
    """Both dentists keep the choices of their first case as their own defaults."""
    for hands, office in zip(stories.hands, stories.offices, strict=True):
        first = office.office_cases.order_by("pk").first()
        if first is not None:
            defaults.remember(row=first.prescription, by=hands.dentist)


def both_arches(stories: Stories) -> None:
    """Upper and lower for one surgery day: two linked cases that differ in their scheme."""
    upper = stories.walk_to_surgery(0, "FL-1061", 44, "Ewa Lindqvist")
    chart = {
        tooth: (OpposingTooth.MISSING if tooth[1] == "8" else OpposingTooth.DENTURE).value
        for tooth in positions(Arch.LOWER)
    }
    upper.to(Stage.ACCEPTED, opponent=Opponent.COMPLETE_MADE, opposing=chart)
    opened = linking.open_other(case=upper.reload(), by=upper.hands.dentist)
    lower = Walk(opened, upper.hands)
    lower.to(
        Stage.ACCEPTED,
        arch=Arch.LOWER,
        opponent=Opponent.COMPLETE_MADE,
        opposing=pairs.opposing_chart(upper.reload().prescription),
        scheme=Scheme.LINGUALISED,
    )
    confirm(lower)


STORIES: tuple[Callable[[Stories], None], ...] = (
    delivered,
    made_again,
    handed_over,
    at_remount,
    at_the_office,
    interference,
    no_height,
    broken_cast,
    lower_at_try_in,
    waiting,
    interim_final_wax,
    late,
    on_the_way,
    on_paper,
    both_arches,
    proposed,
    being_written,
)
