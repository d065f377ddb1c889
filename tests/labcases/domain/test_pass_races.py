"""Two technicians at one case at the same moment: both passes stand, each with its own marks."""

import pytest

from labcases.domain import bench, passes
from labcases.domain.passes import Marked
from labcases.domain.striking import AlreadyStruck
from labcases.enums import Stage
from labcases.models import Case, Mark
from tests.factories import world
from tests.labcases.domain.test_races import together

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


@pytest.fixture
def here(transactional_db):
    return world()


def test_both_passes_stand_and_no_mark_goes_to_the_other(here):
    case = here.case_at(Stage.DRAFT)
    people = (here.tomas, here.mona)
    teeth = (("16", "46"), ("26", "36"))
    seen = [Case.objects.get(pk=case.pk) for _ in people]
    entries = case.history.count()

    ended = together(
        lambda n: passes.log_pass(
            case=seen[n],
            by=people[n],
            movement="right lateral",
            marks=[Marked(tooth, "heavy") for tooth in teeth[n]],
        ),
        people=2,
    )

    assert ended == {"stored": 2}
    kept = {entry.by: entry for entry in case.setup_entries.filter(act="pass")}
    for person, wanted in zip(people, teeth, strict=True):
        assert kept[person].teeth == list(wanted)
        assert list(kept[person].marks.values_list("tooth", flat=True)) == list(wanted)
    assert case.history.count() == entries + 2


def test_of_two_who_judge_both_words_stand_in_history_and_the_last_counts(here):
    walk = here.walk()
    entry = walk.foil("centric", "16", as_wanted=None)

    ended = together(
        lambda n: passes.judge(entry=entry, as_wanted=bool(n), by=(here.tomas, here.mona)[n]),
        people=2,
    )

    assert ended == {"stored": 2}
    said = [one.changes["as wanted"] for one in walk.case.history.filter(act="pass judged")]
    assert said[0][0] is None
    assert said[0][1] == said[1][0]
    entry.refresh_from_db()
    assert entry.as_wanted is said[1][1]


def test_who_grinds_for_a_mark_while_its_pass_is_struck_out_has_ground_all_the_same(here):
    """The pass is gone from the reckoning, what came off the tooth is not."""
    walk = here.walk()
    mark = walk.foil("centric", "16", as_wanted=False).marks.get()

    def act(number):
        if number:
            bench.strike(entry=mark.entry, reason="wrong foil", by=here.mona)
        else:
            passes.grind(
                mark=Mark.objects.select_related("entry__case").get(pk=mark.pk),
                tooth="16",
                depth_mm="0.1",
                by=here.tomas,
            )

    assert together(act, people=2) == {"stored": 2}
    mark.entry.refresh_from_db()
    assert mark.entry.struck_by == here.mona
    assert mark.reductions.get().teeth == ["16"]
    with pytest.raises(AlreadyStruck):
        bench.strike(entry=mark.entry, reason="again", by=here.tomas)
