"""A refusal tells what is missing and where it is mended, and leaves nothing behind."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import resolve

from labcases.domain import bench, checks
from labcases.domain.calculations import CannotCompute
from labcases.domain.gates import Missing
from labcases.enums import CheckKind, Stage
from labcases.models import CheckRun
from labcases.views._lookup import link_to
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_a_refusal_names_page_and_field():
    refusal = CannotCompute(
        "The prescription names no scheme.", part="prescription", field="scheme"
    )

    assert str(refusal) == "The prescription names no scheme."
    assert (refusal.part, refusal.field) == ("prescription", "scheme")


def test_a_refused_check_keeps_no_run_and_no_line_of_history():
    walk = world().walk()
    walk.to(Stage.SENT)
    walk.enter_settings()
    walk.choose_teeth()
    row = walk.reload().articulator
    bench.save_articulator(
        case=walk.case,
        version=row.version,
        by=walk.hands.technician,
        values={"incisal_table_deg": Decimal("60"), "plane_tilt_deg": Decimal("30")},
    )
    lines = walk.case.history.count()

    with pytest.raises(CannotCompute) as refused:
        checks.compute(case=walk.reload(), kind=CheckKind.CLEARANCE, by=walk.hands.technician)

    assert str(refused.value).startswith("The incisal table stands at 90 deg")
    assert not CheckRun.objects.exists()
    assert walk.case.history.count() == lines
    where = Missing(str(refused.value), refused.value.part, refused.value.field)
    address, _, anchor = link_to(walk.case, where).partition("#")
    assert (resolve(address).url_name, anchor) == ("settings", "id_incisal_table_deg")
