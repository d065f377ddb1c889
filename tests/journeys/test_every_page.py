"""Every page in a real browser, as each of the five positions, at the widths that people have.

Which pages a position sees is read from the table of `tests/walls.py`, so that a new page is
looked at as soon as it stands there. Every page is asked for as everybody and of every case; the
browser opens each address at its fullest, and whichever page holds some kind of thing that no
other page holds (`kinds.py`).
"""

import hashlib
import re
from dataclasses import dataclass
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases import codes
from labcases.domain import (
    box,
    files,
    incident,
    paper_approvals,
    prescription,
    proposing,
    signed_papers,
)
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.domain.foreseeing import Report
from labcases.enums import (
    AppointmentKind,
    AppointmentStatus,
    Arch,
    BoxContent,
    BoxDirection,
    Route,
    SetUpAct,
    SetUpOrder,
    Side,
    Stage,
)
from labcases.enums.proposals import ProposalKind
from labcases.enums.signed_papers import PaperSays
from labcases.forms.prescription import STEPS
from labcases.management.demo_complaints import complained_of
from labcases.management.sample import GAP_RECORD, MEASURES, POINT_RECORDS
from labcases.outputs.papers import PAPERS
from labcases.reference.incidents import kinds
from tests import needs, walls
from tests.factories import world
from tests.journeys.kinds import with_something_new
from tests.journeys.looking import WIDTHS, wrong_with
from tests.journeys.people import Person
from tests.journeys.titles import TITLES
from tests.labcases import sent_files
from tests.walls_load import too_full
from tests.walls_world import OF_A_CASE, of_houses

pytestmark = [needs.chromium, pytest.mark.django_db(transaction=True)]

PEOPLE = {"D": "dora", "O": "farah", "T": "tomas", "L": "lena", "M": "mona"}


def add_pictures(case, office, laboratory):
    """A face that waits for the agreement and one that does not, a paper, one taken out."""
    shown = (("face", False), ("profile", True), ("intraoral front", False), ("smile", True))
    for number, (view, agreed) in enumerate(shown):
        upload = sent_files.sent(sent_files.jpeg((900 + number, 600)))
        row = files.add(
            case=case, kind="photograph", view=view, upload=upload, by=office, agreed=agreed
        )
    files.take_out(attachment=row, reason="The smile of somebody else.", by=office)
    page = sent_files.sent(sent_files.jpeg((600, 900), sent_files.WHITE))
    files.add(
        case=case, kind="paper prescription", upload=page, by=laboratory, caption="page 1 of 2"
    )


def something_went_wrong(walk, by):
    """A box that came here by mistake, and a doubt whose case this is: it freezes the case."""
    for kind in ("wrong-box", "wrong-patient"):
        case = walk.reload()
        incident.report(
            case=case,
            report=Report(kind=kinds()[kind], text="The label on the bag reads another code."),
            seen=Stage(case.stage),
            seen_last=incident.last_of(case),
            by=by,
        )
    complained_of(walk)


def at_stages(here):
    """Seven cases, each in another stage and with what stands beside it there."""
    office, laboratory = here.dora, here.tomas

    def walk(code, days=120):
        return here.walk(patient_code=code, surgery_in_days=days, patient_name="Agnes Dunmore")

    draft = walk("P-1")
    draft.pack(BoxDirection.TO_LABORATORY, BoxContent.IMPRESSION, by=here.farah)

    typed = walk("P-7")
    signed_papers.begin(case=typed.case, by=here.lena)

    accepted = walk("P-2", days=40)
    accepted.to(Stage.ACCEPTED)
    paper_approvals.begin(
        case=accepted.reload(),
        says="surgery day",
        said={"surgery_on": timezone.localdate().isoformat()},
        by=here.lena,
    )
    for clinical in (True, False):
        asking.ask(
            case=accepted.case,
            about="shade",
            text="The photographs look darker than B2 at the necks. Are the canines to be darker?",
            waits_for=Side.OFFICE,
            clinical=clinical,
            by=laboratory,
        )
    add_pictures(accepted.case, office, laboratory)
    proposing.raise_proposal(
        case=accepted.case,
        kind=ProposalKind.NATURAL,
        tooth="46",
        why="46 stands 1.2 mm above the plane.",
        by=laboratory,
    )
    sent = accepted.pack(BoxDirection.TO_LABORATORY, BoxContent.CAST, by=here.farah)
    box.send(box=sent, by=here.farah)
    for kind, status in (
        (AppointmentKind.RECORDS, AppointmentStatus.BOOKED),
        (AppointmentKind.DELIVERY, AppointmentStatus.PROPOSED),
    ):
        cases.save_appointment(
            case=accepted.case,
            appointment=None,
            version=0,
            by=here.farah,
            values={
                "kind": kind,
                "on": timezone.localdate() + timedelta(days=20),
                "status": status,
                "note": "in the morning",
            },
        )

    set_up = walk("P-3", days=12)
    set_up.settings |= {"condylar_right_deg": 20, "wing_right_deg": 15}
    set_up.check_records = [*POINT_RECORDS, GAP_RECORD]
    set_up.selection |= MEASURES
    set_up.to(Stage.SET_UP)
    set_up.foil("protrusive", "16", as_wanted=False)
    prescription.revise(case=set_up.reload(), by=office)
    cases.hold(case=set_up.reload(), reason="The patient is in hospital.", by=here.lena)

    tried = walk("P-4", days=30)
    tried.to(Stage.TRY_IN)
    something_went_wrong(tried, laboratory)
    back = tried.pack(BoxDirection.TO_OFFICE, BoxContent.WAX_SET_UP, by=here.lena)
    box.send(box=back, by=here.lena)

    processing = walk("P-5", days=20)
    processing.to(
        Stage.PROCESSING,
        route=Route.INTERIM,
        arch=Arch.LOWER,
        set_up_order=SetUpOrder.ANTERIOR_FIRST,
    )
    processing.pack(BoxDirection.TO_OFFICE, BoxContent.TEMPLATE, by=here.lena)
    too_full(processing.reload(), here.tomas, here.mona)

    delivered = walk("P-6", days=0)
    delivered.to(Stage.DELIVERED)
    return [one.reload() for one in (draft, typed, accepted, set_up, tried, processing, delivered)]


