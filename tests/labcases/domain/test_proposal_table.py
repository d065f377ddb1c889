"""The table of kinds: stage, things and limit of each, typed by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain.proposal_table import KIND_OF, SETTINGS, TABLE
from labcases.domain.undoing import UNDOES
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind
from labcases.models import ArticulatorRecord

#: kind: word of the address, back to, too late from, signed, no longer counts
KINDS = {
    "setting": (
        *("setting", "settings", "processing", False),
        ["passes", "parts of the set-up", "try-in", "final wax approval"],
    ),
    "reduction": ("reduction", None, "released", False, []),
    "natural tooth": ("natural-tooth", None, "released", False, []),
    "vertical": (
        *("vertical", "jaw records", "processing", True),
        [
            *("mounting", "jaw record", "check records", "pin readings", "passes"),
            *("parts of the set-up", "checks", "try-in", "final wax approval"),
        ],
    ),
    "arrangement": ("arrangement", None, "processing", False, ["final wax approval"]),
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_is_what_the_table_says(kind):
    *plain, things = KINDS[kind]
    row = TABLE[ProposalKind(kind)]

    assert [row.slug, row.to, row.until, row.signed] == plain
    assert sorted(row.things) == sorted(things)
    assert KIND_OF[row.slug] == kind


def test_every_kind_stands_in_the_table_above():
    assert set(KINDS) == set(ProposalKind)


def test_a_kind_goes_back_at_least_as_far_as_a_revision_of_the_same():
    order = list(Stage)
    for kind, field in (
        (ProposalKind.SETTING, "settings_wish"),
        (ProposalKind.VERTICAL, "vertical_wish"),
    ):
        to = TABLE[kind].to
        assert to is not None
        assert order.index(to) <= order.index(UNDOES[field])


def test_every_setting_is_a_column_with_its_unit_and_limits():
    for field, setting in SETTINGS.items():
        ArticulatorRecord._meta.get_field(field)
        assert field.endswith(("_deg", "_mm"))
        assert setting.hard[0] < setting.hard[1]
    assert SETTINGS["condylar_right_deg"].hard == (Decimal("0"), Decimal("75"))
