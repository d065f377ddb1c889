"""The kept height budget: counted, short sites named, rows in the reader's numbers."""

import pytest

from labcases.domain import checks
from labcases.enums import CheckKind, Stage
from labcases.models import CheckRun
from labcases.outputs import height_view
from tests.factories import world

ROWS = [
    {"tooth": "16", "verdict": "fits", "short_by_mm": None},
    {"tooth": "17", "verdict": "short", "short_by_mm": 0.4},
    {"tooth": "26", "verdict": "fits", "short_by_mm": None},
]


def run(rows):
    here = world()
    return CheckRun(
        case=here.case_at(Stage.DRAFT),
        kind=CheckKind.HEIGHT,
        findings={"rows": rows},
        by=here.tomas,
        engine_version="0.1.0",
    )


@pytest.mark.django_db
def test_the_height_budget_is_counted_and_short_sites_are_named():
    view = height_view.build_context(checks.Shown(run(ROWS), ["space 16: 9 → 8"]), "ISO 3950")

    assert view.counts == "2 sites: fits, 1 site: short"
    assert view.short == ["17 is short by 0.40 mm."]
    assert view.stale
    assert (view.computed_by, view.engine_version) == ("Tomas Abelard", "0.1.0")


@pytest.mark.django_db
def test_a_budget_of_no_site_says_so():
    view = height_view.build_context(checks.Shown(run([]), []), "ISO 3950")

    assert (view.counts, view.short, view.stale) == ("No site", [], False)


@pytest.mark.django_db
def test_short_sites_are_named_in_the_readers_numbers():
    view = height_view.build_context(checks.Shown(run(ROWS), []), "Universal")

    assert view.short == ["2 is short by 0.40 mm."]


def test_rows_of_a_paper_bear_the_readers_number_beside_the_kept_one():
    assert [(row["tooth"], row["label"]) for row in height_view.rows(ROWS, "Universal")] == [
        ("16", "3"),
        ("17", "2"),
        ("26", "14"),
    ]
