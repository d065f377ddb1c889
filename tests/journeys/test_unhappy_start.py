"""A case that begins badly, played by four people in a browser.

The paper leaves the allergy open and is typed by the laboratory; the dentist is asked; a second
member confirms what was typed. The first box never arrives. The cast breaks once it is mounted,
so that it is poured, inspected and mounted again. Nothing of that is lost: the history of the
laboratory is walked at the end.
"""

from datetime import timedelta
from io import StringIO

import pytest
from django.conf import settings
from django.core.management import call_command
from django.utils import timezone

from labcases.models import Case
from labcases.templatetags.units import long_date
from tests import needs
from tests.factories import PASSWORD, world
from tests.journeys.acts import pack
from tests.journeys.people import Person

pytestmark = [needs.chromium, needs.pango, pytest.mark.django_db(transaction=True)]

UPPER_FRONT = ("13", "12", "11", "21", "22", "23")
PAGE = settings.BASE_DIR / "fixtures" / "demo" / "signed-paper.png"
MOUNTING = {
    "casts_inspected": "yes",
    "transfer": "arbitrary face-bow",
    "jaw_record": "maximum intercuspation",
    "record_medium": "hard wax",
    "pin_zero_mm": "0",
    "verified_by_method": "foil",
    "foil_points": "3",
    "foil_pairs": "13/43, 23/33, 11/41",
}
SIGNATORY = {"signed_name": "Dora Winsley", "licence_number": "D-7781"}
SENT = ("impression", "jaw record", "photographs")


@pytest.fixture
def cast():
    return world()


@pytest.fixture
def people(cast, browser, live_server):
    names = ("dora", "farah", "tomas", "lena", "mona")
    found = {name: Person(browser, live_server.url, name) for name in names}
    yield found
    assert {name: person.complaints for name, person in found.items()} == {
        name: [] for name in names
    }


def type_the_paper(lena, office, surgery_on):
    """Everything that the paper says, step by step; it says nothing of an allergy."""
    lena.open("/cases/new/paper/")
    link = lena.page.get_by_label(office.name)
    link.check()
    lena.fill({"patient_code": "P-815", "surgery_on": long_date(surgery_on)})
    lena.press("Open the case and type the paper")
    lena.fill(
        {
            **{"route": "conventional", "set_up_order": "posterior first", "arch": "upper"},
            **{f"tooth_{tooth}": "extract at surgery" for tooth in UPPER_FRONT},
        }
    )
    lena.page.locator("button[name=fill][value=lost]").click()
    lena.press("Save and go on")
    lena.fill({"opponent": "natural teeth"})
    lena.page.locator("button[name=fill][value=natural]").click()
    lena.press("Save and go on")
    lena.fill(
        {
            **{"base_material": "heat-cured resin", "tooth_material": "resin"},
            **{"shade_system": "office tabs", "shade": "B2", "mould": "copy the natural teeth"},
            **{"scheme": "balanced", "flange": "full flange", "post_dam": "by the mark"},
        }
    )
    lena.press("Save and go on")
    lena.fill(
        {
            **{"overjet_mm": "2", "overbite_mm": "0.5", "probe_13": "3.5"},
            **{"incisal_display_mm": "2.5", "midline_offset_mm": "0"},
            **{"vertical_rest_mm": "68", "vertical_occlusion_mm": "65"},
            "vertical_read_at": "tip of the nose and chin",
        }
    )
    lena.press("Save and go on")
    lena.fill(
        {
            **{"jaw_record": "maximum intercuspation", "vertical_wish": "as the teeth"},
            "settings_wish": "average values",
        }
    )
    lena.press("Save and go on")
    lena.fill({"try_in": "wanted"})
    lena.press("Save and go on")


def mount(tomas, home):
    tomas.open(f"{home}mounting/")
    tomas.fill(MOUNTING)
    tomas.press("Save the mounting")


