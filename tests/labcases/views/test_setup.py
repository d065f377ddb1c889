"""The set-up page: state, a form for each act, lines that are struck but never erased."""

import re

import pytest
from django.urls import reverse

from labcases.enums import SetUpAct, Stage
from labcases.models import SetUpEntry
from labcases.notation import UPPER
from tests.factories import world
from tests.labcases import kept
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.SET_UP)


def page(client, user, case):
    client.force_login(user)
    return client.get(reverse("setup", args=[case.code])).content.decode()


def log(client, user, case, **typed):
    client.force_login(user)
    return client.post(reverse("setup", args=[case.code]), typed)


def test_the_large_type_of_the_bench_is_for_who_works_there(client):
    here = world()
    case = here.case_at(Stage.SET_UP)
    assert 'data-place="bench"' in page(client, here.tomas, case)
    assert 'data-place="bench"' not in page(client, here.dora, case)


def strike(client, user, case, pk, reason):
    client.force_login(user)
    return client.post(reverse("setup_strike", args=[case.code, pk]), {"reason": reason})


class TestPage:
    def test_an_empty_log_says_what_comes_first(self, here, client, case):
        text = page(client, here.tomas, case)
        assert "Nothing is logged yet." in text
        assert "No reading yet" in text
        assert text.count("No pass yet") == 4
        assert "0 of 8 teeth logged as set" in text

    def test_boxes_that_gates_point_to_stand_on_the_page_once(self, here, client, case):
        text = page(client, here.tomas, case)
        for landing in ("id_part", "id_separable_base", "id_after_mm"):
            assert text.count(f' id="{landing}"') == 1

    def test_there_is_a_form_for_every_act_without_a_page_of_its_own(self, here, client, case):
        text = page(client, here.tomas, case)
        assert f'href="{reverse("passes", args=[case.code])}">Grinding-in: log a pass' in text
        assert 'name="act" value="pass"' not in text
        for act in set(SetUpAct) - {SetUpAct.PASS, SetUpAct.TRIMMED, SetUpAct.ARRANGED}:
            assert f'<input type="hidden" name="act" value="{act.value}">' in text

    def test_the_usual_next_line_is_logged_with_one_tap(self, here, client, case):
        text = page(client, here.tomas, case)
        card = text.split('<article class="next-line">')[1].split("</article>")[0]
        assert "<h3>Base adapted, stabilised and sealed</h3>" in card
        tap = card.split("<form", 1)[1].split("</form>")[0]
        posts = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', tap))
        posts.pop("csrfmiddlewaretoken", None)
        assert posts == {"act": "base adapted", "separable_base": "yes"}
        assert log(client, here.tomas, case, **posts).status_code == 302
        text = page(client, here.tomas, case)
        assert "base comes off the cast" in text
        assert "<h3>Pin opened</h3>" in text.split('id="add"')[0]

    def test_sides_are_offered_in_the_laboratorys_numbers(self, here, client, case):
        here.laboratory.notation = "Universal"
        here.laboratory.save()
        log(client, here.tomas, case, act="base adapted", separable_base="yes")
        log(client, here.tomas, case, act="pin opened", before_mm="0", after_mm="0.5")
        for tooth in ("17", "16", "15", "14", "24", "25", "26", "27"):
            number = str(list(UPPER).index(tooth) + 1)
            log(client, here.tomas, case, act="hollow-ground", teeth=number, after_mm="1")
        text = page(client, here.tomas, case)
        assert "Right: 2 3 4 5" in text
        assert "Left: 12 13 14 15" in text

    def test_a_refused_line_that_was_usual_stays_in_its_card(self, here, client, case):
        answer = log(client, here.tomas, case, act="pin opened", before_mm="1", after_mm="0.5")
        card = answer.content.decode().split('id="add"')[0]
        assert 'value="0.5"' in card
        assert "which does not open it" in card

    def test_people_without_bench_work_read_and_get_no_form(self, here, client):
        walk = here.walk()
        case = walk.to(Stage.TRY_IN)
        text = page(client, here.dora, case)
        assert "Protrusive, as wanted, marks at 17 16 15 14" in text
        assert 'name="act"' not in text
        assert "Strike" not in text

    def test_another_office_finds_nothing(self, here, client, case):
        client.force_login(here.olga)
        assert client.get(reverse("setup", args=[case.code])).status_code == 404


