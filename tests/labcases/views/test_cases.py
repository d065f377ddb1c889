"""Finding a case, scanning a paper, and opening a new case."""

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases import codes
from labcases.domain import prescription
from labcases.enums import Stage
from labcases.models import Case, OfficeLink, PatientName
from labcases.views import cases
from tests.factories import MembershipFactory, world

pytestmark = pytest.mark.django_db


def read(client, user, **asked):
    client.force_login(user)
    return client.get("/cases/", asked)


def text(answer):
    return answer.content.decode()


def found(answer):
    return {row.line.case.code for row in answer.context["found"]}


class TestFind:
    def test_open_cases_are_listed_and_ended_ones_only_when_asked_for(self, client):
        here = world()
        case, ended = here.walk(patient_code="P-1").case, here.walk(patient_code="P-2").case
        Case.objects.filter(pk=ended.pk).update(stage=Stage.CANCELLED)
        assert found(read(client, here.farah)) == {case.code}
        assert found(read(client, here.farah, ended="on")) == {case.code, ended.code}

    def test_any_four_characters_of_a_code_find_it_and_three_do_not(self, client):
        here = world()
        case = here.walk().case
        assert found(read(client, here.lena, q=case.code[3:7].lower())) == {case.code}
        assert found(read(client, here.lena, q=case.code[3:6])) == set()

    def test_tray_number_and_patient_code_find_it(self, client):
        here = world()
        case = here.walk(patient_code="HB-77").case
        Case.objects.filter(pk=case.pk).update(tray_number="T9")
        for typed in ("t9", "hb-7", "HB-77"):
            assert found(read(client, here.lena, q=typed)) == {case.code}

    def test_a_name_never_finds_it(self, client):
        here = world()
        here.walk(patient_name="Agatha Quill")
        for typed in ("Agatha", "Quill", "agat"):
            answer = read(client, here.farah, q=typed)
            assert found(answer) == set()
            assert "Names are never searched" in text(answer)

    def test_stage_arch_tooth_and_surgery_day_narrow_the_list(self, client):
        here = world()
        upper = here.walk(patient_code="P-1", surgery_in_days=100).to(Stage.SENT)
        lower = here.walk(patient_code="P-2", surgery_in_days=110).to(Stage.MOUNTING, arch="lower")
        day = upper.surgery_on.isoformat()
        for asked, case in (
            ({"stage": "sent"}, upper),
            ({"stage": "mounting"}, lower),
            ({"arch": "lower"}, lower),
            ({"tooth": "11"}, upper),
            ({"tooth": "36"}, lower),
            ({"surgery_on": day}, upper),
        ):
            assert found(read(client, here.farah, **asked)) == {case.code}

    def test_the_address_keeps_the_filters_and_offers_to_clear_them(self, client):
        page = text(read(client, world().farah, stage="sent", arch="upper"))
        assert '<option value="sent" selected>' in page
        assert '<option value="upper" selected>' in page
        assert "Clear the filters" in page

    @pytest.mark.parametrize(
        ("asked", "words"),
        [
            ({"surgery_on": "03/04/2027"}, "03/04/2027 can be read two ways"),
            ({"arch": "upper", "tooth": "36"}, "Tooth 36 is not in the upper arch."),
        ],
    )
    def test_a_filter_that_cannot_be_is_refused_in_words(self, client, asked, words):
        answer = read(client, world().farah, **asked)
        assert answer.status_code == 422
        assert words in text(answer)
        assert "No case matches" not in text(answer)

    def test_cases_of_others_are_not_found_by_anything(self, client):
        here = world()
        case = here.walk().case
        for typed in (case.code, case.code[:4], "P-100", ""):
            assert found(read(client, here.olga, q=typed)) == set()

    def test_an_office_reads_a_plain_state_and_the_laboratory_the_stage(self, client):
        here = world()
        here.case_at(Stage.MOUNTING)
        assert "<span>At the laboratory</span>" in text(read(client, here.farah))
        assert "At the laboratory" not in text(read(client, here.lena))

    def test_a_long_list_has_pages_that_keep_the_filters(self, client, monkeypatch):
        monkeypatch.setattr(cases, "CASES_A_PAGE", 2)
        here = world()
        for number in range(3):
            here.walk(patient_code=f"P-{number}0")
        answer = read(client, here.farah, q="P-")
        assert "1 to 2 of 3" in text(answer)
        assert 'href="?q=P-&amp;page=2"' in text(answer)
        assert len(found(read(client, here.farah, q="P-", page=2))) == 1

    def test_an_empty_list_says_what_to_do(self, client):
        here = world()
        assert "Open a case" in text(read(client, here.farah))
        assert "when a linked office opens them" in text(read(client, here.lena))


