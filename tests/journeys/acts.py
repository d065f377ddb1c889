"""What people do again and again on their way with a case, and how they read a check."""

from typing import NamedTuple

from labcases.templatetags.units import long_date

UPPER_FRONT = ("13", "12", "11", "21", "22", "23")


class Cell(NamedTuple):
    """State and gap of a tooth in an excursion, as they are read on the page."""

    state: str
    gap: str


def excursions(person):
    """The three tables of the clearance check that is open."""
    found = {}
    for section in person.page.locator("section.excursion").all():
        rows = {}
        for row in section.locator("tbody tr").all():
            tooth = row.locator("th").inner_text().split()[0]
            cells = row.locator("td").all_inner_texts()
            state, gap = (cell.splitlines()[0].strip() for cell in cells[1:3])
            rows[tooth] = Cell(state.lower(), gap.replace("\N{NO-BREAK SPACE}", " "))
        found[section.get_attribute("id")] = rows
    return found


def pack(person, home, contents, send=False):
    """Pack a box of disinfected things; send it on its own where it does not go with the case."""
    person.open(f"{home}boxes/new/")
    for number, content in enumerate(contents):
        person.fill(
            {
                f"items-{number}-content": content,
                f"items-{number}-count": "1",
                f"items-{number}-agent": "hypochlorite spray",
                f"items-{number}-label_minutes": "10",
                f"items-{number}-actual_minutes": "10",
                f"items-{number}-disinfected_by": "Nell Orrin",
            }
        )
    person.press("Save the box")
    if send:
        person.press("Send the box")


def take_in(person, case):
    """Count what arrived."""
    box = case.boxes.filter(sent_at__isnull=False, received_at__isnull=True).get()
    person.open(f"/cases/{case.code}/boxes/{box.pk}/receive/")
    for number in person.page.locator("main input:not([type=hidden])").all():
        number.fill("1")
    person.press("Take in the box")


def compute(person, home, button):
    person.open(f"{home}check/")
    person.press(button)


def log(person, home, act, fields, page="setup/"):
    """Log a line with the small form of its act, unfolding it where it is folded."""
    person.open(f"{home}{page}")
    form = person.page.locator(f"form:has([name=act][value='{act}']):not(.taps *)").first
    for folded in person.page.locator(f"details:has([name=act][value='{act}'])").all():
        folded.evaluate("e => e.open = true")
    for name, value in fields.items():
        box = form.locator(f"[name={name}]").first
        kind = box.evaluate("e => e.tagName == 'SELECT' ? 'select' : e.type")
        if kind == "radio":
            form.locator(f"[name={name}][value={value}]").check()
        elif kind == "select":
            box.select_option(value)
        else:
            box.fill(value)
    form.locator("button[type=submit]").click()
    assert "Error" not in person.page.title(), person.text[:1500]


def foil(person, home, teeth, *, button="As wanted"):
    """Tap a pass in the movement that is chosen, save it, and say whether it was as wanted."""
    person.open(f"{home}passes/")
    for tooth in teeth:
        person.page.locator(f"label[for=id_teeth_{tooth}]").click()
    person.page.locator("form.foil button[type=submit]").click()
    person.press(button)


def trim(person, home, teeth, labial_mm="1.5"):
    """Log that these stone teeth were cut, one after the other, all as deep."""
    person.open(f"{home}front-teeth/")
    form = person.page.locator("form:has([name=what][value=trim])")
    form.locator("[name=method]").first.check()
    form.locator("[name=order]").fill(" ".join(teeth))
    form.locator("[name=all-labial_mm]").fill(labial_mm)
    form.locator("button[type=submit]").click()
    assert "Error" not in person.page.title(), person.text[:1500]


def photograph_wax(person, home, pictures):
    """Add the wax from each side, as ``what`` -> the file."""
    for what, path in pictures.items():
        person.open(f"{home}files/")
        person.page.locator("main [name=what]").select_option(what)
        person.page.locator("main input[type=file]").set_input_files(path)
        person.press("Add it to the case")


def write_prescription(dora, surgery_on):
    dora.open("/cases/new/")
    dora.fill(
        {
            **{"patient_code": "P-700", "patient_name": "Agnes Dunmore"},
            "surgery_on": long_date(surgery_on),
        }
    )
    dora.press("Open the case")
    dora.fill(
        {
            "route": "conventional",
            "set_up_order": "posterior first",
            "arch": "upper",
            **{f"tooth_{tooth}": "extract at surgery" for tooth in UPPER_FRONT},
        }
    )
    # All positions that are still open are lost already: one press.
    dora.page.locator("button[name=fill][value=lost]").click()
    dora.press("Save and go on")
    dora.fill({"opponent": "natural teeth", "tooth_48": "missing", "tooth_38": "missing"})
    dora.page.locator("button[name=fill][value=natural]").click()
    dora.press("Save and go on")
    dora.fill(
        {
            **{"base_material": "heat-cured resin", "tooth_material": "resin"},
            **{"shade_system": "office tabs", "shade": "B2", "mould": "copy the natural teeth"},
            **{"scheme": "balanced", "flange": "full flange", "post_dam": "by the mark"},
        }
    )
    dora.press("Save and go on")
    dora.fill(
        {
            **{"overjet_mm": "2", "overbite_mm": "0,5", "probe_13": "3,5"},
            **{"incisal_display_mm": "2,5", "midline_offset_mm": "0", "photographs": "yes"},
            **{"vertical_rest_mm": "68", "vertical_occlusion_mm": "65"},
            "vertical_read_at": "tip of the nose and chin",
        }
    )
    dora.press("Save and go on")
    dora.fill(
        {
            **{"jaw_record": "maximum intercuspation", "vertical_wish": "as the teeth"},
            **{"settings_wish": "average values"},
            **{"allergy": "listed", "allergy_text": "nickel"},
        }
    )
    dora.press("Save and go on")
    dora.fill({"try_in": "wanted", "instructions": "Keep the gap between 11 and 21."})
    dora.press("Save and go on")