def addresses(case):
    """Every address of a case that may be read, with the key of its title."""
    for paper in case.signed_papers.all():
        yield f"signed_paper:{paper.says}", reverse("signed_paper", args=[case.code, paper.pk])
        if paper.says != PaperSays.PRESCRIPTION:
            yield "approval_paper_said", reverse("approval_paper_said", args=[case.code, paper.pk])
    yield "approval_paper_new", reverse("approval_paper_new", args=[case.code, "final-wax"])
    under_way = case.boxes.filter(sent_at__isnull=False, received_at__isnull=True)
    numbered = {
        "appointment": case.appointments.all(),
        "complaint": case.complaints.all(),
        "box": case.boxes.filter(sent_at__isnull=True),
        "box_receive": under_way,
        "line_photographs": case.setup_entries.all()[:1],
        "pass_seen": case.setup_entries.filter(movement="protrusive", act=SetUpAct.PASS)[:1],
    }
    doubted = case.incidents.filter(kind="wrong-patient").exists()
    for name in OF_A_CASE:
        key = "incidents:doubted" if doubted and name == "incidents" else name
        yield key, reverse(name, args=[case.code])
    for name, rows in numbered.items():
        for row in rows:
            yield name, reverse(name, args=[case.code, row.pk])
    yield "review_seen", reverse("review_seen", args=[case.code, "week"])
    for step in STEPS:
        yield "prescription_step", reverse("prescription_step", args=[case.code, step])
    yield "bench_job", reverse("bench_job", args=[case.code, "remount"])
    yield "proposal_new", reverse("proposal_new", args=[case.code, "natural-tooth"])
    yield "final_wax_checklist", reverse("final_wax_checklist", args=[case.code, "teeth"])
    for row in case.proposals.all():
        yield "proposal", reverse("proposal", args=[case.code, row.pk])
    for kind in ("broken-cast", "tooth-lost-or-changed", "surgery-postponed"):
        yield f"incident_new:{kind}", reverse("incident_new", args=[case.code, kind])
    for kind in PAPERS:
        yield f"paper:{kind}", reverse("paper", args=[case.code, kind])


#: What answers with something else than a page.
NO_PAGES = {"healthz", "file", "file_small", "prescription_teeth", "stock_export", "quality_csv"}
NO_PAGES |= {"calendar_feed_file"}


def read_by(position):
    """Names of the pages that a position reads, as the table of the walls has them."""
    return {
        row.name for row in walls.ROWS if row.method == "GET" and row.cells[position] == "200"
    } - NO_PAGES


#: What makes a page another one without making it look another: the ticket (it is looked at on
#: the page of each case), the token of a form, the code in squares, who printed a paper and when.
PASSING = re.compile(
    r'<section class="ticket".*?</section>|name="csrfmiddlewaretoken" value="[^"]*"'
    r'|<div class="paper-qr">.*?</div>|, printed [^<]*</p>',
    re.DOTALL,
)


def main_part(content):
    return content.partition("<main")[2].partition("</main>")[0]


def same_page(content, code):
    """A digest of what stands on a page, whatever the case is called."""
    text = PASSING.sub("", content)
    for written in (code, codes.grouped(code)):
        text = text.replace(written, "") if written else text
    return hashlib.sha256(text.encode()).hexdigest()


