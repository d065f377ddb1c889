"""What the dentist is asked beside a mark: a natural tooth, or more than the budget."""

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import proposing
from labcases.domain.proposal_answer import answer
from labcases.enums import Movement, Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import Proposal
from tests.factories import world
from tests.labcases import kept
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    """At the bench with a signed prescription; 16 goes 0.42 mm into 46, and 0.3 mm may come off."""
    walk = here.walk()
    walk.to(Stage.SET_UP)
    deep = kept.tooth("16", place="46", series=[[0.0, 0.0], [3.0, -0.42]])
    kept.keep(walk.reload(), here.tomas, kept.findings(kept.excursion("right", deep)))
    walk.entry = walk.foil(Movement.RIGHT, "16", as_wanted=False)
    return walk


def page(client, user, walk):
    client.force_login(user)
    return client.get(reverse("pass_seen", args=[walk.case.code, walk.entry.pk]))


def test_a_depth_beyond_the_budget_can_be_put_before_the_dentist(here, client, walk):
    answer_ = page(client, here.tomas, walk)
    assert "16 on 46 Re-set, do not grind" in text_of(answer_)
    text = answer_.content.decode()
    assert "Put 46 before the dentist" in text
    url = (
        text.split(">Propose a reduction beyond the budget")[0].rsplit('href="', 1)[1].split('"')[0]
    )
    form = client.get(url.replace("&amp;", "&"))
    assert form.status_code == 200
    boxes = form.content.decode()
    assert '<option value="16" selected>' in boxes
    assert 'value="0.4"' in boxes
    assert "0.4 mm are predicted, and 0.3 mm are left." in text_of(form)


def test_a_natural_tooth_goes_without_a_number_and_once(here, client, walk):
    text = page(client, here.tomas, walk).content.decode()
    url = text.split(">Put 46 before")[0].rsplit('href="', 1)[1].split('"')[0]
    form = client.get(url.replace("&amp;", "&"))
    assert '<option value="46" selected>' in form.content.decode()
    assert "_mm" not in form.content.decode().split("<form")[-1]
    row = proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.NATURAL,
        why="it marks",
        tooth="46",
        by=here.tomas,
    )
    told = text_of(page(client, here.tomas, walk))
    assert f"Proposal {row.number} waits for the dentist" in told
    assert "Put 46 before the dentist" not in told


def test_who_proposes_nothing_is_offered_nothing(here, client, walk):
    told = text_of(page(client, here.dora, walk))
    assert "16 on 46" in told
    assert "before the dentist" not in told
    assert "beyond the budget" not in told


def test_what_the_dentist_allows_counts_as_budget_and_says_so(here, client, walk):
    row = proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.REDUCTION,
        why="0.42 mm are predicted",
        tooth="16",
        number=D("0.45"),
        by=here.tomas,
    )
    row = Proposal.objects.get(pk=row.pk)
    answer(proposal=row, version=row.version, answer=ProposalState.YES, by=here.dora, text="")
    told = text_of(page(client, here.tomas, walk))
    assert "16 on 46 Reduce" in told
    # Of 0.42 mm never more is told than that, and never more than the dentist allowed.
    assert "Depth proposed 0.4 mm Overlap predicted 0.4 mm" in told
    assert (
        "Height budget left 0.45 mm, allowed by the dentist, proposal 1 Left after it 0.05 mm"
        in told
    )
