"""One case, played by three people in a browser: from the prescription to the handoff.

What is read on screen and paper is worked out by hand where a hand can:

* Height at 26: 6 mm of space less 2 mm of base leave 4 of the 7 mm tooth, so it would be
  ground hollow by 3 mm; of a 3 mm shell that must keep 1.5 mm only 1.5 can go: short by
  1.5 mm. A 5 mm tooth is ground hollow by 1 mm and keeps 2 mm of shell.
* Once both condylar paths are 20 degrees, left and right are mirrored but for what callipers
  read on the right: 46 stands 1.2 mm out of its row with cusps of 30 degrees, and so steep
  are 15 and 16. In the left excursion 15, a balancing tooth then, has to pass the steep slope
  of 46: the lower teeth go down by some 20 degrees there, less than the 30 that it would
  take. Its likeness 25 passes a tooth in its row and is no such interference, and 14, which
  nobody read, has the gaps of 24.
* Screen and paper show the kept answer: the same state and the same gap for every tooth.
"""

import re
from datetime import timedelta

import pytest
from django.conf import settings
from django.utils import timezone

from labcases.models import Case, HistoryEntry
from labcases.templatetags.units import long_date
from tests import needs
from tests.factories import PASSWORD, world
from tests.journeys.acts import (
    UPPER_FRONT,
    compute,
    excursions,
    foil,
    log,
    pack,
    photograph_wax,
    take_in,
    trim,
    write_prescription,
)
from tests.journeys.people import Person

pytestmark = [
    needs.chromium,
    needs.pango,
    pytest.mark.django_db(transaction=True),
]

DRAWINGS = settings.BASE_DIR / "fixtures" / "demo"
WAX = {
    "wax: intraoral front": DRAWINGS / "wax-from-front.png",
    "wax: intraoral right": DRAWINGS / "wax-from-right.png",
    "wax: intraoral left": DRAWINGS / "wax-from-left.png",
    "wax: cast": DRAWINGS / "wax-and-casts.png",
}


@pytest.fixture
def cast():
    return world()


@pytest.fixture
def people(cast, browser, live_server):
    found = {name: Person(browser, live_server.url, name) for name in ("dora", "farah", "tomas")}
    yield found
    assert {name: person.complaints for name, person in found.items()} == {
        "dora": [],
        "farah": [],
        "tomas": [],
    }