def test_a_bad_start_is_carried_to_a_second_mounting(cast, people):
    dora, farah, tomas = people["dora"], people["farah"], people["tomas"]
    lena, mona = people["lena"], people["mona"]
    surgery_on = timezone.localdate() + timedelta(days=90)
    while surgery_on.weekday() > 4:
        surgery_on += timedelta(days=1)

    # Lena types the paper. It is incomplete, and says so.
    type_the_paper(lena, cast.office, surgery_on)
    case = Case.objects.get()
    home = f"/cases/{case.code}/"
    paper = case.signed_papers.get()
    desk = f"{home}signed-papers/{paper.pk}/"
    lena.open(desk)
    lena.page.locator("main input[type=file]").set_input_files(PAGE)
    lena.press("Attach the page")
    assert "The page is attached." in lena.text
    assert "Ask about allergies and enter the answer." in lena.text
    assert "Choose the photographs that are taken before extraction" in lena.text
    lena.fill(SIGNATORY | {"signed_on": long_date(timezone.localdate())})
    lena.press("Hand over to be confirmed")
    assert "Not handed over: see what is open." in lena.text
    assert lena.accessible() == []

    # She asks with one press; only the dentist answers what is clinical.
    lena.page.get_by_role("button", name="Ask the office : Ask about allergies").click()
    assert "The office is asked." in lena.text
    assert "waits for the office" in lena.text.lower()
    dora.open(f"{home}questions/")
    dora.page.locator("article.question textarea").first.fill("Nickel. Nothing else is known.")
    dora.press("Save the answer")
    lena.open(f"{home}prescription/write/records/")
    lena.fill({"allergy": "listed", "allergy_text": "nickel"})
    lena.press("Save and go on")
    lena.open(f"{home}prescription/write/before/")
    lena.fill({"photographs": "yes"})
    lena.press("Save and go on")
    lena.open(desk)
    lena.fill(SIGNATORY | {"signed_on": long_date(timezone.localdate())})
    lena.press("Hand over to be confirmed")
    assert "A second member of the laboratory compares it with the page." in lena.text

    # Mona compares it with the page; from then on it counts as signed, on paper.
    mona.open(desk)
    assert "11 (Universal 8), upper right central incisor" in mona.text
    mona.fill({"compared": "yes", "password": PASSWORD})
    mona.press("Confirm the paper")
    assert "Revision 1 is signed on paper and in force." in mona.text
    assert "page on file" in mona.pdf(f"{home}papers/lab-slip.pdf")

    # The box is sent and never arrives. What was in it is missing, and goes out once more.
    pack(farah, home, SENT)
    farah.open(home)
    farah.press("Send the case")
    lena.open(f"{home}boxes/")
    lena.fill({"trouble": "lost", "note": "The courier has no trace of it."})
    lena.press("Report the box")
    assert "Reported as lost by Lena Marsh" in lena.text
    farah.open(home)
    assert "lost" in farah.text.lower()
    pack(farah, home, SENT, send=True)
    tomas.open(f"{home}boxes/")
    tomas.page.get_by_role("link", name="Take it in and count").click()
    for number in tomas.page.locator("main input:not([type=hidden])").all():
        number.fill("1")
    tomas.press("Take in the box")

    # The casts are mounted and verified; then one of them breaks.
    for button in (
        "Accept the case",
        "Begin master cast and rims",
        "Hand over for jaw records",
        "Begin the mounting",
    ):
        tomas.open(home)
        tomas.press(button)
    mount(tomas, home)
    tomas.open(home)
    tomas.press("Begin the settings")
    tomas.open(f"{home}incidents/")
    tomas.page.get_by_role("link", name="A cast broke").click()
    tomas.fill({"answer": "own", "text": "It fell while the base was lifted off."})
    tomas.press("Show what follows")
    assert "Nothing is saved yet." in tomas.text
    assert tomas.accessible() == []
    assert "The case goes back from settings to master cast and rims." in tomas.text
    assert "The mounting is kept as a past one" in tomas.text
    assert "4 working days by the stage times of the plan." in tomas.text
    case.refresh_from_db()
    assert case.stage == "settings"
    tomas.press("Report it")
    case.refresh_from_db()
    assert case.stage == "master cast and rims"
    farah.open("/desk/")
    assert "A cast broke" in farah.text

    # A new one is poured and mounted; the first mounting stays on file.
    tomas.open(home)
    assert "Enter and inspect the new cast, or close the report with what was done." in tomas.text
    tomas.open(f"{home}incidents/")
    tomas.fill({"done": "Poured again from the impression; inspected."})
    tomas.press("Close the report")
    for button in ("Hand over for jaw records", "Begin the mounting"):
        tomas.open(home)
        tomas.press(button)
    tomas.open(home)
    mount(tomas, home)
    tomas.open(home)
    tomas.press("Begin the settings")
    case.refresh_from_db()
    assert case.stage == "settings"
    assert case.mounting.number == 2
    assert case.past_mountings.count() == 1

    # Everything that happened is there, in order, and unaltered.
    mona.open(f"{home}history/")
    for told in (
        "took in a box; everything on the list was there",
        "brought the case back from settings to master cast and rims through an incident",
        "closed the report",
    ):
        assert told in mona.text, mona.text
    walked = StringIO()
    call_command("verify_history", stdout=walked)
    assert f"{case.history.count()} entries" in walked.getvalue()
