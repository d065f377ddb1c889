"""The world behind the walls: one case in full, its own people, and everybody who stands outside.

Seventeen people ask for every address. All of them have a case of their own, so that nobody is
refused only because there is nothing to see.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from labcases import codes
from labcases.domain import (
    box,
    files,
    paper_approvals,
    prescription,
    records,
    signed_papers,
)
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.enums import (
    AppointmentKind,
    AppointmentStatus,
    BoxContent,
    BoxDirection,
    OrganisationKind,
    Role,
    SetUpAct,
    Side,
    Stage,
)
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from labcases.management.sample import GAP_RECORD
from labcases.management.walk import Hands, Walk, start
from labcases.models import Attachment, Case, DeviceStatement, Organisation, User
from tests import walls_curing, walls_load, walls_lots, walls_proposals, walls_reviews, walls_teeth
from tests.factories import (
    MembershipFactory,
    OfficeLinkFactory,
    OrganisationFactory,
    UserFactory,
    member,
    world,
)
from tests.labcases import compared, sent_files
from tests.walls_boxes import of_boxes
from tests.walls_casts import entered_casts
from tests.walls_houses import of_houses
from tests.walls_incidents import KINDS, reported

OFFICE_ROLES = {"D": Role.DENTIST, "O": Role.FRONT_DESK}
LABORATORY_ROLES = {"T": Role.TECHNICIAN, "L": Role.FRONT_DESK, "M": Role.MANAGER}
#: No word of any page, so that finding it means finding the patient.
PATIENT_NAME = "Quendoline Zaffrane"
#: A code that checks, of no case.
ABSENT_CODE = "22222222222" + codes.check_character("22222222222")
ABSENT_PK = 987654

#: What differs from one answer to the next and says nothing: the mask of the CSRF token (it is
#: random on purpose), and the minute in the line that only paper shows.
PASSING = re.compile(rb'name="csrfmiddlewaretoken" value="[^"]*"|Printed \S+ \d\d:\d\d')


@dataclass
class Wall:
    """People with their sessions, and the addresses of one case."""

    case: Case
    mixed: Case
    """Another case that the people of the own office see, and nobody else of this case."""
    users: dict[str, User]
    arguments: dict[str, list[Any]]
    of_other_case: dict[str, int]
    sessions: dict[str, str] = field(default_factory=dict)

    def client(self, who: str, **options: Any) -> Client:
        """A browser of one person, signed in already."""
        client = Client(raise_request_exception=False, **options)
        if who in self.sessions:
            client.cookies[settings.SESSION_COOKIE_NAME] = self.sessions[who]
        return client

    def address(self, url: str) -> str:
        return reverse(url.partition(":")[0], args=self.arguments[url])

    def address_of_nothing(self, url: str) -> str:
        """The same address with a code, a number or a secret that nothing has."""
        first, *rest = self.arguments[url]
        return reverse(
            url.partition(":")[0],
            args=[ABSENT_CODE if first == self.case.code else ABSENT_PK, *rest],
        )


def column_of(who: str) -> str:
    """The column of the table in which a person stands."""
    house, _, position = who.partition(" ")
    if house == "own":
        return position
    if house in ("neighbour", "stranger"):
        return "offices" if position in OFFICE_ROLES else "laboratories"
    return who


def same_answer(content: bytes) -> bytes:
    """An answer without what differs from one request to the next."""
    return PASSING.sub(b"", content)


@contextmanager
def undone() -> Iterator[None]:
    """Whatever happens inside is taken back, so that each cell finds the same world."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def _staff(office: Organisation, laboratory: Organisation, house: str) -> dict[str, User]:
    """The five positions of a house, named after it."""
    found = {}
    for organisation, roles in ((office, OFFICE_ROLES), (laboratory, LABORATORY_ROLES)):
        for letter, role in roles.items():
            found[f"{house} {letter}"] = member(f"{house}{letter} Person", organisation, role)
    return found


def _draft(office: Organisation, laboratory: Organisation, hands: Hands, code: str) -> Case:
    return start(
        office=office,
        laboratory=laboratory,
        hands=hands,
        patient_code=code,
        surgery_on=timezone.localdate() + timedelta(days=90),
    ).case


def _pictures(case: Case, hands: Hands) -> dict[str, int]:
    """A photograph of a cast, a face that waits for the agreement, and one that is taken out."""

    def add(side: int, view: str) -> Attachment:
        upload = sent_files.sent(sent_files.jpeg((side, side)), f"{PATIENT_NAME}.jpg")
        return files.add(case=case, kind="photograph", view=view, upload=upload, by=hands.dentist)

    cast, face, gone = add(20, "cast"), add(21, "face"), add(22, "smile")
    files.take_out(attachment=gone, reason="blurred", by=hands.dentist)
    # One's own may be taken out by anybody: here it is nobody's own.
    Attachment.objects.update(by=UserFactory())
    return {
        **{f"{name}:of_a_cast": cast.pk for name in ("file", "file_small")},
        **{f"{name}:face_held_back": face.pk for name in ("file", "file_small")},
        **{f"{name}:taken_out": gone.pk for name in ("file", "file_small")},
        "file_agree": face.pk,
        "file_take_out": cast.pk,
    }


