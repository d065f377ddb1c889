"""Every gate with every thing that it can miss: refused in words, passed by few, mended."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator

import pytest
from django.urls import resolve

from labcases.domain import case as cases
from labcases.domain import final_wax, gates, prescription, processing, stages
from labcases.domain import question as asking
from labcases.domain.prescription import NotReady
from labcases.domain.stages import Refused
from labcases.enums import BoxContent, BoxDirection, Side, Stage
from labcases.management.walk import Walk
from labcases.models import Case, Handoff, HistoryEntry, User
from labcases.views._lookup import link_to
from tests.labcases.domain import (
    gaps_from_wax,
    gaps_of_curing,
    gaps_of_pairs,
    gaps_of_reviews,
    gaps_of_setup,
    gaps_to_delivery,
    gaps_to_mounting,
)
from tests.labcases.domain.gaps import Gap, mounting, released
from tests.labcases.domain.gaps_to_delivery import no_lots
from tests.labcases.domain.unsignable import UNSIGNABLE, Unsignable

GAPS = (
    *gaps_to_mounting.GAPS,
    *gaps_of_setup.GAPS,
    *gaps_of_pairs.GAPS,
    *gaps_from_wax.GAPS,
    *gaps_of_curing.GAPS,
    *gaps_to_delivery.GAPS,
    *gaps_of_reviews.GAPS,
)
REASON = "surgery cannot wait"

# Who moves a complete case into a stage; a gate that may be passed is passed by another.
MOVER = {
    Stage.SENT: "office_desk",
    Stage.RELEASED: "manager",
    Stage.DISPATCHED: "lab_desk",
    Stage.RECEIVED: "office_desk",
    Stage.DELIVERED: "dentist",
    Stage.IN_REVIEW: "dentist",
    Stage.CLOSED: "dentist",
}
EVERYBODY = ("dentist", "office_desk", "technician", "lab_desk", "manager")


def go(walk: Walk, gap: Gap, by: User, reason: str = "") -> None:
    """The move itself; into processing it goes with a handoff, or that is what is missing."""
    case = walk.reload()
    if gap.into == Stage.PROCESSING and gap.part != "handoff":
        values = {"base_material": "heat-cured resin", "base_product": "heat-cured, pink"}
        processing.hand_over(case=case, by=by, values=values, reason=reason)
    else:
        stages.move(case=case, to=gap.into, by=by, reason=reason)


def mover(walk: Walk, gap: Gap) -> User:
    return getattr(walk.hands, MOVER.get(gap.into, "technician"))


def as_stored(walk: Walk) -> tuple[object, ...]:
    """What a refused move must leave alone."""
    case = Case.objects.get(pk=walk.case.pk)
    return (
        *(case.stage, case.stage_since, case.version, HistoryEntry.objects.count()),
        *(Handoff.objects.count(), case.boxes.filter(sent_at=None).count(), case.try_ins.count()),
    )


def refusal(walk: Walk, gap: Gap, by: User, reason: str = "") -> Refused:
    before = as_stored(walk)
    with pytest.raises(Refused) as refused:
        go(walk, gap, by, reason)
    assert as_stored(walk) == before
    return refused.value


@pytest.fixture
def lacking(before):
    """A function that makes a case lack one thing and nothing else."""

    def lack(gap: Gap) -> Walk:
        walk = before(gap.begin or gap.into)
        gap.lose(walk)
        walk.reload()
        return walk

    return lack


@pytest.mark.parametrize("gap", GAPS, ids=str)
def test_a_missing_thing_is_named_refused_and_mended(lacking, gap):
    walk = lacking(gap)

    refused = refusal(walk, gap, mover(walk, gap))

    assert [(item.text, item.part, item.field) for item in refused.items] == [
        (gap.text, gap.part, gap.field)
    ]
    assert str(refused).startswith(f"Not ready for {gap.into.value}. Mend what is listed")

    address, _, anchor = link_to(walk.case, refused.items[0]).partition("#")
    assert resolve(address).kwargs["code"] == walk.case.code
    assert anchor == (f"id_{gap.field}" if gap.field else "")

    gap.mend(walk)
    if gap.part == "handoff":
        walk.hand_over()
    else:
        go(walk, gap, mover(walk, gap))
    assert walk.reload().stage == gap.into
    assert walk.case.history.filter(part="stage").last().act == "moved"


# Who mends a thing on its page, where that is not the technician.
MENDER = {
    ("sign", ""): "dentist",
    ("dates", "surgery_on"): "office_desk",
    ("try_in", "outcome"): "dentist",
    ("final_wax", "approve"): "dentist",
    ("final_wax", "trimming_approved"): "dentist",
    ("review_decide", "decision"): "dentist",
    ("reviews", "liner"): "dentist",
    ("remake", "reason"): "dentist",
    ("surgery", "held_on"): "dentist",
    ("surgery", "template_use"): "dentist",
    ("delivery", "delivered_on"): "dentist",
}


@pytest.mark.parametrize(
    "gap", {(gap.part, gap.field): gap for gap in GAPS}.values(), ids=lambda gap: gap.part
)
def test_the_link_leads_to_the_field_that_mends_it(lacking, client, gap):
    walk = lacking(gap)
    item = refusal(walk, gap, mover(walk, gap)).items[0]
    client.force_login(getattr(walk.hands, MENDER.get((gap.part, gap.field), "technician")))
    address, _, anchor = link_to(walk.case, item).partition("#")

    page = client.get(address)

    assert page.status_code == 200
    assert f'id="{anchor}"' in page.content.decode() or not anchor


@pytest.mark.parametrize("gap", [gap for gap in GAPS if gap.passes == "nobody"], ids=str)
def test_nobody_goes_on_without_it_whatever_the_reason(lacking, gap):
    walk = lacking(gap)

    for position in EVERYBODY:
        refusal(walk, gap, getattr(walk.hands, position), REASON)


@pytest.mark.parametrize("gap", [gap for gap in GAPS if gap.passes != "nobody"], ids=str)
def test_one_position_goes_on_without_it_with_a_reason_that_is_kept(lacking, gap):
    walk = lacking(gap)
    able = getattr(walk.hands, gap.passes)

    for position in EVERYBODY:
        if position != gap.passes:
            refusal(walk, gap, getattr(walk.hands, position), REASON)
    refused = refusal(walk, gap, mover(walk, gap))
    assert str(refused) == (
        f"Not ready for {gap.into.value}. Mend what is listed, or let someone who may go on "
        "without it give a reason."
    )
    refusal(walk, gap, able, "   ")

    go(walk, gap, able, REASON)

    assert walk.reload().stage == gap.into
    entry = walk.case.history.filter(part="stage").last()
    assert (entry.act, entry.by) == ("passed a gate", able)
    assert entry.reason == f"{REASON} (open: {gap.text})"


def test_hold_and_question_lead_to_the_page_that_ends_them(before, cast, client):
    walk = before(Stage.MOUNTING)
    asking.ask(case=walk.case, about="shade", text="B2?", waits_for=Side.OFFICE, by=cast.tomas)
    cases.hold(case=walk.reload(), reason="ill", by=cast.tomas)
    client.force_login(cast.tomas)

    hold, question = stages.missing(walk.reload(), Stage.MOUNTING)

    address, _, anchor = link_to(walk.case, hold).partition("#")
    assert resolve(address).url_name == "case"
    assert f'id="{anchor}"' in client.get(address).content.decode()
    assert "B2?" in client.get(link_to(walk.case, question)).content.decode()


def test_a_reason_passes_everything_that_one_person_may_pass_at_once(before, cast):
    walk = before(Stage.SETTINGS)
    mounting(casts_inspected=False, transfer="", pin_zero_mm=None)(walk)

    way = next(w for w in stages.ways(walk.reload(), cast.mona) if w.to == Stage.SETTINGS)
    assert (len(way.missing), way.open, way.passable, way.allowed) == (3, False, True, True)
    assert way.passes == {"pass a manager's gate"}

    stages.move(case=walk.case, to=Stage.SETTINGS, by=cast.mona, reason=REASON)
    assert walk.reload().history.last().reason == (
        f"{REASON} (open: Inspect the casts and tick it. Say how the upper cast was transferred. "
        "Read the pin at mounting.)"
    )


def test_one_thing_that_nobody_passes_keeps_the_rest_as_well(before, cast):
    walk = before(Stage.RELEASED)
    no_lots(walk)
    released(agent="")(walk)

    with pytest.raises(Refused) as refused:
        stages.move(case=walk.reload(), to=Stage.RELEASED, by=cast.mona, reason=REASON)

    assert [item.passable for item in refused.value.items] == ["pass a manager's gate", None]
    assert walk.reload().stage == Stage.FINISHING


def test_a_denture_does_not_leave_before_it_is_released(before, cast):
    walk = before(Stage.RELEASED)
    box = walk.pack(BoxDirection.TO_OFFICE, BoxContent.DENTURE, by=cast.lena)

    found = list(gates.box_may_leave(box))

    assert [(item.text, item.part) for item in found] == [
        ("The denture is not released yet. It stays until it is.", "case")
    ]
    walk.enter(Stage.RELEASED)
    box.refresh_from_db()
    assert list(gates.box_may_leave(type(box).objects.get(pk=box.pk))) == []


# --- signing -----------------------------------------------------------------------------------


@pytest.mark.parametrize("case", UNSIGNABLE, ids=str)
def test_a_draft_is_signed_when_the_last_thing_that_is_missing_is_there(
    before, cast, case: Unsignable
):
    walk = before(Stage.SENT)
    walk.case.prescriptions.update(status="draft")
    walk.prescribe(**case.draft)
    row = walk.reload().prescription

    with pytest.raises(NotReady) as refused:
        walk.sign()

    assert [(item.field, item.text) for item in refused.value.items] == [(case.field, case.text)]
    assert [(item.part, item.passable) for item in refused.value.items] == [("prescription", None)]
    assert case.text in str(refused.value)
    address, _, anchor = link_to(walk.case, refused.value.items[0]).partition("#")
    assert resolve(address).url_name == "prescription_step"
    assert anchor == f"id_{case.field}"

    row = walk.reload().prescription
    prescription.save(row=row, version=row.version, by=cast.dora, values=case.mend)
    walk.sign()
    assert walk.reload().prescription.status == "signed"


# --- nothing is left out -------------------------------------------------------------------------


def sentences(tree: ast.AST) -> Iterator[str]:
    """A pattern for each sentence that a check can answer with."""
    for node in ast.walk(tree):
        text: ast.expr | None = None
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            text = node.args[0] if node.func.id == "Missing" else None
        elif isinstance(node, ast.Yield) and isinstance(node.value, ast.Tuple):
            text = node.value.elts[1]
        elif isinstance(node, ast.Tuple) and len(node.elts) == 2:
            first, second = node.elts
            named = isinstance(first, ast.Constant) and str(first.value).endswith("_mm")
            text = second if named else None
        elif isinstance(node, ast.Dict):
            yield from (p for value in node.values if (p := pattern(value)).endswith("."))
        if text is not None and (found := pattern(text)):
            yield found


def pattern(node: ast.expr) -> str:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return re.escape(node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(
            re.escape(str(part.value)) if isinstance(part, ast.Constant) else ".+"
            for part in node.values
        )
    return ""


ASKED = [
    *gates.ONWARD,
    *(check for checks in gates.GATES.values() for check in checks),
    *(check for checks in gates.WAYS_BACK.values() for check in checks),
]


def sources() -> Iterator[ast.Module]:
    """The modules in which the checks stand, and the one that two of them ask."""
    asked = {inspect.getmodule(check) for check in (*ASKED, gates.to_sign)}
    for module in {*asked, final_wax}:
        yield ast.parse(inspect.getsource(module))


def test_every_sentence_of_the_gates_stands_in_the_tables():
    told = {gap.text for gap in GAPS} | {one.text for one in UNSIGNABLE}
    told.add("The denture is not released yet. It stays until it is.")
    # tests/labcases/domain/test_confirming.py has this one.
    told.add(
        "Record the box that came with the signed paper, or have the office pack one: what goes to "
        "the laboratory, and how many."
    )
    # tests/labcases/domain/test_taking_back.py has this one.
    told.add(
        "The verdict on try-in 1 was taken back: incident: a cast broke. Hand over for another "
        "one, or let the dentist waive it with a reason."
    )
    # tests/labcases/domain/test_incident.py has these.
    told |= {
        "A report says that a cast of the upper arch broke, and no new one is entered since. "
        "Enter and inspect the new cast, or close the report with what was done.",
        "Tooth 16 was ground through, and none in its place is entered. Take one from stock, order "
        "it, or say that it is here; or close the report with what was done.",
        "Tooth 16 is ordered and not here.",
    }
    # tests/labcases/domain/test_vertical.py has this one.
    told.add(
        "The dentist set a new vertical (proposal 1) and it has not been tried in. The dentist may "
        "go on without, with a reason."
    )
    # tests/labcases/domain/test_profiles.py has each of these.
    told.add("Texas, USA asks for this: Whether the laboratory marks the denture. Say it.")
    # tests/labcases/domain/test_linking.py has each of these, as they name the other case.
    told |= {
        "Linked case X stands at Y, and both are released together.",
        "Linked case X is not released yet, and both are dispatched together.",
        "Linked case X lacks this: it.",
        "It is on hold.",
    }
    patterns = {found for tree in sources() for found in sentences(tree)}

    silent = [p for p in patterns if not any(re.fullmatch(p, text) for text in told)]

    assert silent == []
    assert len(patterns) == 153


def test_every_check_is_one_of_these_and_every_gate_has_these():
    functions = {
        node.name
        for tree in sources()
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and "Iterator[Missing]" in ast.unparse(node)
    }
    asked = {check.__name__ for check in ASKED}

    assert functions - asked == {
        *("box_may_leave", "_contaminated", "_at_new_vertical", "_balanced", "_contacts"),
        "_answered",
        "_marked",
        *("unfinished", "_measures", "_flange", "_template", "_answers"),
    }
    assert {stage.value: [c.__name__ for c in checks] for stage, checks in gates.GATES.items()} == {
        "sent": [
            *("signed", "surgery_known", "box_ready", "photographs_here", "profile_to_send"),
        ],
        "accepted": ["counted_in", "handled_safely"],
        "mounting": ["jaw_record_here", "records_handled_safely"],
        "settings": ["mounted"],
        "set-up": ["settings_valid", "teeth_in_hand", "height_known", "other_arch_agrees"],
        "try-in": ["posterior_done", "passes_as_wanted", "pin_as_agreed", "bench_checked"],
        "final wax": ["both_parts_done", "base_back"],
        "processing": [
            *("try_in_answered", "wax_approved", "ledger_balanced", "clearance_current"),
            "handoff_written",
        ],
        "remount": ["processed"],
        "finishing": ["remount_done"],
        "released": ["finished", "release_ready", "other_arch_released"],
        "dispatched": ["denture_packed", "statement_drawn_up", "other_arch_leaves"],
        "received": ["denture_arrived"],
        "in review": ["first_review_held"],
        "closed": ["denture_decided"],
        "delivered": ["arrival_checked", "surgery_recorded", "delivery_reported"],
    }