class TestScan:
    def test_a_whole_code_opens_the_case(self, client):
        here = world()
        case = here.walk().case
        for typed in (case.code, codes.grouped(case.code).lower()):
            assert read(client, here.lena, q=typed).url == f"/cases/{case.code}/"

    def test_a_paper_in_force_opens_the_case_without_a_word(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        answer = read(client, here.lena, q=f"{case.code}-R01-LS")
        assert answer.url == f"/cases/{case.code}/"
        assert not list(client.get("/cases/").context["messages"])

    @pytest.mark.parametrize("grouped", [False, True])
    def test_an_old_paper_opens_the_case_and_says_stale(self, client, grouped):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        later = prescription.revise(case=case, by=here.dora)
        prescription.sign(row=later, **signature(here, later))
        code = codes.grouped(case.code).lower() if grouped else case.code
        answer = read(client, here.lena, q=f"{code}-R01-LS")
        assert answer.url == f"/cases/{case.code}/"
        (said,) = client.get("/cases/").context["messages"]
        assert str(said).startswith(
            "STALE PAPER. It was printed from revision R01; R02 is in force."
        )
        assert said.level_tag == "error"

    def test_a_paper_from_a_revision_that_is_not_there_is_doubted(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        read(client, here.lena, q=f"{case.code}-R07-LS")
        (said,) = client.get("/cases/").context["messages"]
        assert "The paper names revision R07, but R01 is in force." in str(said)

    def test_the_paper_of_another_house_opens_nothing_and_tells_nothing(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        answer = read(client, here.olga, q=f"{case.code}-R01-LS")
        assert answer.status_code == 200
        assert "No case matches" in text(answer)
        assert "is in force" not in text(answer)

    @pytest.mark.parametrize("paper", ["", "-R01-LS"])
    def test_a_slip_in_a_code_is_pointed_out(self, client, paper):
        here = world()
        case = here.walk().case
        wrong = case.code[:-1] + ("2" if case.code[-1] != "2" else "3")
        page = text(read(client, here.lena, q=wrong + paper))
        assert "type the 12 characters" in page

    def test_characters_that_no_code_has_are_named(self, client):
        page = text(read(client, world().lena, q="7O2K-9A3B-C4DL"))
        assert "A case code never holds L, O." in page


def signature(here, row):
    return {
        "version": row.version,
        "by": here.dora,
        "signed_name": "Dora Winsley",
        "licence_number": "D-7781",
    }


class TestOpen:
    def post(self, client, here, user=None, **given):
        client.force_login(user or here.farah)
        link = OfficeLink.objects.get(office=here.office, laboratory=here.laboratory)
        day = timezone.localdate() + timedelta(days=90)
        return client.post(
            "/cases/new/",
            {
                "link": link.pk,
                "patient_code": "HB-77",
                "surgery_on": day.isoformat(),
                **given,
            },
        )

    def test_the_case_is_opened_and_the_prescription_is_next(self, client):
        here = world()
        answer = self.post(client, here, patient_name="Agatha Quill")
        case = Case.objects.get()
        assert answer.url == f"/cases/{case.code}/prescription/write/teeth/"
        assert (case.office, case.laboratory, case.patient.code, case.stage) == (
            here.office,
            here.laboratory,
            "HB-77",
            "draft",
        )
        assert PatientName.objects.get().name == "Agatha Quill"
        assert case.history.count() == 1

    def test_the_only_laboratory_is_chosen_already(self, client):
        here = world()
        client.force_login(here.farah)
        page = text(client.get("/cases/new/"))
        assert "Tarn Lane Laboratory" in page
        assert " checked" in page

    def test_who_works_in_two_offices_says_for_which(self, client):
        here = world()
        MembershipFactory(user=here.farah, organisation=here.other_office, role="front desk")
        client.force_login(here.farah)
        page = text(client.get("/cases/new/"))
        assert "From Ferry Street Office to Tarn Lane Laboratory" in page
        assert "From Hollins Office to Tarn Lane Laboratory" in page

    @pytest.mark.parametrize(
        ("given", "words"),
        [
            ({"patient_code": "Agatha Quill"}, "Enter the code that your office uses"),
            ({"patient_code": ""}, "Enter the code that your office uses for the patient."),
            ({"surgery_on": "12-Mar-2020"}, "12-Mar-2020 is past."),
            ({"link": ""}, "Choose the laboratory."),
            ({"link": "987654"}, "That laboratory is not linked."),
        ],
    )
    def test_a_refusal_says_what_to_do_and_opens_nothing(self, client, given, words):
        answer = self.post(client, world(), **given)
        assert answer.status_code == 422
        assert words in text(answer)
        assert not Case.objects.exists()

    def test_the_link_of_another_office_is_no_choice(self, client):
        here = world()
        other = OfficeLink.objects.get(office=here.other_office)
        assert self.post(client, here, link=other.pk).status_code == 422
        assert not Case.objects.exists()

    def test_a_link_that_ends_meanwhile_is_refused_in_words(self, client, monkeypatch):
        here = world()

        def ended(**_given):
            raise cases.NotLinked("Ferry Street Office is not linked to Tarn Lane Laboratory.")

        monkeypatch.setattr(cases.cases_of, "open_case", ended)
        answer = self.post(client, here)
        assert answer.status_code == 422
        assert "Ferry Street Office is not linked" in text(answer)

    def test_a_second_case_of_a_patient_is_mentioned(self, client):
        here = world()
        first = here.walk(patient_code="HB-77").case
        self.post(client, here)
        said = [str(message) for message in client.get("/cases/").context["messages"]]
        assert f"Patient HB-77 has another open case: {codes.grouped(first.code)}." in said

    def test_the_laboratory_opens_none(self, client):
        here = world()
        assert self.post(client, here, here.mona).status_code == 403
        assert client.get("/cases/new/").status_code == 403

    def test_an_office_without_a_laboratory_is_told_whom_to_ask(self, client):
        here = world()
        OfficeLink.objects.update(active=False)
        client.force_login(here.farah)
        assert "Ask a laboratory's manager for a link" in text(client.get("/cases/new/"))