def test_case_goes_from_prescription_to_handoff(cast, people):
    dora, farah, tomas = people["dora"], people["farah"], people["tomas"]
    surgery_on = timezone.localdate() + timedelta(days=60)
    while surgery_on.weekday() > 4:
        surgery_on += timedelta(days=1)

    # Dora writes, checks her answers and signs with her password.
    write_prescription(dora, surgery_on)
    assert "upper right central incisor" in dora.text, dora.text
    assert dora.accessible() == []
    dora.fill({"password": "something else entirely"})
    dora.press("Sign the prescription")
    assert Case.objects.get().prescription.status == "draft"
    dora.fill({"password": PASSWORD, "signed_name": "Dora Winsley", "licence_number": "D-7781"})
    dora.press("Sign the prescription")
    case = Case.objects.get()
    assert case.prescription.status == "signed"
    home = f"/cases/{case.code}/"

    # Farah cannot send it before something is packed; then she packs and sends.
    farah.open("/desk/")
    farah.open(home)
    assert "Pack a box: say what goes to the laboratory, and how many." in farah.text
    pack(farah, home, ("impression", "jaw record", "photographs"))
    farah.open(home)
    assert farah.accessible() == []
    farah.press("Send the case")
    assert "On the way" in farah.text

    # Tomas takes it in, mounts, enters settings and teeth.
    take_in(tomas, case)
    for button in ("Accept the case", "Begin master cast and rims", "Hand over for jaw records"):
        tomas.open(home)
        tomas.press(button)
    tomas.open(home)
    tomas.press("Begin the mounting")
    tomas.open(f"{home}mounting/")
    tomas.fill(
        {
            "casts_inspected": "yes",
            "transfer": "arbitrary face-bow",
            "jaw_record": "maximum intercuspation",
            "record_medium": "hard wax",
            "pin_zero_mm": "0",
            "verified_by_method": "foil",
            "foil_points": "3",
            "foil_pairs": "13/43, 23/33, 11/41",
        }
    )
    tomas.press("Save the mounting")
    tomas.open(home)
    tomas.press("Begin the settings")
    tomas.open(f"{home}settings/")
    tomas.fill(
        {
            "origin": "average",
            "condylar_right_deg": "30",
            "condylar_left_deg": "20",
            "bennett_right_deg": "15",
            "bennett_left_deg": "15",
            "wing_right_deg": "20",
            "wing_left_deg": "20",
            "incisal_table_deg": "20",
            "overjet_mm": "2",
            "overbite_mm": "0.5",
        }
    )
    assert tomas.accessible() == []
    tomas.press("Save the articulator record")
    tomas.open(f"{home}teeth/")
    tomas.fill(
        {
            "anterior_mould": "copied",
            "posterior_mould": "small",
            "shade": "B2",
            "material": "resin",
            "cusp_angle_deg": "20",
        }
    )
    tomas.press("Save the tooth selection")
    for part in ("upper-anterior", "upper-posterior"):
        block = tomas.page.locator(f"#id_{part}")
        block.get_by_text("Already here, not from stock").click()
        block.locator("form:has([value=here]) [name=lot]").fill("T-118")
        block.get_by_role("button", name="Enter as in hand").click()

    # The sites: one is short, and screen and paper say by how much.
    tomas.open(f"{home}sites/")
    for tooth in ("17", "15", "24", "25", "27"):
        tomas.fill({f"{tooth}-ample": "yes"})
    for tooth, space, height, shell in (
        ("14", "9", "8", "2.8"),
        ("16", "9", "8", "2.8"),
        ("26", "6", "7", "3"),
    ):
        tomas.fill(
            {
                f"{tooth}-space_mm": space,
                f"{tooth}-base_min_mm": "2",
                f"{tooth}-tooth_height_mm": height,
                f"{tooth}-shell_over_fossa_mm": shell,
                f"{tooth}-shell_min_mm": "1.5",
            }
        )
    tomas.fill({"15-cusp_angle_deg": "30", "16-cusp_angle_deg": "30"})
    tomas.fill({"46-cusp_angle_deg": "30", "46-tip_height_mm": "1,2"})
    tomas.press("Save the sites")
    assert "Saved: 17, 16, 15, 14, 24, 25, 26, 27, 46." in tomas.text
    assert tomas.accessible() == []
    assert "short by 1.5 mm" in tomas.text.lower()
    compute(tomas, home, "Compute the height budget")
    assert "26 short 6 mm 3 mm" in tomas.pdf(f"{home}papers/processing-handoff.pdf")
    tomas.open(home)
    assert "At 26 the height is short by 1.50 mm." in tomas.text
    tomas.open(f"{home}sites/")
    tomas.fill({"26-tooth_height_mm": "5"})
    tomas.press("Save the sites")
    assert "short by" not in tomas.text.lower()
    compute(tomas, home, "Compute the height budget again")

    # The clearance check with a right inclination that was mistyped; it becomes stale.
    compute(tomas, home, "Compute the clearance check")
    tomas.open(f"{home}settings/")
    tomas.fill({"condylar_right_deg": "20"})
    tomas.press("Save the articulator record")
    tomas.open(f"{home}check/")
    assert "stale" in tomas.text.lower(), tomas.text
    assert "30 → 20" in tomas.text
    assert tomas.accessible() == []
    compute(tomas, home, "Compute again")
    tomas.open(f"{home}check/")
    assert "stale" not in tomas.text.lower()
    on_screen = excursions(tomas)
    assert set(on_screen) == {"protrusive", "right", "left"}
    assert all(len(rows) == 8 for rows in on_screen.values())
    assert on_screen["left"]["15"].state == "interference"
    assert on_screen["left"]["15"].gap.startswith("−")
    assert on_screen["right"]["25"].state != "interference"
    for here, there in (("protrusive", "protrusive"), ("left", "right"), ("right", "left")):
        assert on_screen[here]["14"].gap == on_screen[there]["24"].gap
    way = tomas.page.locator("#in-the-way tbody tr").filter(has_text="Left lateral")
    assert [row.split()[:2] for row in way.all_inner_texts()] == [["15", "46"]]
    assert "Set denture tooth 15 again" in way.first.inner_text()

    # The set-up: passes, pin back to the table, posterior part on a base of its own.
    tomas.open(home)
    tomas.press("Begin the set-up")
    for act, fields in (
        ("pin opened", {"before_mm": "0", "after_mm": "0.5"}),
        ("tooth set", {"teeth": "17 16 15 14 24 25 26 27"}),
        ("reduction", {"teeth": "26", "after_mm": "0.4"}),
        ("part done", {"part": "posterior", "separable_base": "yes"}),
    ):
        log(tomas, home, act, fields)
    # The movement that is usually next is chosen already.
    for teeth in (("16", "26"), ("16",), ("26",), ("26",)):
        foil(tomas, home, teeth)
    tomas.open(home)
    assert "The pin stands 0.50 mm from pin zero and 0.00 mm is agreed." in tomas.text
    log(tomas, home, "pin reading", {"after_mm": "0"})
    tomas.open(f"{home}setup/")
    assert tomas.accessible() == []
    tomas.open(f"{home}try-in/bench/")
    assert tomas.accessible() == []
    for line in tomas.page.locator("main [name^=answer_][value=yes]").all():
        line.check()
    tomas.press("Save the bench check")
    tomas.open(home)
    tomas.press("Hand over for try-in")

    # Out to the office, judged by Dora, back to the bench.
    pack(tomas, home, ("wax set-up",), send=True)
    take_in(farah, case)
    dora.open(f"{home}try-in/")
    assert dora.accessible() == []
    for line in dora.page.locator("main [name^=answer_][value=ok]").all():
        line.check()
    for closing in ("closing_1", "closing_2", "closing_3"):
        dora.page.locator(f"[name={closing}]").select_option("same")
    for name, choice in (("lip_contact", "meets"), ("patient_word", "as shown")):
        dora.page.locator(f"[name={name}]").select_option(choice)
    dora.fill(
        {
            **{"vertical_rest_mm": "71", "vertical_mm": "68", "speaking_mm": "1.5"},
            **{"display_smile_mm": "8", "length_change_mm": "0", "outcome": "approved"},
        }
    )
    dora.press("Record the try-in")
    pack(farah, home, ("wax set-up",), send=True)
    take_in(tomas, case)
    tomas.open(home)
    tomas.press("Go on with the set-up")
    log(tomas, home, "tooth set", {"teeth": " ".join(UPPER_FRONT)})
    log(tomas, home, "part done", {"part": "anterior"})
    tomas.open(home)
    tomas.press("Begin the final wax")
    trim(tomas, home, UPPER_FRONT)
    photograph_wax(tomas, home, WAX)
    tomas.open(f"{home}final-wax/")
    assert tomas.accessible() == []
    for name, choice in (
        *(("flange_kind", "full flange"), ("undercut_kind", "relieved"), ("insertion", "straight")),
        *(("template_wanted", "yes"), ("bone_change_planned", "no")),
    ):
        tomas.page.locator(f"[name={name}]").select_option(choice)
    tomas.fill(
        {
            "duplicate_made": "yes",
            **{"flange_right_mm": "2.5", "flange_front_mm": "2", "flange_left_mm": "2.5"},
            "undercut_decision": "relieved at 13",
            "overjet_mm": "2",
            "overbite_mm": "0.5",
            **{"incisal_display_mm": "2.5", "midline_offset_mm": "0"},
        }
    )
    tomas.press("Save the final wax")
    for which in ("teeth", "base"):
        tomas.open(f"{home}final-wax/checklist/{which}/")
        assert tomas.accessible() == []
        for line in tomas.page.locator("main [name^=answer_][value=yes]").all():
            line.check()
        tomas.press("Save the checklist")
    dora.open(f"{home}final-wax/")
    assert dora.accessible() == []
    dora.press("Approve the final wax and the trimming")

    # The handoff freezes what was found; screen and paper read the same.
    tomas.open(f"{home}handoff/")
    assert tomas.accessible() == []
    tomas.fill(
        {
            "base_material": "heat-cured resin",
            "base_product": "pink resin",
            "base_lot": "L-1",
            "index_made": "yes",
        }
    )
    tomas.press("Hand over to processing")
    case.refresh_from_db()
    assert case.stage == "processing"
    tomas.open(f"{home}papers/processing-handoff/")
    assert tomas.accessible() == []
    screen, paper = tomas.text, tomas.pdf(f"{home}papers/processing-handoff.pdf")
    for literal in (
        "Condylar inclination, by condyle 20 deg 20 deg",
        "Pin: zero 0 mm, last reading 0 mm, agreed 0 mm: balanced",
        "26 fits 6 mm 1 mm 2 mm 0.5 mm",
        "P-700",
        "Allergy: nickel",
    ):
        assert literal in screen.replace("\N{NO-BREAK SPACE}", " "), literal
        assert literal in paper.replace("\N{NO-BREAK SPACE}", " "), literal
    assert "Dunmore" not in paper
    for tooth in on_screen["left"]:
        told = [on_screen[name][tooth] for name in ("protrusive", "right", "left")]
        line = rf"\b{tooth} " + " ".join(
            rf"{re.escape(cell.state)}(?:, not as wanted)? {re.escape(cell.gap)} ± [0-9.]+ mm"
            for cell in told
        )
        for said in (screen, paper):
            assert re.search(line, said.replace("\N{NO-BREAK SPACE}", " ")), line

    # The desk sees the dates; the history tells who did what.
    farah.open("/desk/")
    assert farah.accessible() == []
    farah.open(f"{home}dates/")
    assert long_date(surgery_on) in farah.text
    moves = HistoryEntry.objects.filter(case=case, part="stage").order_by("id")
    assert [entry.changes["stage"][1] for entry in moves] == [
        "Sent",
        "Accepted",
        "Master cast and rims",
        "Jaw records",
        "Mounting",
        "Settings",
        "Set-up",
        "Try-in",
        "Set-up",
        "Final wax",
        "Processing",
    ]
    tomas.open(f"{home}history/")
    assert tomas.accessible() == []
    assert "Dunmore" not in tomas.text
