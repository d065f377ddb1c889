"""The case that the trade teaches with, played at the bench (common practice, no source).

An upper denture, balanced, against natural lower teeth: both condylar paths at 20 degrees with a
Bennett angle of 15 degrees, table and wings at 20. The pin is opened by half a millimetre while
the posterior teeth are set, the base is ground thin at a premolar, the neck of another tooth is
ground hollow, and the pin is closed again. On the right the buccal cusps meet too heavily in
working: the upper one gives on its inner incline, by a tenth. The balancing contact on the other
side is wanted and stays. In protrusion the back teeth keep the front ones free.
"""

import pytest

from labcases.enums import SetUpAct, Stage
from labcases.models import SetUpEntry
from tests import needs
from tests.factories import world
from tests.journeys.acts import compute, log
from tests.journeys.people import Person

pytestmark = [needs.chromium, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SETTINGS, scheme="balanced")
    return walk


@pytest.fixture
def tomas(walk, browser, live_server):
    found = Person(browser, live_server.url, "tomas")
    yield found
    assert found.complaints == []


BOTH_SIDES = ("17", "16", "15", "14", "24", "25", "26", "27")


def marked(tomas, home, movement, teeth, heavy=()):
    """Choose the movement, tap the teeth, say which marked heavily, and save; the page is read."""
    tomas.open(f"{home}passes/")
    tomas.page.locator(".movements label").filter(has_text=movement).click()
    for tooth in teeth:
        tomas.page.locator(f"label[for=id_teeth_{tooth}]").click()
    for tooth in heavy:
        tomas.page.check(f"[name=strength_{tooth}][value=heavy]", force=True)
    tomas.page.locator("form.foil button[type=submit]").click()
    return tomas.text


def test_a_balanced_upper_is_set_and_ground_in_at_the_bench(walk, tomas):
    case = walk.case
    home = f"/cases/{case.code}/"

    # Settings as read: 20 and 20, Bennett 15; nothing unusual to acknowledge.
    tomas.open(f"{home}settings/")
    tomas.fill(
        {
            **{"origin": "average", "condylar_right_deg": "20", "condylar_left_deg": "20"},
            **{"bennett_right_deg": "15", "bennett_left_deg": "15"},
            **{"incisal_table_deg": "20", "wing_right_deg": "20", "wing_left_deg": "20"},
            **{"overjet_mm": "2", "overbite_mm": "0.5"},
        }
    )
    tomas.press("Save the articulator record")
    walk.choose_teeth()
    walk.measure()
    compute(tomas, home, "Compute the clearance check")
    tomas.open(f"{home}sites/")
    tomas.press("Compute the height budget")
    tomas.open(home)
    tomas.press("Begin the set-up")

    # Base, a pin half a millimetre open, a thin premolar site, a hollow neck, teeth; pin closed.
    log(tomas, home, "base adapted", {"separable_base": "yes"})
    log(tomas, home, "pin opened", {"before_mm": "0", "after_mm": "0,5"})
    log(tomas, home, "base reduced", {"teeth": "14", "after_mm": "1.6"})
    log(
        tomas,
        home,
        "hollow-ground",
        {"teeth": "15", "after_mm": "0.4", "shell_left_mm": "2.0", "base_mm": "2"},
    )
    log(tomas, home, "tooth set", {"teeth": " ".join(BOTH_SIDES)})
    tomas.open(home)
    assert "The pin stands 0.50 mm from pin zero and 0.00 mm is agreed." in tomas.text
    log(tomas, home, "pin reading", {"after_mm": "0"})

    # Centric on both sides, as a balanced set-up wants it.
    assert "Proposal from scheme and marks: as wanted." in marked(
        tomas, home, "Centric", BOTH_SIDES
    )
    tomas.press("As wanted")

    # To the right: too heavy on the working side, and a balancing contact that stays.
    seen = marked(tomas, home, "Right lateral", (*BOTH_SIDES, "46"), heavy=("16", "46"))
    assert "Heavier than the others: 16 46 (common practice, no source)." in seen
    assert "Proposal from scheme and marks: not as wanted." in seen
    tomas.press("Not as wanted")
    assert "Leave as they are: 17 15 14 24 25 26 27. The scheme wants these contacts." in tomas.text
    rules = tomas.page.locator("#marks .proposal").all_inner_texts()
    assert len(rules) == 1
    assert "16, lingual (inner) incline of the upper buccal cusp" in rules[0]
    assert "Keep the contact in centric." in rules[0]
    tomas.press("0.1 mm off 16")
    assert "Logged: 0.1 mm off tooth 16 (Universal 3)." in tomas.text

    # What was ground is looked at again: the pin first, then centric, then the same movement.
    assert "Ground or set since the last pass in centric: 16. Mark centric again." in tomas.text
    tomas.press("Yes, it touches")
    marked(tomas, home, "Centric", BOTH_SIDES)
    tomas.press("As wanted")
    seen = marked(tomas, home, "Right lateral", BOTH_SIDES)
    assert "Every tooth that is asked about stands as the scheme wants." in seen
    assert "Still there 17 16 15 14 24 25 26 27" in seen
    tomas.press("As wanted")
    for movement in ("Left lateral", "Protrusive"):
        assert "Proposal from scheme and marks: as wanted." in marked(
            tomas, home, movement, BOTH_SIDES
        )
        tomas.press("As wanted")
    log(tomas, home, "pin reading", {"after_mm": "0"})

    # The ledger balances, front teeth lift no pin, and no natural tooth was the object of anything.
    tomas.open(f"{home}setup/")
    assert "Difference 0 mm Balanced" in tomas.text
    assert "Opened by 0.5 mm, a temporary aid." in tomas.text
    assert "It stayed. Ground since: 16 by 0.1 mm (0.15 mm at the pin)." in tomas.text
    assert "protrusive none predicted above 0.05 mm" in tomas.text
    assert "1.6 mm of base is left at 14, less than 2 mm" in tomas.text
    for part in ("posterior", "anterior"):
        log(tomas, home, "part done", {"part": part})
    tomas.open(home)
    for gap in ("The pin stands", "No pass is logged", "not as the scheme wants", "not logged as"):
        assert gap not in tomas.text
    ground = SetUpEntry.objects.filter(act__in=(SetUpAct.REDUCTION, SetUpAct.HOLLOW_GROUND))
    assert [(entry.act, entry.teeth, str(entry.after_mm)) for entry in ground] == [
        ("hollow-ground", ["15"], "0.40"),
        ("reduction", ["16"], "0.10"),
    ]
