"""Forty passes of one case, tapped on a tablet, and again with a keyboard alone.

What is counted is printed: taps or keys, and the seconds that this machine took, which waits for
no person. ``-s`` shows them.
"""

import time
from collections import Counter

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.management.walk import natural
from tests import needs
from tests.factories import PASSWORD, world

pytestmark = [needs.chromium, pytest.mark.django_db(transaction=True)]

PASSES = 40
#: The first four are called not as wanted and the last four as wanted; of those between nobody
#: says it, because a later pass takes their place.
FIRST, LAST = 4, PASSES - 4
MOVEMENTS = ("centric", "right lateral", "left lateral", "protrusive")
#: Teeth that mark, with strength and cusps where they were looked at: much and heavily at first,
#: evenly in the end. Twelve passes each, four of the last.
ROUNDS = (
    (("15", "", ""), ("26", "firm", ""), ("46", "", ""), ("16", "heavy", "")),
    (("17", "", ""), ("25", "", ""), ("16", "firm", "")),
    (("24", "", ""), ("16", "light", "lingual")),
    (("16", "", ""), ("26", "", "")),
)
#: One tap a tooth, one its strength, one its cusps; never more than three for one tooth.
TAPS_OF_TEETH = 12 * (4 + 2) + 12 * (3 + 1) + 12 * (2 + 2) + 4 * 2
#: The movement is chosen already, but where a pass that was not as wanted would be made again.
TAPS_OF_MOVEMENT = 3
#: Saving; saying whether it was as wanted; and going on where that does not lead there.
TAPS_OF_BUTTONS = PASSES + (4 + 4) + LAST