@dataclass(frozen=True)
class Visit:
    """A page that one person reads."""

    name: str
    key: str
    address: str
    title: str
    """How its title starts."""
    content: str
    """What stands in its main part."""


def visits(client, here, stages):
    """What each person may read, one after the other.

    A page that somebody sees just as another one did before is left out.
    """
    of_no_case = [
        (key, reverse(key.partition(":")[0], args=args), "")
        for key, args in of_houses(here).items()
    ]
    of_cases = [(key, address, case.code) for case in stages for key, address in addresses(case)]
    named = {key.partition(":")[0] for key, *_rest in (*of_no_case, *of_cases)}
    # Said at once, for the rest of this takes minutes.
    unnamed = {page for position in PEOPLE for page in read_by(position)} - named
    assert not unnamed, f"say in addresses() where these are: {sorted(unnamed)}"
    opened, found = set(), []
    for position, name in PEOPLE.items():
        client.force_login(getattr(here, name))
        may, shown = read_by(position), set()
        for key, address, code in [*of_no_case, *of_cases]:
            page = key.partition(":")[0]
            answer = client.get(address) if page in may else None
            if answer is None or answer.status_code != 200:
                continue
            shown.add(page)
            content = main_part(answer.content.decode())
            digest = same_page(content, code)
            if digest not in opened:
                opened.add(digest)
                title = TITLES[key].format(codes.grouped(code))
                found.append(Visit(name, key, address, title, content))
        assert shown == may, position
    return found


def to_look_at(found):
    """The visits that need a browser, in the order of all: each address once, at its fullest.

    Of the others those that hold some kind of thing which no other page holds.
    """
    once = {one.key: one for one in sorted(found, key=lambda one: len(one.content))}
    new = {found[n] for n in with_something_new(("any", one.content) for one in found)}
    wanted = new | set(once.values())
    return [one for one in found if one in wanted]


def watched(browser, address, name):
    """A person to whom also a file that is not there is a complaint."""
    person = Person(browser, address, name)

    def note(answer):
        if answer.status >= 400:
            person.complaints.append(f"{answer.status} {answer.url}")

    person.page.on("response", note)
    return person


def test_every_page_fits_its_window_and_everybody(browser, live_server, client, capsys):
    here = world()
    found = visits(client, here, at_stages(here))
    looked = to_look_at(found)
    wrong = {}
    for name in PEOPLE.values():
        person = watched(browser, live_server.url, name)
        for one in looked:
            if one.name != name:
                continue
            person.open(one.address)
            said = wrong_with(person.page, one.title, axe=True)
            if said or person.complaints:
                wrong[f"{name} {one.key} {one.address}"] = [*said, *person.complaints]
                person.complaints.clear()
        person.page.context.close()

    with capsys.disabled():
        print(
            f" {len(found)} pages, {len(looked)} of them at {len(WIDTHS)} widths and by axe ",
            end="",
        )
    assert {one.key for one in found} == {one.key for one in looked}
    assert wrong == {}


ERRORS = {
    "/login/": (200, "Log in"),
    "/join/no-such-secret/": (410, "Error: This link no longer works"),
    "/cases/no-such-code/": (404, "Error: page not found"),
    "/bench/": (403, "Error: not yours to do"),
}


def test_pages_that_say_no_are_made_with_the_same_care(browser, live_server):
    world()
    person = Person(browser, live_server.url, "farah")
    visitor = browser.new_context().new_page()
    for address, (status, title) in ERRORS.items():
        page = visitor if address == "/login/" else person.page
        assert page.goto(f"{live_server.url}{address}").status == status
        assert wrong_with(page, title, axe=True) == []


def test_faults_that_are_planted_in_a_page_are_found(browser, live_server):
    """Otherwise an empty list of faults would say nothing."""
    page = browser.new_context().new_page()
    page.goto(f"{live_server.url}/login/")
    page.evaluate(
        """() => {
          const main = document.querySelector('main');
          main.append(document.createElement('h1'), document.createElement('img'));
          const tiny = document.createElement('button');
          tiny.textContent = 'go';
          tiny.style.cssText = 'width: 20px; height: 20px; padding: 0; min-height: 0';
          const wide = document.createElement('p');
          wide.id = 'wide';
          wide.textContent = 'far out';
          wide.style.cssText = 'width: 900px; max-width: none';
          main.append(tiny, wide);
        }"""
    )

    assert wrong_with(page, "Bench", axe=True) == [
        "at 1280: button go is 20 x 20",
        "2 headings h1",
        "its title is Log in - Case tracker",
        "image-alt at img",
        "at 820: button go is 20 x 20",
        "at 820: wider than the window: ['p#wide far out']",
        "at 390: button go is 20 x 20",
        "at 390: wider than the window: ['p#wide far out']",
    ]
