"""What must be true before a case goes on, as sentences a person can act on.

Each check answers with the things that are missing, each with the page and the
field that mend it. ``domain/stages.py`` asks them; nothing else decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from labcases.domain.gates.bench import (
    base_back,
    bench_checked,
    both_parts_done,
    height_known,
    ledger_balanced,
    mounted,
    passes_as_wanted,
    pin_as_agreed,
    posterior_done,
    settings_valid,
    teeth_in_hand,
)
from labcases.domain.gates.boxes import (
    box_may_leave,
    box_ready,
    counted_in,
    denture_arrived,
    denture_packed,
    handled_safely,
    jaw_record_here,
    photographs_here,
    records_handled_safely,
    signed,
    surgery_known,
)
from labcases.domain.gates.clinical import profile_to_send, to_sign
from labcases.domain.gates.curing import processed
from labcases.domain.gates.delivery import (
    arrival_checked,
    delivery_reported,
    surgery_recorded,
)
from labcases.domain.gates.finishing import finished
from labcases.domain.gates.missing import DENTIST, MANAGER, PASSES, Missing
from labcases.domain.gates.pair import (
    other_arch_agrees,
    other_arch_leaves,
    other_arch_released,
)
from labcases.domain.gates.release import release_ready
from labcases.domain.gates.remount import remount_done
from labcases.domain.gates.reports import cast_replaced, tooth_replaced
from labcases.domain.gates.reviews import denture_decided, first_review_held
from labcases.domain.gates.statement import statement_drawn_up
from labcases.domain.gates.wax import (
    clearance_current,
    handoff_written,
    try_in_answered,
    try_in_decided,
    try_in_wants_new_record,
    wax_approved,
)
from labcases.enums import Stage
from labcases.models import Case

Check = Callable[[Case], Iterator[Missing]]

GATES: dict[Stage, tuple[Check, ...]] = {
    Stage.SENT: (signed, surgery_known, box_ready, photographs_here, profile_to_send),
    Stage.ACCEPTED: (counted_in, handled_safely),
    Stage.MOUNTING: (jaw_record_here, records_handled_safely),
    Stage.SETTINGS: (mounted,),
    Stage.SET_UP: (settings_valid, teeth_in_hand, height_known, other_arch_agrees),
    Stage.TRY_IN: (posterior_done, passes_as_wanted, pin_as_agreed, bench_checked),
    Stage.FINAL_WAX: (both_parts_done, base_back),
    Stage.PROCESSING: (
        try_in_answered,
        wax_approved,
        ledger_balanced,
        clearance_current,
        handoff_written,
    ),
    Stage.REMOUNT: (processed,),
    Stage.FINISHING: (remount_done,),
    Stage.RELEASED: (finished, release_ready, other_arch_released),
    Stage.DISPATCHED: (denture_packed, statement_drawn_up, other_arch_leaves),
    Stage.RECEIVED: (denture_arrived,),
    Stage.IN_REVIEW: (first_review_held,),
    Stage.CLOSED: (denture_decided,),
    Stage.DELIVERED: (arrival_checked, surgery_recorded, delivery_reported),
}

# Asked on every way to a later stage.
ONWARD: tuple[Check, ...] = (cast_replaced, tooth_replaced)

# Going back has its own conditions, by the stage that is left and the one that is entered.
WAYS_BACK: dict[tuple[Stage, Stage], tuple[Check, ...]] = {
    (Stage.TRY_IN, Stage.SET_UP): (try_in_decided,),
    (Stage.TRY_IN, Stage.FINAL_WAX): (try_in_decided, both_parts_done, base_back),
    (Stage.TRY_IN, Stage.JAW_RECORDS): (try_in_wants_new_record,),
    (Stage.MOUNTING, Stage.JAW_RECORDS): (),
    (Stage.SETTINGS, Stage.MOUNTING): (),
    (Stage.SET_UP, Stage.SETTINGS): (),
    (Stage.FINAL_WAX, Stage.SET_UP): (),
}

__all__ = [
    "DENTIST",
    "GATES",
    "MANAGER",
    "ONWARD",
    "PASSES",
    "WAYS_BACK",
    "Check",
    "Missing",
    "arrival_checked",
    "base_back",
    "bench_checked",
    "both_parts_done",
    "box_may_leave",
    "box_ready",
    "cast_replaced",
    "clearance_current",
    "counted_in",
    "delivery_reported",
    "denture_arrived",
    "denture_decided",
    "denture_packed",
    "finished",
    "first_review_held",
    "handled_safely",
    "handoff_written",
    "height_known",
    "jaw_record_here",
    "ledger_balanced",
    "mounted",
    "other_arch_agrees",
    "other_arch_leaves",
    "other_arch_released",
    "passes_as_wanted",
    "photographs_here",
    "pin_as_agreed",
    "posterior_done",
    "processed",
    "profile_to_send",
    "records_handled_safely",
    "release_ready",
    "remount_done",
    "settings_valid",
    "signed",
    "statement_drawn_up",
    "surgery_known",
    "surgery_recorded",
    "teeth_in_hand",
    "to_sign",
    "tooth_replaced",
    "try_in_answered",
    "try_in_decided",
    "try_in_wants_new_record",
    "wax_approved",
]