def _fill(walk: Walk) -> dict[str, int]:
    """Whatever may stand beside a case: boxes on both ways, dates, questions, a line of the log."""
    case, hands = walk.reload(), walk.hands
    office, laboratory = BoxDirection.TO_OFFICE, BoxDirection.TO_LABORATORY
    on_its_way = walk.pack(laboratory, BoxContent.CAST, by=hands.office_desk)
    coming_back = walk.pack(office, BoxContent.RIM, by=hands.lab_desk)
    if case.stage != Stage.DRAFT:
        box.send(box=on_its_way, by=hands.office_desk)
        box.send(box=coming_back, by=hands.lab_desk)
    booked, proposed = (
        cases.save_appointment(
            case=case,
            appointment=None,
            version=0,
            by=hands.office_desk,
            values={"kind": kind, "on": timezone.localdate(), "status": status, "note": ""},
        )
        for kind, status in (
            (AppointmentKind.REVIEW, AppointmentStatus.BOOKED),
            (AppointmentKind.DELIVERY, AppointmentStatus.PROPOSED),
        )
    )
    plain, clinical = (
        asking.ask(
            case=case,
            about="shade",
            text="Is it to be darker?",
            waits_for=Side.OFFICE,
            clinical=clinical,
            by=hands.technician,
        )
        for clinical in (False, True)
    )
    to_laboratory, answered = (
        asking.ask(
            case=case,
            about=about,
            text="Is it here?",
            waits_for=Side.LABORATORY,
            by=hands.office_desk,
        )
        for about in ("the casts", "the shade")
    )
    asking.answer(question=answered, text="It is.", by=hands.technician)
    # Its asker has left: the house closes it, whoever of them.
    left = UserFactory(full_name="Gone Person")
    held = MembershipFactory(user=left, organisation=case.laboratory, role=Role.TECHNICIAN)
    of_one_who_left = asking.ask(
        case=case, about="the flange", text="Full?", waits_for=Side.OFFICE, by=left
    )
    held.active = False
    held.save()
    passed = walk.foil("protrusive", "16", as_wanted=False)
    walk.log(SetUpAct.NOTE, note="looked at it")
    read_in = records.add(case=case, by=hands.technician, values=GAP_RECORD)
    paper = signed_papers.begin(case=case, by=hands.lab_desk).pk
    approval = paper_approvals.begin(
        case=case,
        says="surgery day",
        said={"surgery_on": timezone.localdate().isoformat()},
        by=hands.lab_desk,
    )
    return {
        **_pictures(case, hands),
        "box:packed_by_office": walk.pack(laboratory, BoxContent.CAST, by=hands.office_desk).pk,
        "box:packed_by_laboratory": walk.pack(office, BoxContent.RIM, by=hands.lab_desk).pk,
        "box_receive:sent_by_office": on_its_way.pk,
        "box_receive:sent_by_laboratory": coming_back.pk,
        "appointment:booked": booked.pk,
        "appointment:proposed": proposed.pk,
        "question_answer:plain": plain.pk,
        "question_answer:clinical": clinical.pk,
        "question_answer:to_laboratory": to_laboratory.pk,
        "question_remark": plain.pk,
        "question_again:waiting": plain.pk,
        "question_again:answered": answered.pk,
        "question_close": of_one_who_left.pk,
        "question_revise": clinical.pk,
        "setup_strike": case.setup_entries.last().pk,
        "line_photographs": case.setup_entries.last().pk,
        "pass_seen": passed.pk,
        "pass_judge": passed.pk,
        "pass_excursions": passed.marks.get().pk,
        "pass_done": passed.marks.get().pk,
        **dict.fromkeys(
            ("compared_adopt", "compared_leave"),
            compared.keep(case, hands.technician, compared.of_tooth("16")).pk,
        ),
        "check_record_strike": read_in.pk,
        "statement_strike": DeviceStatement.objects.create(
            case=case,
            by=hands.technician,
            revision=1,
            kept="10 years",
            profiles=["general"],
            items=[["1", "Device", "an upper immediate denture"]],
        ).pk,
        **walls_lots.told(case, hands.technician),
        "remount_strike": walk_remount.log(
            case, hands.technician, RemountAct.PIN_READ, rise_mm=Decimal("0.4")
        ).pk,
        "signed_paper": paper,
        "approval_paper_said": approval.pk,
        **{f"signed_paper_{act}": paper for act in PAPER_ACTS},
        **walls_teeth.teeth(case, hands.technician),
        **entered_casts(case, hands.technician),
        **walls_curing.processed(case, hands.technician),
        **walls_reviews.reviewed(case, hands.dentist),
        **reported(case),
        **walls_proposals.proposed(case, hands.technician),
        **of_boxes(on_its_way, coming_back, hands),
    }


PAPER_ACTS = ("page", "hand_over", "confirm", "back", "give_up", "ask")

