"""What is said of a fit, word by word."""

import pytest

from occlusion.explaining import Fit, possible_causes
from occlusion.explaining.words import told
from tests.occlusion.explaining.passes import SETTINGS, arches

BUILT = arches(natural=("17",))
FORMS = (*BUILT.upper, *BUILT.lower)
#: 27 stands for a tooth of a denture that is not the one being made.
CAUSES = {
    one.name: one
    for one in possible_causes(
        SETTINGS, FORMS, own=[f"{q}{n}" for q in "12" for n in "4567" if q + n != "27"]
    )
}


def fit(name, change, sd=0.5, explained=30):
    return Fit(cause=CAUSES[name], change=change, sd=sd, explained=explained, odds=100.0)


def said(best, runner_up=None, told_apart=True):
    return told(
        kind="explained",
        best=best,
        runner_up=runner_up,
        told_apart=told_apart,
        readings=32,
        before=24,
    )


@pytest.mark.parametrize(
    ("name", "change", "sd", "what", "action"),
    [
        (
            "condylar_inclination_deg.right",
            -8.2,
            2.14,
            "right condylar inclination 22 deg in place of 30 deg (deviation 2.1 deg)",
            "Read it on the instrument, then check it by a protrusive record.",
        ),
        (
            "bennett_deg.left",
            5.0,
            3.0,
            "left Bennett angle 15 deg in place of 10 deg (deviation 3.0 deg)",
            "Read it on the instrument, then check it by a lateral record.",
        ),
        (
            "incisal_table_deg",
            9.0,
            1.5,
            "incisal table 12 deg in place of 3 deg (deviation 1.5 deg)",
            "Read the table on the instrument and see that its screw holds.",
        ),
        (
            "lateral_wing_deg.right",
            8.0,
            2.0,
            "lateral wing of the right excursion 12 deg in place of 4 deg (deviation 2.0 deg)",
            "Read the wing on the instrument and see that its screw holds.",
        ),
        (
            "pin_opening_mm",
            0.25,
            0.03,
            "the pin stands 0.25 mm higher than when the teeth were set (deviation 0.03 mm)",
            "See that the pin touches its table and stands where it stood when the teeth were set.",
        ),
        (
            "tooth_height_mm.16",
            0.234,
            0.03,
            "16 stands 0.23 mm (deviation 0.03 mm) too high",
            "Look at 16 and re-set it in the wax; then mark again.",
        ),
        (
            "tooth_height_mm.26",
            -0.3,
            0.2,
            "26 stands 0.30 mm (deviation 0.20 mm) too low",
            "Look at 26 and re-set it in the wax; then mark again.",
        ),
        (
            "tooth_height_mm.17",
            0.4,
            0.1,
            "natural 17 stands 0.40 mm (deviation 0.10 mm) higher than measured",
            "Measure 17 again. Nothing is taken off a natural tooth: the dentist decides about it.",
        ),
        (
            "tooth_height_mm.27",
            0.4,
            0.1,
            "the opposing 27 stands 0.40 mm (deviation 0.10 mm) higher than measured",
            "Measure 27 again. The opposing denture is changed on the dentist's word only.",
        ),
        (
            "tooth_height_mm.46",
            -0.4,
            0.1,
            "natural 46 stands 0.40 mm (deviation 0.10 mm) lower than measured",
            "Measure 46 again. Nothing is taken off a natural tooth: the dentist decides about it.",
        ),
    ],
)
def test_each_cause_has_its_sentence_and_what_to_do(name, change, sd, what, action):
    assert said(fit(name, change, sd)) == (
        f"One change explains the marks: {what}. It explains 30 of the 32 readings; the prediction "
        "as it stands explains 24 of the 32 readings.",
        action,
    )


def test_two_that_cannot_be_told_apart_are_both_named():
    text, action = said(
        fit("condylar_inclination_deg.right", 10.0),
        fit("bennett_deg.right", -7.0, explained=29),
        told_apart=False,
    )

    assert text.endswith(
        "The marks cannot tell it apart from another: right Bennett angle 3 deg in place of "
        "10 deg (deviation 0.5 deg) (29 of the 32 readings)."
    )
    assert action == (
        "Look at both before anything is changed. Read it on the instrument, then check it by a "
        "protrusive record. Read it on the instrument, then check it by a lateral record."
    )
