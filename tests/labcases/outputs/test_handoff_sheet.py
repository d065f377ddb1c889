"""The processing handoff: settings, findings and budget, frozen or marked as not yet so."""

from decimal import Decimal

import pytest
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.html import strip_tags

from labcases.domain import trimming
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.management import walk_curing
from labcases.outputs import handoff_sheet
from labcases.outputs.papers import PAPERS
from tests import needs
from tests.labcases.domain.test_proposal_answer import answered, propose
from tests.labcases.outputs.printed import render, text_of


def plain(html: str) -> str:
    """The words of a sheet, in the order in which they are written."""
    return " ".join(strip_tags(html.replace("<", " <")).split())


pytestmark = [needs.pango, pytest.mark.django_db]


def test_handoff_prints_settings_findings_and_budget(cast, handed_over):
    text = text_of(render("processing-handoff", handed_over, cast.tomas))

    assert f"{handed_over.code}-R01-PH" in text
    assert "heat-cured resin, pink, veined" in text
    assert "pin: zero 0 mm, last reading 0 mm, agreed 0 mm: balanced" in text.lower()
    assert "natural teeth and bone are never changed on this sheet's word" in text
    # 9 mm of space less 2 mm of base leaves 7 of the 8 mm tooth: 1 mm hollow, 1.8 of 2.8 mm left.
    assert "16 fits 9 mm 1 mm 1.8 mm 0.3 mm" in text


def test_handoff_keeps_what_was_frozen_when_the_record_changes_later(cast, handed_over):
    before = PAPERS["processing-handoff"].context(handed_over, by=cast.tomas, notation="ISO 3950")
    record = handed_over.articulator
    record.condylar_right_deg = Decimal("45")
    record.save()
    fresh = type(handed_over).objects.get(pk=handed_over.pk)

    after = PAPERS["processing-handoff"].context(fresh, by=cast.tomas, notation="ISO 3950")

    assert after["clearance"]["overview"] == before["clearance"]["overview"]


def test_each_assumption_of_the_check_is_a_sentence_of_its_own_in_a_list(cast, handed_over):
    told = PAPERS["processing-handoff"].context(handed_over, by=cast.tomas, notation="ISO 3950")

    html = render_to_string(handoff_sheet.TEMPLATE, told)

    told_apart = html.split('<ul class="paper-assumed">')[1].split("</ul>")[0]
    assert "<p" not in told_apart
    assert told_apart.count("<li>") == len(told["clearance"]["assumptions"]) + 1 > 5


def test_handoff_says_that_the_cast_is_trimmed_otherwise_than_was_approved(cast, handed_over):
    before = text_of(render("processing-handoff", handed_over, cast.tomas))
    assert "approved by the dentist" in before
    assert "otherwise than the dentist approved" not in before
    # The order once, and what was cut alike in one line.
    assert "Cast trimmed In the order of removal: 13, 11, 22, 12, 21, 23: every" in before
    assert before.count("labially 1.5 mm") == 1
    trimming.log(
        case=handed_over,
        by=cast.tomas,
        method="alternate",
        trims=[{"tooth": "11", "labial_mm": Decimal("2.25")}],
    )

    text = text_of(render("processing-handoff", handed_over, cast.tomas))

    assert "otherwise than the dentist approved" in text
    assert "approved by the dentist" not in text


def test_handoff_before_it_is_handed_over_says_so(cast):
    case = cast.case_at(Stage.SET_UP)

    text = text_of(render("processing-handoff", case, cast.tomas))

    assert "Not handed over yet" in text


def test_sheet_with_a_changed_input_is_marked_stale(cast):
    case = cast.case_at(Stage.SET_UP)
    case.articulator.condylar_right_deg = Decimal("35")
    case.articulator.save()

    text = text_of(render("processing-handoff", type(case).objects.get(pk=case.pk), cast.tomas))

    assert "STALE: since the check was computed" in text
    assert "30 → 35" in text


def test_handoff_lists_what_the_dentist_answered_and_what_hung_on_it(cast):
    walk = cast.walk()
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    answered(walk, propose(walk, ProposalKind.NATURAL), ProposalState.NO, text="it stays")
    answered(walk, propose(walk, ProposalKind.SETTING), ProposalState.YES)
    propose(walk, ProposalKind.ARRANGEMENT)
    walk.settings["condylar_right_deg"] = Decimal("32")
    walk.enter_settings()
    case = walk.reload()

    told = PAPERS["processing-handoff"].context(case, by=cast.tomas, notation="ISO 3950")
    text = plain(render_to_string(handoff_sheet.TEMPLATE, told))

    assert (
        "1. Natural tooth as the place of a finding Natural tooth 46 (Universal 30): the dentist "
        "decides It stays as it is. it stays Dora Winsley, "
    ) in text
    assert "no depth is proposed for one. It is recorded, and what waited" in text
    assert (
        "2. Change of a setting Right condylar inclination 30 deg \N{RIGHTWARDS ARROW} 35 deg Yes. "
        "as I say The dentist approved 35 deg; the articulator record has 32 deg now. "
        "Dora Winsley, "
    ) in text
    assert "becomes 35 deg, as approved by the dentist." in text
    assert "3. Deviation" not in text
    assert "after this handoff" not in text
    assert "Answered by the dentist" in text_of(render("processing-handoff", case, cast.tomas))


def test_an_answer_that_came_after_the_handoff_says_so(cast, handed_over):
    assert "Answered by the dentist" not in text_of(
        render("processing-handoff", handed_over, cast.tomas)
    )
    handed_over.proposals.create(
        number=1,
        kind=ProposalKind.NATURAL,
        tooth="46",
        state=ProposalState.NO,
        why="46 stands above the plane.",
        raised_by=cast.tomas,
        answered_by=cast.dora,
        answered_at=timezone.now(),
    )

    told = PAPERS["processing-handoff"].context(handed_over, by=cast.tomas, notation="ISO 3950")

    assert ", after this handoff not kept" in plain(render_to_string(handoff_sheet.TEMPLATE, told))


def test_how_it_was_processed_prints_with_lots_and_what_lacks(cast, handed_over):
    before = PAPERS["processing-handoff"].context(handed_over, by=cast.tomas, notation="ISO 3950")
    assert before["processed"] is None

    walk_curing.begin(handed_over, cast.tomas)
    fresh = type(handed_over).objects.get(pk=handed_over.pk)
    told = PAPERS["processing-handoff"].context(fresh, by=cast.tomas, notation="ISO 3950")
    text = plain(render_to_string(handoff_sheet.TEMPLATE, told))

    assert "Short, 2 hours and 1 hour" in text
    assert "Resin powder: heat-cured resin, pink, veined, lot L-2291" in text
    assert "Not entered: Packed, Closed in the press, Put in the bath" in text