#: Addresses of a case that take nothing beside its code.
OF_A_CASE = (
    *("case", "case_move", "case_hold", "case_resume", "case_tray", "dates", "dates_confirm"),
    *("surgery_move", "dates_seen"),
    *("linked", "linked_open", "linked_join", "linked_part"),
    *("appointment_new", "proposals", "questions", "questions_read", "files", "boxes", "box_new"),
    *("box_arrived", "signed_papers", "paper_begin", "incidents", "incidents_read", "history"),
    *("history_undo", "prescription"),
    *("prescription_teeth", "prescription_check", "prescription_sign", "prescription_revise"),
    *("mounting", "settings", "casts", "mounting_back", "check_records", "check_records_adopt"),
    *("settings_acknowledge", "teeth", "teeth_enter", "sites", "sites_take_over", "check"),
    *("check_compute", "setup", "front_teeth", "passes", "pass_pin", "try_in"),
    *("passes_compare", "try_in_waive", "bench_check"),
    *("processing", "processing_step", "processing_material", "processing_give_up"),
    *("final_wax", "final_wax_approve", "handoff", "remount", "remount_check", "finishing"),
    *("mark_text", "release", "release_look", "release_lot", "statement", "delivery", "papers"),
    *("bundle", "erasure", "complaints", "complaint_new", "reviews", "review_decide", "remake"),
    *("arrival", "surgery", "delivery_settle"),
)


def build() -> Wall:
    """The world, with a session for everybody."""
    here = world()
    houses = {
        "neighbour": (here.other_office, here.other_laboratory),
        "stranger": (
            OrganisationFactory(name="Lantern Office"),
            OrganisationFactory(name="Weir Laboratory", kind=OrganisationKind.LABORATORY),
        ),
    }
    OfficeLinkFactory(office=here.office, laboratory=here.other_laboratory)
    OfficeLinkFactory(office=houses["stranger"][0], laboratory=houses["stranger"][1])
    users = {
        "nobody": UserFactory(username="nobody", full_name="Nobody Member"),
        "own D": here.dora,
        "own O": here.farah,
        "own T": here.tomas,
        "own L": here.lena,
        "own M": here.mona,
    }
    for house, (office, laboratory) in houses.items():
        users |= _staff(office, laboratory, house)

    walk = here.walk(patient_name=PATIENT_NAME)
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    rows = _fill(walk)
    case = walk.reload()
    prescription.revise(case=case, by=here.dora)
    walls_load.too_full(case, here.tomas, here.mona)

    def hands_of(house: str, other: str) -> Hands:
        return Hands(
            *(users[f"{house} {p}"] for p in "DO"), *(users[f"{other} {p}"] for p in "TLM")
        )

    _draft(here.other_office, here.laboratory, hands_of("neighbour", "own"), "P-200")
    _draft(*houses["stranger"], hands_of("stranger", "stranger"), "P-300")
    mixed_hands = hands_of("own", "neighbour")
    mixed = _draft(here.office, here.other_laboratory, mixed_hands, "P-400")
    of_other_case = _fill(Walk(mixed, mixed_hands))

    wall = Wall(
        case=case,
        mixed=mixed,
        users=users,
        arguments={**of_houses(here), **_of_case(case, rows)},
        of_other_case=of_other_case,
    )
    for who, user in users.items():
        browser = Client()
        browser.force_login(user)
        wall.sessions[who] = browser.cookies[settings.SESSION_COOKIE_NAME].value
    return wall


def _of_case(case: Case, rows: dict[str, int]) -> dict[str, list[Any]]:
    """What the addresses of a case name."""
    found: dict[str, list[Any]] = {
        "prescription_step": [case.code, "teeth"],
        "final_wax_checklist": [case.code, "teeth"],
        "final_wax_checklist:unknown": [case.code, "gums"],
        "approval_paper_new": [case.code, "final-wax"],
        "approval_paper_new:unknown": [case.code, "by-telephone"],
        "prescription_step:unknown": [case.code, "no-such-step"],
        **{f"incident_new{what}": [case.code, kind] for what, kind in KINDS.items()},
        **{
            f"proposal_new{what}": [case.code, kind] for what, kind in walls_proposals.KINDS.items()
        },
        **{name: [case.code, "lab-slip"] for name in ("paper", "paper_pdf")},
        **{f"{name}:unknown": [case.code, "no-such-paper"] for name in ("paper", "paper_pdf")},
        "bench_job": [case.code, "remount"],
        "bench_job:unknown": [case.code, "nothing"],
        **{name: [case.code] for name in OF_A_CASE},
        **{url: [case.code, pk] for url, pk in rows.items()},
    }
    found["teeth_change"].append("arrived")
    found["teeth_change:unknown"].append("nothing")
    found["casts_strike"].append("cast")
    found["casts_strike:unknown"].append("nothing")
    found["processing_strike"].append("step")
    found["processing_strike:unknown"].append("nothing")
    for way in ("packed_by_office", "packed_by_laboratory"):
        found[f"box_send:{way}"] = found[f"box:{way}"]
    return found