class TestLedger:
    """The vertical, value by value, with what explains it and what does not."""

    def test_a_change_that_nothing_explains_is_marked(self, here, client, case):
        for act, typed in (
            ("pin opened", {"before_mm": "0", "after_mm": "0.5"}),
            ("tooth set", {"teeth": "16 17"}),
            ("pin reading", {"after_mm": "0.5"}),
            ("pin reading", {"after_mm": "0.2"}),
        ):
            assert log(client, here.tomas, case, act=act, **typed).status_code == 302
        answer = client.get(reverse("setup", args=[case.code]))
        words = text_of(answer)
        assert "Opened by 0.5 mm, a temporary aid." in words
        assert "0.3 mm is not explained: wax that gave way" in words
        assert "never counts as room" in words
        told = answer.content.decode().split('id="ledger"')[1].split("</table>")[0]
        assert told.count("glyph-warning") == 2  # not balanced, and not explained

    def test_the_predicted_lift_comes_from_the_kept_check(self, here, client, case):
        kept.keep(
            case,
            here.tomas,
            kept.findings(
                kept.excursion("right", kept.tooth("16"), pin_lift_mm=0.4, pin_lift_at_mm=2.0),
                kept.excursion("left", kept.tooth("26")),
            ),
        )
        client.force_login(here.tomas)
        words = text_of(client.get(reverse("setup", args=[case.code])))
        assert "right lateral up to 0.4 mm at 2 mm of travel" in words
        assert "left lateral none predicted above 0.05 mm" in words


class TestLogging:
    def test_a_line_is_stored_shown_and_written_to_history_once(self, here, client, case):
        before = case.history.count()
        answer = log(client, here.tomas, case, act="pin reading", after_mm="0,25")
        assert answer.status_code == 302
        entry = SetUpEntry.objects.get()
        assert (entry.act, str(entry.after_mm), entry.by) == ("pin reading", "0.25", here.tomas)
        assert case.history.count() == before + 1
        text = page(client, here.tomas, case)
        assert "Logged: pin read." in text
        assert "Not balanced" in text

    def test_a_refused_line_keeps_what_was_typed_and_opens_its_form(self, here, client, case):
        answer = log(client, here.tomas, case, act="reduction", teeth="46", after_mm="0.3")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert "46 is a natural tooth, and natural teeth are never changed here." in text
        assert 'value="46"' in text
        assert "<details open><summary>Denture tooth reduced</summary>" in text
        assert not SetUpEntry.objects.exists()

    def test_the_summary_of_refusals_links_to_the_boxes(self, here, client, case):
        text = log(client, here.tomas, case, act="part done").content.decode()
        assert '<a href="#id_part">Choose the part that is done.</a>' in text
        text = log(client, here.tomas, case, act="hollow-ground").content.decode()
        assert '<a href="#id_hollow_ground_teeth">Enter the tooth that was hollow-ground.' in text

    def test_much_grinding_is_logged_with_a_word_of_caution(self, here, client, case):
        answer = log(client, here.tomas, case, act="reduction", teeth="16", after_mm="0.8")
        text = client.get(answer.url).content.decode()
        assert "a tooth is usually set again rather than ground" in text
        assert SetUpEntry.objects.count() == 1

    @pytest.mark.parametrize("act", ["polish", "pass"])
    def test_an_act_that_has_no_line_is_refused_in_words(self, here, client, case, act):
        answer = log(client, here.tomas, case, act=act)
        assert answer.status_code == 422
        assert "Choose what was done, then fill its boxes." in answer.content.decode()

    def test_teeth_are_typed_in_the_laboratorys_notation(self, here, client, case):
        here.laboratory.notation = "Universal"
        here.laboratory.save()
        log(client, here.tomas, case, act="tooth set", teeth="3 14")
        assert SetUpEntry.objects.get().teeth == ["16", "26"]

    @pytest.mark.parametrize("name", ["dora", "farah", "lena"])
    def test_only_the_bench_logs(self, here, client, case, name):
        answer = log(client, getattr(here, name), case, act="note", note="x")
        assert answer.status_code == 403
        assert not SetUpEntry.objects.exists()


class TestStriking:
    @pytest.fixture
    def entry(self, here, client, case):
        log(client, here.tomas, case, act="note", note="wrong tray")
        return SetUpEntry.objects.get()

    def test_a_struck_line_stays_readable_with_the_reason(self, here, client, case, entry):
        answer = strike(client, here.mona, case, entry.pk, "belongs to another case")
        text = client.get(answer.url).content.decode()
        assert "<s>wrong tray</s>" in text
        assert "Struck out by Mona Ridley" in text
        assert "belongs to another case" in text

    def test_without_a_reason_nothing_is_struck(self, here, client, case, entry):
        answer = strike(client, here.tomas, case, entry.pk, " ")
        assert answer.status_code == 422
        assert "Give the reason why the line is struck out." in answer.content.decode()
        entry.refresh_from_db()
        assert entry.struck_at is None

    def test_a_line_is_struck_once(self, here, client, case, entry):
        strike(client, here.tomas, case, entry.pk, "belongs to another case")
        answer = strike(client, here.mona, case, entry.pk, "mine")
        assert answer.status_code == 409
        assert "This line was struck out already." in answer.content.decode()
        entry.refresh_from_db()
        assert entry.struck_reason == "belongs to another case"

    def test_a_line_of_another_case_is_not_found_here(self, here, client, case, entry):
        other = here.walk(patient_code="P-200").to(Stage.DRAFT)
        assert strike(client, here.tomas, other, entry.pk, "x").status_code == 404

    def test_the_office_strikes_nothing(self, here, client, case, entry):
        assert strike(client, here.dora, case, entry.pk, "x").status_code == 403
