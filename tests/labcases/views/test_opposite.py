"""What stands opposite, beside the bench's numbers: a finding, an offer, and one tap to ask."""

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import bench
from labcases.domain import question as asking
from labcases.domain.proposal_answer import answer
from labcases.enums import Movement, Stage
from labcases.enums.proposals import ProposalState
from labcases.management.walk import natural
from labcases.models import Case, Proposal, SiteMeasure
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


def test_one_tap_proposes_the_tooth_to_the_dentist_and_the_page_then_says_what_came(cast):
    case = cast.case_at(Stage.ACCEPTED, **HEIGHTS)
    client = logged_in(cast.tomas)
    page = client.get(reverse("sites", args=[case.code])).content.decode()
    link = page.index("proposals/new/natural-tooth/?tooth=37")
    assert "Put 37 before the dentist" in page
    assert "Ask the dentist about 37" not in page
    assert "before the dentist" not in sites(cast, case, cast.dora)
    address = page[page.rindex('"', 0, link) + 1 : page.index('"', link)].replace("&amp;", "&")
    form = client.get(address).context["form"]
    assert (form["tooth"].value(), form["why"].value()) == (
        "37",
        "37 stands 1.6 mm above the plane, as prescribed. Does it stay as it is, or do you change "
        "it before the set-up?",
    )
    client.post(address, {"tooth": "37", "why": form["why"].value(), "aside": "on"})

    row = Proposal.objects.get()
    assert (row.kind, row.tooth, row.blocking) == ("natural tooth", "37", False)
    assert "Proposal 1: Waits for the dentist" in sites(cast, case)

    answer(
        proposal=row,
        version=row.version,
        answer=ProposalState.NO,
        text="She is used to it.",
        by=cast.dora,
    )
    assert "Proposal 1: It stays as it is. She is used to it." in sites(cast, case)


def test_beside_a_draft_the_tap_asks_and_the_page_then_says_so(cast, case):
    asked = asking.ask(
        case=case,
        about="tooth 37",
        tooth="37",
        text="Does it stay?",
        waits_for="office",
        clinical=True,
        blocking=False,
        by=cast.lena,
    )
    assert (
        '<input type="hidden" name="about" value="tooth 31">'
        in logged_in(cast.tomas).get(reverse("sites", args=[case.code])).content.decode()
    )
    assert "Asked, not answered yet" in sites(cast, case)
    assert "Ask the dentist about 31" in sites(cast, case)
    assert "Ask the dentist" not in sites(cast, case, cast.dora)
    asking.answer(question=asked, text="It stays.", by=cast.dora)
    assert "Asked and answered" in sites(cast, case)


def test_a_mark_on_a_worn_opposing_denture_comes_with_its_question(cast):
    # Every lower tooth is one of a denture, so that the rules may choose it.
    walk = cast.walk()
    case = walk.to(Stage.SET_UP, opposing=dict.fromkeys(natural("lower"), "denture"))
    for movement in Movement:
        walk.foil(movement, "16", "46", "26", "36", as_wanted=False)
    passes = case.setup_entries.filter(act="pass")
    client = logged_in(cast.tomas)

    words = " ".join(
        text_of(client.get(reverse("pass_seen", args=[case.code, one.pk]))) for one in passes
    )

    assert "a denture that is worn is adjusted only on the dentist's word." in words
    assert "Ask the dentist about 4" in words
