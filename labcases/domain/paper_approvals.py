"""What a dentist approves on paper: typed, bound to what it speaks of, and entered once confirmed.

Never by telephone: each of these rests on a signed page.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from labcases.domain import case as cases
from labcases.domain import (
    final_wax,
    gates,
    history,
    paper_delivery,
    proposal_answer,
    proposal_reading,
    proposing,
    sending_back,
    stages,
    trimming,
    tryin,
)
from labcases.domain.proposal_table import TABLE
from labcases.domain.signed_papers import NotNow, named, only, open_paper, save_paper
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.enums.signed_papers import OPEN_PAPERS, PaperSays, PaperState
from labcases.models import Case, FinalWax, Proposal, SignedPaper, TryIn, User

Said = Mapping[str, Any]

CHANGED = (
    "What this paper speaks of has changed since it was typed. Send it back, look at it again, and "
    "ask the office for another paper where this one no longer fits."
)


def why_not(case: Case, says: str) -> str:
    """Why such a paper is not typed now; empty when it is."""
    if not case.is_open:
        return "This case has ended, so nothing more is approved."
    if case.signed_papers.filter(says=says, state__in=OPEN_PAPERS).exists():
        return "Such a paper is being typed already. Go on with that one, or give it up."
    return _WHY_NOT[PaperSays(says)](case)


def passable(case: Case) -> list[Stage]:
    """The stages that a dentist may let a case go on to without what is open."""
    found = []
    for to in stages.next_stages(case):
        missing = stages.missing(case, to)
        if missing and all(item.passable == gates.DENTIST for item in missing):
            found.append(to)
    return found


def begin(*, case: Case, says: str, said: Mapping[str, Any], by: User) -> SignedPaper:
    """Type an approval, bound to how the case stands now.

    Raises
    ------
    NotNow
        There is nothing to approve, or such a paper is being typed already.
    """
    with history.turn(case):
        reason = why_not(case, says)
        if reason:
            raise NotNow(reason)
        bound = _BOUND[PaperSays(says)](case, said)
        return open_paper(case, PaperSays(says), by, said={**said, "bound": bound})


def retype(*, paper: SignedPaper, version: int, said: Mapping[str, Any], by: User) -> SignedPaper:
    """Type it anew after it was sent back; it is bound to how the case stands now.

    Raises
    ------
    NotNow
        It is handed over, confirmed or given up.
    versions.EditConflict
        Somebody else typed it first.
    """
    only(paper, PaperState.TYPING)
    bound = _BOUND[PaperSays(paper.says)](paper.case, said)
    return save_paper(
        paper,
        act="typed again",
        version=version,
        by=by,
        reason=named(paper),
        values={"said": {**said, "bound": bound}},
    )


def enter(paper: SignedPaper, by: User) -> None:
    """Enter what a confirmed paper says. Call it inside the transaction of the confirmation.

    Raises
    ------
    NotNow
        What it speaks of has changed since it was typed.
    """
    case = Case.objects.get(pk=paper.case_id)
    says = PaperSays(paper.says)
    if paper.said.get("bound") != _BOUND[says](case, paper.said):
        raise NotNow(CHANGED)
    _ENTER[says](case, paper, by)


# --- how the case stands -----------------------------------------------------------------------


def _wax(case: Case) -> FinalWax | None:
    return FinalWax.objects.filter(case=case).first()


def _bound_surgery(case: Case, _said: Said) -> dict[str, Any]:
    return {"stood": case.surgery_on.isoformat() if case.surgery_on else ""}


def _bound_try_in(case: Case, _said: Said) -> dict[str, Any]:
    last = case.try_ins.last()
    revision = case.prescription.revision
    return {"number": last.number, "version": last.version, "revision": revision} if last else {}


def _bound_waiver(case: Case, _said: Said) -> dict[str, Any]:
    return {"revision": case.prescription.revision}


def _bound_wax(case: Case, said: Said) -> dict[str, Any]:
    wax = _wax(case)
    found = {
        "version": wax.version if wax else 0,
        "digest": case.prescription.digest,
        "photographs": [row.pk for row in final_wax.photographs(case)],
    }
    # Papers that were typed before the trimming was bound are not asked about it.
    if "trims" in said.get("bound", {"trims": []}):
        found["trims"] = trimming.lines(case)
    return found


def _bound_gate(case: Case, _said: Said) -> dict[str, Any]:
    return {"from": case.stage, "revision": case.prescription.revision}


def answers_of(said: Said) -> list[Said]:
    """The answers of a paper: proposal, answer, number and text of each.

    A paper that was typed before one could answer several has the only one beside the rest.
    """
    return list(said["answers"]) if "answers" in said else [said]


def _bound_proposal(case: Case, said: Said) -> dict[str, Any]:
    """The proposals as they stand, and the revision, so that nothing else is answered."""
    wanted = [one.get("proposal") or 0 for one in answers_of(said)]
    versions = dict(case.proposals.filter(pk__in=wanted).values_list("pk", "version"))
    if len(versions) < len(wanted):
        return {}
    revision = case.prescription.revision
    if "answers" not in said:
        return {"version": versions[wanted[0]], "revision": revision}
    return {"versions": {str(pk): versions[pk] for pk in wanted}, "revision": revision}


_BOUND: dict[PaperSays, Callable[[Case, Said], dict[str, Any]]] = {
    PaperSays.SURGERY: _bound_surgery,
    PaperSays.TRY_IN: _bound_try_in,
    PaperSays.WAIVER: _bound_waiver,
    PaperSays.FINAL_WAX: _bound_wax,
    PaperSays.GATE: _bound_gate,
    PaperSays.PROPOSAL: _bound_proposal,
    PaperSays.DELIVERY: lambda case, _said: paper_delivery.bound(case),
}


def _why_no_wax(case: Case) -> str:
    wax = _wax(case)
    if wax is None:
        return "Enter the final wax first; the paper approves what is entered."
    items = list(final_wax.unfinished(case, wax))
    return str(final_wax.NotReady(items)) if items else ""


_WHY_NOT: dict[PaperSays, Callable[[Case], str]] = {
    PaperSays.SURGERY: lambda _case: "",
    PaperSays.TRY_IN: lambda case: (
        "" if case.try_ins.exists() else "No try-in is out for this case, so none is judged."
    ),
    PaperSays.WAIVER: lambda case: (
        ""
        if list(gates.try_in_answered(case))
        else "No try-in is open on this case, so there is none to waive."
    ),
    PaperSays.FINAL_WAX: _why_no_wax,
    PaperSays.GATE: lambda case: (
        "" if passable(case) else "Nothing is open now that a dentist may let the case go without."
    ),
    PaperSays.PROPOSAL: lambda case: (
        ""
        if proposal_reading.waiting(case)
        else "No proposal waits for the dentist, so none is answered."
    ),
    PaperSays.DELIVERY: paper_delivery.why_not,
}


# --- entering it -------------------------------------------------------------------------------


def _enter_surgery(case: Case, paper: SignedPaper, by: User) -> None:
    day = date.fromisoformat(paper.said["surgery_on"])
    if day != case.surgery_on:
        case = cases.set_surgery(case=case, version=case.version, on=day, by=by)
    cases.confirm_surgery(case=case, version=case.version, by=by, paper=paper)


def try_in_values(said: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed of a try-in, as the row holds it; a number stands as text in ``said``."""
    names = {column.name for column in TryIn._meta.get_fields()}
    return {
        name: (Decimal(value) if value else None) if name.endswith("_mm") else value
        for name, value in said.items()
        if name in names
    }


