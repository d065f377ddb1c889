"""What stands opposite, beside the bench's numbers: a finding, an offer, and one tap to ask."""

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import bench
from labcases.domain import question as asking
from labcases.enums import Stage
from labcases.management.walk import natural
from labcases.models import Case, Question, SiteMeasure
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

HEIGHTS = {"over_eruption_mm": {"37": "1.6", "31": "1"}, "over_eruption_by": "mounted cast"}


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    walk = cast.walk()
    walk.prescribe(**HEIGHTS)
    return walk.reload()


def sites(cast: World, case: Case, who=None) -> str:
    return text_of(logged_in(who or cast.tomas).get(reverse("sites", args=[case.code])))


def test_a_tooth_beyond_the_plane_is_a_finding_with_its_origin(cast, case):
    words = sites(cast, case)

    assert "What the denture meets Natural teeth." in words
    assert "Adjusting natural teeth is the dentist's decision; request it here." in words
    assert "37 stands 1.6 mm above the plane: the dentist decides." in words
    assert "Prescription R01, on the mounted cast, against the plane of the articulator" in words
    assert "31 stands 1 mm above the plane: the dentist decides." in words
    assert "callipers do not read front teeth" in words


def test_the_height_budget_names_the_finding_at_its_site(cast, case):
    words = sites(cast, case)

    assert (
        "37 stands 1.6 mm above the plane: the dentist decides. As prescribed (on the mounted "
        "cast, against the plane of the articulator); the space is read to this tooth, so the "
        "height is in it." in words
    )


def test_the_finding_is_numbered_as_the_reader_numbers_teeth(cast, case):
    cast.laboratory.notation = "Universal"
    cast.laboratory.save()

    # ISO 37 is Universal 18.
    assert "18 stands 1.6 mm above the plane: the dentist decides." in sites(cast, case)


def test_nothing_is_said_where_no_height_is(cast):
    case = cast.case_at(Stage.DRAFT, opposing=dict.fromkeys(natural("lower"), "denture"))
    words = sites(cast, case)

    assert "What the denture meets A complete denture that is worn." in words
    assert "beyond the plane" not in words


def test_a_denture_that_is_being_made_says_that_the_space_is_read_again(cast):
    case = cast.case_at(
        Stage.DRAFT,
        opposing=dict.fromkeys(natural("lower"), "denture"),
        opponent="complete denture being made",
    )
    words = sites(cast, case)

    assert "The opposing denture is being made, so the space is read again" in words
    assert "its teeth stand where they are planned, and the space is read again" in words


def test_one_tap_takes_the_height_over_and_it_stands_in_the_history(cast, case):
    client = logged_in(cast.tomas)
    answer = client.post(reverse("sites_take_over", args=[case.code]), {"tooth": "37"}, follow=True)

    assert SiteMeasure.objects.get(tooth="37").tip_height_mm == Decimal("1.6")
    words = text_of(answer)
    assert "37: tips +1.6 mm from the curve, as the prescription says of the plane." in words
    assert "read: +1.6 mm" in words


def test_taking_over_what_is_not_said_is_refused_in_words(cast, case):
    bench.save_site(
        case=case, tooth="37", version=0, by=cast.tomas, values={"tip_height_mm": Decimal("0.5")}
    )
    answer = logged_in(cast.tomas).post(
        reverse("sites_take_over", args=[case.code]), {"tooth": "37"}, follow=True
    )

    assert "Callipers have read 37 already (0.5 mm)" in text_of(answer)
    assert SiteMeasure.objects.get(tooth="37").tip_height_mm == Decimal("0.5")


def tapped(page: str) -> dict[str, str]:
    """What the button of the page would post."""
    start = page.index('<input type="hidden" name="about" value="tooth 37">')
    form = page[start : page.index("</form>", start)]
    return {
        part.split('"')[0]: part.split('value="')[1].split('"')[0]
        for part in form.split('name="')[1:]
    }


def test_one_tap_asks_the_dentist_and_the_page_then_says_so(cast, case):
    client = logged_in(cast.tomas)
    page = client.get(reverse("sites", args=[case.code])).content.decode()
    client.post(reverse("questions", args=[case.code]), tapped(page))

    question = Question.objects.get()
    assert (question.tooth, question.clinical, question.blocking) == ("37", True, False)
    assert question.waits_for == "office"
    assert question.text == (
        "37 stands 1.6 mm above the plane, as prescribed. Does it stay as it is, or do you change "
        "it before the set-up?"
    )
    assert "Asked, not answered yet" in sites(cast, case)

    asking.answer(question=question, text="It stays.", by=cast.dora)
    assert "Asked and answered" in sites(cast, case)


def test_a_mark_on_a_worn_opposing_denture_comes_with_its_question(cast):
    # Every lower tooth is one of a denture, so that the rules may choose it.
    walk = cast.walk()
    case = walk.to(Stage.SET_UP, opposing=dict.fromkeys(natural("lower"), "denture"))
    client = logged_in(cast.tomas)
    for movement in ("centric", "right lateral", "left lateral", "protrusive"):
        client.post(
            reverse("setup", args=[case.code]),
            {"act": "pass", "movement": movement, "as_wanted": "no", "teeth": "16 46 26 36"},
        )
    words = text_of(client.get(reverse("setup", args=[case.code])))

    assert "a denture that is worn is adjusted only on the dentist's word." in words
    assert "Request it here" in words
