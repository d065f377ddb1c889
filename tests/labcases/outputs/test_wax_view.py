"""The final wax as it is shown: how far its lists are, and what changed after an approval."""

from decimal import Decimal

import pytest

from labcases.domain import final_wax
from labcases.enums import Stage
from labcases.models import FinalWax
from labcases.outputs import wax_view
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


def test_a_list_says_how_many_lines_are_answered_how():
    case = world().case_at(Stage.DRAFT)
    wax = FinalWax(
        answers={"sealed": "yes", "necks": "no", "papillae": "not asked"},
        words={"necks": "ragged at 12"},
    )
    teeth, base = wax_view.lists(case, wax)
    assert (teeth.line, teeth.glyph) == ("1 yes, 1 no, 1 not asked for here, 12 open", "warning")
    assert (base.line, base.glyph) == ("17 open", "not yet")
    necks = next(one for one in teeth.answers if one.text == "The necks of the teeth are clean")
    assert (necks.word, necks.said) == ("No", "ragged at 12")


def test_a_list_of_a_lower_denture_asks_for_its_back_border():
    case = world().case_at(Stage.DRAFT, arch="lower")
    _teeth, base = wax_view.lists(case, None)
    texts = [one.text for one in base.answers]
    assert "The base ends behind where it is prescribed" in texts
    assert "The palate is even" not in texts


def test_what_changed_after_an_approval_is_named_without_the_approval_itself():
    here = world()
    walk = here.walk()
    case = walk.to(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()
    assert wax_view.changed_since_approval(case) == []
    row = FinalWax.objects.get(case=case)
    final_wax.save(
        case=walk.reload(),
        version=row.version,
        by=here.tomas,
        values={
            "overjet_mm": D("2.75"),
            "duplicate_made": False,
            "answers": row.answers | {"sealed": "no"},
        },
    )
    (change,) = wax_view.changed_since_approval(case)
    assert str(change.entry.by) == "Tomas Abelard"
    assert [text.replace("\N{NO-BREAK SPACE}", " ") for text in change.changes] == [
        "overjet: 2 mm → 2.75 mm",
        "duplicate made: yes → no",
        "All teeth are sealed in wax: yes → no",
    ]


def test_a_wax_that_was_never_approved_has_no_change_to_tell():
    walk = world().walk()
    case = walk.to(Stage.FINAL_WAX)
    walk.wax()
    assert wax_view.changed_since_approval(case) == []