def marks_of(number):
    return ROUNDS[number // 12]


def stored(case):
    """Every pass as it is kept: movement, whether it was as wanted, and its marks."""
    return [
        (
            entry.movement,
            entry.as_wanted,
            sorted(entry.marks.values_list("tooth", "strength", "cusps")),
        )
        for entry in case.setup_entries.filter(act="pass").prefetch_related("marks")
    ]


def judged(number):
    return True if number >= LAST else False if number < FIRST else None


WANTED = [
    (MOVEMENTS[number % 4], judged(number), sorted(marks_of(number))) for number in range(PASSES)
]


@pytest.fixture
def case():
    return world().case_at(Stage.DRAFT)


@pytest.fixture
def tablet(browser, live_server, case):
    """Tomas with the page of the passes open, on a tablet that knows a keyboard as well."""
    context = browser.new_context(has_touch=True, viewport={"width": 820, "height": 1180})
    page = context.new_page()
    log_in(page, live_server, case)
    yield page
    context.close()


def log_in(page, live_server, case):
    page.goto(f"{live_server.url}/login/")
    page.fill("#id_username", "tomas")
    page.fill("#id_password", PASSWORD)
    page.click("main button[type=submit]")
    page.goto(f"{live_server.url}{reverse('passes', args=[case.code])}#next")


class Fingers:
    """Touches of a screen: each is counted, and none may have to hit less than 48 px."""

    def __init__(self, page):
        self.page, self.count, self.least = page, 0, 999.0

    def tap(self, *selectors):
        """Touch each where it stands."""
        for selector in selectors:
            at = self.page.evaluate(
                """selector => {
                  const e = document.querySelector(selector);
                  e.scrollIntoView({block: 'nearest'});
                  const box = e.getBoundingClientRect();
                  return [box.x + box.width / 2, box.y + box.height / 2, box.width, box.height];
                }""",
                selector,
            )
            self.least = min(self.least, *at[2:])
            self.count += 1
            self.page.touchscreen.tap(at[0], at[1])

    def go(self, selector):
        """Touch what leads to another page."""
        with self.page.expect_navigation(wait_until="domcontentloaded"):
            self.tap(selector)


def tap_pass(fingers, number):
    movement = f"[name=movement][value='{MOVEMENTS[number % 4]}']"
    if not fingers.page.is_checked(movement):
        fingers.tap(f"{movement} + label")
    for tooth, strength, cusps in marks_of(number):
        fingers.tap(
            f"label[for=id_teeth_{tooth}]",
            *([f"[name=strength_{tooth}][value={strength}] + label"] if strength else ()),
            *([f"[name=cusps_{tooth}][value={cusps}] + label"] if cusps else ()),
        )
    fingers.go("form.foil button[type=submit]")
    if judged(number) is not None:
        fingers.go(f"[name=verdict][value={'yes' if judged(number) else 'no'}]")
    if not judged(number):
        fingers.go("a.go-on")


def test_forty_passes_are_tapped_on_a_tablet(tablet, case):
    fingers = Fingers(tablet)
    began = time.monotonic()
    for number in range(PASSES):
        tap_pass(fingers, number)
    took = time.monotonic() - began
    print(f"\n{PASSES} passes: {fingers.count} taps in {took:.0f} s, least {fingers.least:.0f} px")
    assert stored(case) == WANTED
    assert fingers.count == TAPS_OF_TEETH + TAPS_OF_MOVEMENT + TAPS_OF_BUTTONS
    assert fingers.least >= 48


class Keys:
    """Keys that were pressed, by what they were for."""

    def __init__(self, page):
        self.page, self.counts = page, Counter()

    @property
    def count(self):
        return sum(self.counts.values())

    def press(self, what, *keys):
        for key in keys:
            self.page.keyboard.press(key)
        self.counts[what] += len(keys)

    def tab_to(self, selector):
        for _ in range(12):
            self.press("tabulator", "Tab")
            if self.page.evaluate("s => document.activeElement.matches(s)", selector):
                return
        raise AssertionError(f"{selector} is more than twelve tabs away")

    def go(self):
        with self.page.expect_navigation(wait_until="domcontentloaded"):
            self.press("enter", "Enter")


def key_pass(keys, number):
    keys.tab_to("[name=movement]")
    chosen = keys.page.evaluate("document.activeElement.value")
    steps = (number % 4 - MOVEMENTS.index(chosen)) % 4
    keys.press("movement", *["ArrowRight"] * steps)
    keys.tab_to("[name=teeth]")
    for tooth, strength, cusps in marks_of(number):
        keys.press("teeth", *tooth, strength[:1] or "Space")
        if cusps:
            keys.tab_to(f"[name=cusps_{tooth}]")
            keys.press("cusps", *["ArrowRight"] * ("", "buccal", "lingual").index(cusps))
    keys.go()
    if judged(number) is not None:
        keys.tab_to(f"[name=verdict][value={'yes' if judged(number) else 'no'}]")
        keys.go()
    if not judged(number):
        keys.tab_to("#judge a.alone")
        keys.go()


def test_forty_passes_are_logged_with_a_keyboard_alone(tablet, case):
    keys = Keys(tablet)
    began = time.monotonic()
    for number in range(PASSES):
        key_pass(keys, number)
    took = time.monotonic() - began
    print(f"\n{PASSES} passes: {keys.count} keys in {took:.0f} s, {dict(keys.counts)}")
    assert stored(case) == WANTED
    # Two digits and one key for a tooth.
    assert keys.counts["teeth"] == 3 * (12 * 4 + 12 * 3 + 12 * 2 + 4 * 2)
    assert keys.counts["enter"] == TAPS_OF_BUTTONS


def test_without_a_script_a_pass_is_tapped_and_kept_all_the_same(browser, live_server, case):
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    log_in(page, live_server, case)
    page.click("[name=movement][value='left lateral'] + label")
    page.click("label[for=id_teeth_16]")
    page.click("[name=strength_16][value=heavy] + label")
    page.click("form.foil button[type=submit]")
    assert stored(case) == [("left lateral", None, [("16", "heavy", "")])]
    context.close()


#: The narrowest and the lowest of what is tapped in a pass.
LEAST = """() => {
  const keys = '.tap, .movement label, .tooth input:checked ~ .more label, .foil-save button,'
    + ' .foil-save label';
  const boxes = [...document.querySelectorAll(keys)].map(e => e.getBoundingClientRect());
  return [Math.min(...boxes.map(b => b.width)), Math.min(...boxes.map(b => b.height)),
          document.documentElement.scrollWidth];
}"""


def test_keys_are_large_enough_on_a_phone_with_eight_teeth_beside_each_other(tablet, case):
    case.prescriptions.update(opposing={**natural("lower"), "48": "natural"})
    tablet.set_viewport_size({"width": 390, "height": 844})
    tablet.reload()
    tablet.click("label[for=id_teeth_48]")
    width, height, page_width = tablet.evaluate(LEAST)
    assert width >= 48
    assert height >= 48
    assert page_width == 390
