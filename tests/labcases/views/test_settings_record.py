"""The articulator record: sides named, limits with reasons, unusual values acknowledged once."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import calculations, records
from labcases.management.sample import POINT_RECORDS
from labcases.models import ArticulatorRecord, Case
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    walk = cast.walk()
    walk.prescribe(overjet_mm=Decimal("3"), overbite_mm=Decimal("1.5"))
    return walk.reload()


def url(case: Case) -> str:
    return reverse("settings", args=[case.code])


def typed(**more) -> dict[str, str]:
    return {
        "version": "0",
        "origin": "prescribed",
        "reference_plane": "axis plane",
        "plane_tilt_deg": "0",
        "condylar_right_deg": "35",
        "condylar_left_deg": "30",
        "bennett_right_deg": "15",
        "bennett_left_deg": "10",
        "side_shift_right_mm": "0",
        "side_shift_left_mm": "0",
        "wing_right_deg": "20",
        "wing_left_deg": "15",
        "incisal_table_deg": "20",
        "table_on": "lower",
        "front_guide": "table",
        "overjet_mm": "3",
        "overbite_mm": "1.5",
        "intercondylar_mm": "110",
        "incisal_x_mm": "80",
        "incisal_z_mm": "-32",
        "pin_x_mm": "",
        "pin_z_mm": "",
        "pin_opening_mm": "0",
        **more,
    }


def save(user, case: Case, **more):
    return logged_in(user).post(url(case), typed(**more), follow=True)


def test_the_table_names_condyles_and_excursions(cast, case):
    page = logged_in(cast.tomas).get(url(case)).content.decode()
    rows = [
        re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", row)).strip()
        for row in re.findall(r"<tr><th scope=\"row\">.*?</tr>", page, flags=re.DOTALL)
    ]

    assert rows[0].startswith("Condylar inclination by condyle")
    assert "Condylar inclination, right condyle" in rows[0]
    assert "Bennett angle, left condyle" in rows[1]
    assert rows[3].startswith("Lateral wing by excursion")
    assert "Wing in right lateral" in rows[3]


def test_the_page_says_which_wing_guides_and_how_the_pin_is_read(cast, case):
    words = text_of(logged_in(cast.tomas).get(url(case)))

    assert (
        "with the table on the lower member, right lateral uses the wing on the patient's left"
        in words
    )
    assert "The pin is read as the straight drop of the pin point." in words
    assert "on a table of 20 deg drops it by 0.87 mm only" in words


def test_overjet_and_overbite_are_carried_over_from_the_prescription(cast, case):
    page = logged_in(cast.tomas).get(url(case)).content.decode()

    assert re.search(r'name="overjet_mm" value="3"', page)
    assert re.search(r'name="overbite_mm" value="1.5"', page)
    assert "are carried over from the prescription" in page


def test_a_record_is_stored_side_by_side(cast, case):
    answer = save(cast.tomas, case)

    row = ArticulatorRecord.objects.get()
    assert (row.condylar_right_deg, row.condylar_left_deg) == (35, 30)
    assert (row.wing_right_deg, row.wing_left_deg) == (20, 15)
    assert row.pin_x_mm is None
    assert "Every setting lies within what is usual." in text_of(answer)
    assert case.history.last().part == "articulator record"


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        (
            "condylar_right_deg",
            "94",
            "Condylar inclination, right condyle, is 94 deg. Enter 0 to 75 deg, read against the "
            "plane named in the record.",
        ),
        (
            "side_shift_left_mm",
            "5",
            "Immediate side shift, left condyle, is 5 mm. Enter 0 to 4 mm.",
        ),
        ("intercondylar_mm", "60", "Intercondylar distance is 60 mm. Enter 80 to 140 mm."),
        ("bennett_left_deg", "", "Bennett angle, left condyle: enter a number."),
    ],
)
def test_impossible_settings_are_refused_with_the_side_the_limit_and_the_link(
    cast, case, field, value, sentence
):
    answer = save(cast.tomas, case, **{field: value})

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert f'href="#id_{field}"' in answer.content.decode()
    assert not ArticulatorRecord.objects.exists()


def test_unusual_settings_are_listed_with_their_source_and_ask_to_be_acknowledged(cast, case):
    answer = save(cast.tomas, case, condylar_right_deg="65")

    words = text_of(answer)
    assert "Condylar inclination, right, is 65 deg; usual is 10 to 60 deg." in words
    assert "Right and left condylar inclination differ by 35 deg" in words
    assert "Source: Johnson and Winstanley" in words
    assert "sides_differ" not in words
    assert "I have read these; they are meant" in words


def acknowledge(user, case: Case, version: int):
    return logged_in(user).post(
        reverse("settings_acknowledge", args=[case.code]), {"version": version}, follow=True
    )


def test_an_acknowledged_record_says_by_whom_until_it_changes(cast, case):
    save(cast.tomas, case, condylar_right_deg="65")

    answer = acknowledge(cast.mona, case, 1)

    assert "Acknowledged by Mona Ridley." in text_of(answer)
    changed = save(cast.tomas, case, condylar_right_deg="66", version="2")
    assert "I have read these; they are meant" in text_of(changed)


def test_settings_that_changed_while_they_were_read_are_not_acknowledged(cast, case):
    save(cast.tomas, case, condylar_right_deg="65")
    save(cast.tomas, case, condylar_right_deg="70", version="1")

    answer = acknowledge(cast.mona, case, 1)

    assert "Tomas Abelard changed the settings while you read them." in text_of(answer)
    assert ArticulatorRecord.objects.get().acknowledged == ""


def test_there_is_nothing_to_acknowledge_before_the_record(cast, case):
    answer = acknowledge(cast.tomas, case, 0)

    assert "There is no articulator record yet." in text_of(answer)


def test_the_second_to_save_sees_both_values(cast, case):
    save(cast.tomas, case)

    answer = save(cast.mona, case, condylar_right_deg="40")

    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Keep yours: </span>40" in page
    assert "Keep stored: </span>35" in page
    assert ArticulatorRecord.objects.get().condylar_right_deg == 35


def test_saving_again_without_a_choice_undoes_nothing_of_the_other(cast, case):
    save(cast.tomas, case)
    again = {"version": "1", "condylar_right_deg": "40", "clash": ["condylar_right_deg"]}

    unanswered = save(cast.mona, case, **again)
    kept = ArticulatorRecord.objects.get().condylar_right_deg
    answered = save(cast.mona, case, **again, **{"keep-condylar_right_deg": "yours"})

    assert unanswered.status_code == 409
    assert "choose what stays in each line" in text_of(unanswered)
    assert kept == 35
    assert answered.status_code == 200
    assert ArticulatorRecord.objects.get().condylar_right_deg == 40


def test_the_page_of_a_clash_says_which_lines_are_to_be_answered(cast, case):
    save(cast.tomas, case)

    page = save(cast.mona, case, condylar_right_deg="40").content.decode()

    assert re.findall(r'name="clash" value="(\w+)"', page) == ["condylar_right_deg"]


def test_front_teeth_other_than_prescribed_are_pointed_out(cast, case):
    answer = save(cast.tomas, case, overjet_mm="2")

    assert "Overjet: the prescription says 3 mm, this page says 2 mm." in text_of(answer)


def test_the_dentist_reads_the_record_without_a_form(cast, case):
    save(cast.tomas, case)

    answer = logged_in(cast.dora).get(url(case))

    assert "Condylar inclination, right condyle 35 deg" in text_of(answer)
    assert 'name="condylar_right_deg"' not in answer.content.decode()


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_enters_and_acknowledges_settings(cast, case, who):
    assert save(getattr(cast, who), case).status_code == 403
    assert acknowledge(getattr(cast, who), case, 1).status_code == 403


def test_another_office_finds_nothing(cast, case):
    assert logged_in(cast.olga).get(url(case)).status_code == 404


def test_nobody_is_said_to_have_prescribed_settings_before_somebody_says_so(cast, case):
    page = logged_in(cast.tomas).get(url(case)).content.decode()
    answer = logged_in(cast.tomas).post(url(case), typed(origin=""))

    assert not re.search(r'name="origin"[^>]*checked', page)
    assert answer.status_code == 422
    assert "Say where the settings come from." in text_of(answer)


class TestAfterAdopting:
    """What was adopted from check records, and is then typed over on this page."""

    @pytest.fixture
    def adopted(self, cast, case):
        save(cast.tomas, case)
        for values in POINT_RECORDS:
            records.add(case=case, by=cast.tomas, values=values)
        return Case.objects.get(pk=case.pk)

    def adopt(self, cast, case, *fields) -> dict[str, str]:
        """Adopt them; what the form of the page then holds."""
        row = records.adopt(
            case=case,
            version=1,
            digest=calculations.record_proposals(case)["points"].digest,
            method="points",
            fields=fields,
            by=cast.tomas,
        )
        held = {field: str(getattr(row, field)) for field in fields}
        return {"version": "2", "origin": "check records", **held}

    def test_a_value_typed_over_loses_its_deviation_and_the_other_keeps_its_own(
        self, cast, adopted
    ):
        held = self.adopt(cast, adopted, "condylar_right_deg", "condylar_left_deg")

        answer = save(cast.tomas, adopted, **held | {"condylar_right_deg": "40"})

        row = ArticulatorRecord.objects.get()
        assert (row.condylar_right_deg, row.condylar_right_sd_deg) == (40, None)
        assert (str(row.condylar_left_deg), str(row.condylar_left_sd_deg)) == ("37.1", "2.3")
        assert row.origin == "check records"
        assert text_of(answer).count("deg, from check records") == 1
        page = text_of(logged_in(cast.tomas).get(reverse("check_records", args=[adopted.code])))
        assert "usual 10 to 60 40 deg 33.9 ± 2.4 deg" in page
        slip = text_of(logged_in(cast.tomas).get(reverse("paper", args=[adopted.code, "lab-slip"])))
        assert "40 ± 2.4" not in slip

    def test_the_last_one_typed_over_asks_where_the_settings_come_from(self, cast, adopted):
        held = self.adopt(cast, adopted, "condylar_right_deg") | {"condylar_right_deg": "40"}

        asked = save(cast.tomas, adopted, **held)
        kept = str(ArticulatorRecord.objects.get().condylar_right_deg)
        said = save(cast.tomas, adopted, **held | {"origin": "average"})

        assert asked.status_code == 422
        assert (
            "No value that was adopted from check records stands any more. Say where the settings "
            "come from now."
        ) in text_of(asked)
        assert "deg, from check records" not in text_of(asked)
        assert kept == "33.9"
        assert "from check records" not in text_of(said).split("Settings of both sides")[1]
        row = ArticulatorRecord.objects.get()
        assert (row.condylar_right_deg, row.condylar_right_sd_deg) == (40, None)
        assert row.origin == "average"

    def test_another_setting_typed_over_takes_nothing_away(self, cast, adopted):
        held = self.adopt(cast, adopted, "condylar_right_deg")

        save(cast.tomas, adopted, **held, wing_right_deg="10")

        row = ArticulatorRecord.objects.get()
        assert (row.wing_right_deg, str(row.condylar_right_sd_deg)) == (10, "2.4")
        assert row.origin == "check records"
