"""The remount of a case on its way, for either arch."""

from __future__ import annotations

import pytest

from labcases.domain import remount, remount_ledger
from labcases.enums import Arch, Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("arch", "tooth"), [(Arch.UPPER, "16"), (Arch.LOWER, "46")])
def test_a_rise_is_corrected_at_a_denture_tooth_and_balances(arch, tooth):
    case = world().case_at(Stage.FINISHING, arch=arch)

    told = [
        remount.in_words(row).replace("\N{NO-BREAK SPACE}", " ")
        for row in remount_ledger.standing(case)
    ]
    assert told[:4] == [
        "pin 0.4 mm above the agreed value",
        f"centric, not as wanted: {tooth}",
        f"{tooth}, 0.3 mm off",
        "pin at the agreed value",
    ]
    assert remount_ledger.of(case).balanced
    assert not remount.silent(case.remount_check)