def _enter_try_in(case: Case, paper: SignedPaper, by: User) -> None:
    try:
        tryin.record(
            case=case,
            version=paper.said["bound"]["version"],
            by=by,
            values=try_in_values(paper.said),
            paper=paper,
        )
    except sending_back.TooLate as found:
        raise NotNow(str(found)) from found


def _enter_waiver(case: Case, paper: SignedPaper, by: User) -> None:
    try:
        tryin.waive(case=case, by=by, reason=paper.said["reason"], paper=paper)
    except tryin.NothingToWaive as found:
        raise NotNow(str(found)) from found


def _enter_wax(case: Case, paper: SignedPaper, by: User) -> None:
    version = paper.said["bound"]["version"]
    try:
        final_wax.approve(case=case, version=version, by=by, paper=paper)
    except final_wax.NotReady as found:
        raise NotNow(str(found)) from found


def _enter_gate(case: Case, paper: SignedPaper, by: User) -> None:
    try:
        stages.move(
            case=case,
            to=Stage(paper.said["to"]),
            by=by,
            reason=f"{paper.said['reason'].rstrip('.')}, signed {paper.words}.",
            lent=frozenset({gates.DENTIST}),
        )
    except stages.Refused as refused:
        raise NotNow(str(refused)) from refused


def _enter_proposal(case: Case, paper: SignedPaper, by: User) -> None:
    """Every answer of the paper, or none. What takes the case back comes last, the least far first.

    So each is carried out on the case that the dentist saw, as far as they do not contradict.
    """
    bound = paper.said["bound"]
    order = list(Stage)

    def back(row: Proposal) -> tuple[int, int]:
        to = TABLE[ProposalKind(row.kind)].to
        return (-order.index(to) if to else -len(order), row.number)

    rows = {row.pk: row for row in case.proposals.all()}
    answers = {one["proposal"]: one for one in answers_of(paper.said)}
    for row in sorted((rows[pk] for pk in answers), key=back):
        said = answers[row.pk]
        version = bound["versions"][str(row.pk)] if "versions" in bound else bound["version"]
        try:
            proposal_answer.answer(
                proposal=row,
                version=version,
                answer=ProposalState(said["answer"]),
                text=said["text"],
                number=Decimal(said["number"]) if said["number"] else None,
                by=by,
                paper=paper,
            )
        except (proposal_answer.NotAnswerable, proposing.AnsweredMeanwhile) as refused:
            raise NotNow(_of_which(row, str(refused), len(answers))) from refused


def _of_which(row: Proposal, refusal: str, count: int) -> str:
    """Which of several answers is refused, where the refusal does not say so itself."""
    named = f"proposal {row.number}"
    if count == 1:
        return refusal
    told = refusal if named in refusal.lower() else f"{named.capitalize()}: {refusal}"
    return f"{told} None of the {count} answers on the paper is entered."


_ENTER: dict[PaperSays, Callable[[Case, SignedPaper, User], None]] = {
    PaperSays.SURGERY: _enter_surgery,
    PaperSays.TRY_IN: _enter_try_in,
    PaperSays.WAIVER: _enter_waiver,
    PaperSays.FINAL_WAX: _enter_wax,
    PaperSays.GATE: _enter_gate,
    PaperSays.PROPOSAL: _enter_proposal,
    PaperSays.DELIVERY: paper_delivery.enter,
}
