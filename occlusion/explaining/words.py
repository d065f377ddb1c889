"""What is said of marks, in sentences that a technician can act on."""

from __future__ import annotations

from collections.abc import Sequence

from occlusion.explaining.model import Fit, Movement
from occlusion.ranges import LIMITS
from occlusion.sources import MODEL_LIMITS

MOVEMENT: dict[Movement, str] = {
    "centric": "centric",
    "protrusive": "protrusion",
    "right": "the right excursion",
    "left": "the left excursion",
}

LOOK_AGAIN: dict[str, str] = {
    "condylar_inclination_deg": "Read it on the instrument, then check it by a protrusive record.",
    "bennett_deg": "Read it on the instrument, then check it by a lateral record.",
    "incisal_table_deg": "Read the table on the instrument and see that its screw holds.",
    "lateral_wing_deg": "Read the wing on the instrument and see that its screw holds.",
    "pin_opening_mm": "See that the pin touches its table and stands where it stood when the teeth "
    "were set.",
}
"""What to do before a setting is changed."""


def told(
    *,
    kind: str,
    best: Fit | None,
    runner_up: Fit | None,
    told_apart: bool,
    readings: int,
    before: int,
) -> tuple[str, str]:
    """The sentences of an answer, and what to do."""
    if kind == "nothing to explain":
        return "No tooth is logged as marked, so there is nothing to explain.", ""
    if kind == "as predicted":
        return (
            f"All {readings} readings are as predicted, within the band and the reading errors: "
            "there is nothing to explain.",
            "",
        )
    if best is None:
        return (
            f"The prediction explains {before} of the {readings} readings, and no single change "
            "explains the others clearly better than none.",
            "Mark again in a fresh pass, and look for more than one thing: the mounting, the "
            "tooth measures, a base that rocks.",
        )
    text = (
        f"One change explains the marks: {_what(best)}. It explains {best.explained} of the "
        f"{readings} readings; the prediction as it stands explains {before} of the {readings} "
        "readings."
    )
    if runner_up is not None and not told_apart:
        return (
            f"{text} The marks cannot tell it apart from another: {_what(runner_up)} "
            f"({runner_up.explained} of the {readings} readings).",
            _once("Look at both before anything is changed.", *_action(best), *_action(runner_up)),
        )
    return text, _once(*_action(best))


def of_cause(fit: Fit) -> str:
    """The name of a cause: ``right condylar inclination`` or ``16``."""
    cause = fit.cause
    if cause.tooth is not None:
        return cause.tooth
    label = LIMITS[cause.quantity].label
    if cause.quantity == "lateral_wing_deg":
        return f"{label} of the {cause.side} excursion"
    return f"{cause.side} {label}".strip()


def _what(fit: Fit) -> str:
    cause, name = fit.cause, of_cause(fit)
    if cause.tooth is not None:
        by = f"{abs(fit.change):.2f} mm (deviation {fit.sd:.2f} mm)"
        if cause.kind == "denture tooth":
            return f"{name} stands {by} too {'high' if fit.change > 0 else 'low'}"
        whose = f"natural {name}" if cause.kind == "natural tooth" else f"the opposing {name}"
        return f"{whose} stands {by} {'higher' if fit.change > 0 else 'lower'} than measured"
    if cause.quantity == "pin_opening_mm":
        way = "higher" if fit.change > 0 else "lower"
        return (
            f"the pin stands {abs(fit.change):.2f} mm {way} than when the teeth were set "
            f"(deviation {fit.sd:.2f} mm)"
        )
    value = fit.value or 0.0
    return f"{name} {value:.0f} deg in place of {cause.value:g} deg (deviation {fit.sd:.1f} deg)"


def _action(fit: Fit) -> tuple[str, ...]:
    cause = fit.cause
    if cause.kind == "denture tooth":
        return (f"Look at {cause.tooth} and re-set it in the wax; then mark again.",)
    if cause.kind == "natural tooth":
        return (
            f"Measure {cause.tooth} again.",
            "Nothing is taken off a natural tooth: the dentist decides about it.",
        )
    if cause.kind == "opposing denture tooth":
        return (
            f"Measure {cause.tooth} again.",
            "The opposing denture is changed on the dentist's word only.",
        )
    return (LOOK_AGAIN[cause.quantity],)


def _once(*sentences: str) -> str:
    """Every sentence once, in order."""
    return " ".join(dict.fromkeys(sentences))


def carried_over(mark: str, movement: Movement, tooth: str) -> str:
    """That a mark on an opposing tooth is read as one of the tooth over it."""
    return (
        f"The mark on {mark} in {MOVEMENT[movement]} is read as that of {tooth}, which comes "
        "nearest to it there."
    )


def left_out(teeth: Sequence[str]) -> tuple[str, ...]:
    """Marks that the model says nothing of."""
    if not teeth:
        return ()
    return (f"Not in the comparison, because the model says nothing of them: {', '.join(teeth)}.",)


def assumptions(movements: Sequence[Movement], band_mm: float, causes: int) -> tuple[str, ...]:
    """What the comparison rests on."""
    named = ", ".join(MOVEMENT[one] for one in movements)
    said = [
        f"Passes are known of: {named}. Of other movements nothing is taken as known."
        if movements
        else "No pass is known.",
        "In a pass a tooth that is not named did not mark.",
        "Marks of an excursion count from a third of its travel on: before that every tooth that "
        "is set touches.",
        "Foil marks a gap of less than its thickness; how sure that is follows from what callipers "
        "tell of the cusps.",
        f"What overlaps by more than {band_mm:g} mm lifts the pin and the other teeth with it: "
        "these need not mark.",
        "One change at a time is tried, everything else as entered.",
    ]
    if causes:
        said.append(
            f"{causes} changes were compared. A small one is taken as likelier than a large one, "
            "by the reading error of each."
        )
    return (*said, *MODEL_LIMITS)
