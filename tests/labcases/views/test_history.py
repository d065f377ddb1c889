"""The history of a case, as sentences."""

import pytest
from django.urls import reverse

from labcases.domain import case as cases
from labcases.domain import history, prescription
from labcases.domain import question as asking
from labcases.enums import Side, Stage
from labcases.models import Case
from labcases.views._sentences import sentence
from labcases.views.history import PAGE
from tests.factories import world

pytestmark = pytest.mark.django_db


def read(client, user, case, query=""):
    client.force_login(user)
    return client.get(reverse("history", args=[case.code]) + query)


def test_a_whole_case_reads_as_sentences(client):
    here = world()
    case = here.case_at(Stage.CLOSED)
    said = [sentence(entry) for entry in case.history.all()]
    for expected in (
        "Dora Winsley (dentist) opened the case.",
        "Dora Winsley (dentist) signed revision 1 of the prescription.",
        "Farah Kline (office desk) packed a box: 1 x impression, 1 x photographs.",
        "Farah Kline (office desk) moved the case from draft to sent.",
        "Lena Marsh (laboratory desk) took in a box; everything on the list was there.",
        "Farah Kline (office desk) sent a box to the laboratory.",
        "Dora Winsley (dentist) approved the final wax and the trimming.",
        "Mona Ridley (laboratory manager) took the second look at the denture.",
        "Mona Ridley (laboratory manager) moved the case from finishing to released.",
    ):
        assert expected in said


def test_the_newest_entry_stands_first(client):
    here = world()
    case = here.case_at(Stage.SENT)
    text = read(client, here.lena, case).content.decode()
    assert text.index("moved the case from draft to sent") < text.index("opened the case")


def test_a_changed_number_shows_what_it_was_with_its_unit():
    here = world()
    walk = here.walk()
    walk.prescribe()
    row = walk.reload().prescription
    walk.prescribe(overjet_mm=row.overjet_mm + 1)
    assert "overjet 2\N{NO-BREAK SPACE}mm → 3\N{NO-BREAK SPACE}mm" in sentence(
        walk.case.history.last()
    )


def test_a_changed_day_is_written_with_its_month_in_letters(client):
    here = world()
    case = here.case_at(Stage.SENT)
    cases.set_surgery(
        case=case, version=case.version, on=case.surgery_on.replace(year=2031), by=here.dora
    )
    said = sentence(case.history.last())
    assert "-2031" in said
    assert "2031-" not in said


def test_holding_and_asking_say_why():
    here = world()
    case = here.case_at(Stage.ACCEPTED)
    cases.hold(case=Case.objects.get(pk=case.pk), reason="Cast broke", by=here.tomas)
    assert sentence(case.history.last()).endswith("put the case on hold: Cast broke.")
    asking.ask(case=case, about="the shade", text="B2 or B3?", waits_for=Side.OFFICE, by=here.tomas)
    assert sentence(case.history.last()).endswith("asked about the shade: B2 or B3?")


def test_a_count_that_differs_is_told_with_both_numbers():
    here = world()
    case = here.case_at(Stage.SENT)
    history.write(
        case=case, by=here.lena, act="taken in", part="box", changes={"Impression": [2, 1]}
    )
    assert sentence(case.history.last()) == (
        "Lena Marsh (laboratory desk) took in a box; the count differs: impression 2 on the "
        "list, 1 counted."
    )


def test_the_patient_s_name_never_stands_in_it(client):
    here = world()
    case = here.walk(patient_name="Nell Harrow").to(Stage.SENT)
    for entry in case.history.all():
        assert "Harrow" not in sentence(entry)
        assert "Harrow" not in str(entry.changes)
    assert "Harrow" not in read(client, here.lena, case).content.decode()


def test_long_histories_are_paged_both_ways(client):
    here = world()
    case = here.walk().case
    for number in range(PAGE + 5):
        history.write(case=case, by=here.tomas, act="noted", part=f"part {number:03d}")
    first = read(client, here.tomas, case).content.decode()
    assert "the part 054" in first
    assert "the part 004" not in first
    assert 'rel="next"' not in first
    address = first.split('href="?before=')[1].split('"')[0]
    second = read(client, here.tomas, case, f"?before={address}").content.decode()
    assert "part 004" in second
    assert "opened the case" in second
    assert 'rel="prev"' not in second
    back = second.split('href="?after=')[1].split('"')[0]
    again = read(client, here.tomas, case, f"?after={back}").content.decode()
    assert "part 054" in again
    assert "the part 004" not in again


@pytest.mark.parametrize("query", ["?before=x", "?before=", "?after=-1", "?before=9" + "9" * 30])
def test_a_page_number_that_is_none_shows_the_newest_entries(client, query):
    here = world()
    case = here.walk().case
    answer = read(client, here.dora, case, query)
    assert answer.status_code == 200
    assert "opened the case" in answer.content.decode()


def test_nothing_is_posted_to_it(client):
    here = world()
    case = here.walk().case
    client.force_login(here.mona)
    assert client.post(reverse("history", args=[case.code])).status_code == 405


def test_another_office_does_not_read_it(client):
    here = world()
    case = here.walk().case
    assert read(client, here.olga, case).status_code == 404


def test_a_thread_of_a_question_is_told_in_order():
    here = world()
    walk = here.walk()
    case = walk.to(Stage.ACCEPTED)

    def said():
        return sentence(case.history.filter(part="question").last()).split(") ", 1)[1]

    question = asking.ask(
        case=case, about="the shade", text="B2?", waits_for=Side.OFFICE, by=here.tomas
    )
    asking.remark(question=question, text="Back on Monday", by=here.farah)
    assert said() == "said about the shade: Back on Monday."
    asking.answer(question=question, text="B2", by=here.dora)
    assert said() == "answered the question about the shade: B2."
    asking.ask_again(question=question, text="Necks?", by=here.tomas)
    assert said() == "asked again about the shade: Necks?"
    prescription.answer_by_revision(asked=question, by=here.dora)
    assert said() == "began revision 2 to answer the question about the shade."
    asking.answer(question=question, text="Leave them", by=here.dora)
    asking.close(question=question, by=here.tomas)
    assert said() == "closed the question about the shade."
    other = asking.ask(
        case=case, about="the flange", text="Full?", waits_for=Side.OFFICE, by=here.tomas
    )
    asking.close(question=other, by=here.tomas, reason="on the slip")
    assert said() == "took back the question about the flange. Reason: on the slip."
