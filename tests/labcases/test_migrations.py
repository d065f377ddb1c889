"""Migrations that carry readings from one shape of the record to the next."""

from decimal import Decimal

import pytest
from django.db import DatabaseError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from labcases.domain import chain
from labcases.models import ChainHead, HistoryEntry, Organisation
from tests import databases

BEFORE, AFTER = ("labcases", "0004_selection_measures"), ("labcases", "0005_callipers")


def as_it_was(at):
    """The tables at a migration; afterwards as they are now."""
    executor = databases.one_by_one()
    if connection.vendor == "sqlite":
        with databases.at(at):
            yield executor.loader.project_state([at]).apps
        return
    executor.migrate([at])
    yield executor.loader.project_state([at]).apps
    forward = MigrationExecutor(connection)
    forward.migrate(forward.loader.graph.leaf_nodes())


@pytest.fixture
def before(transactional_db):
    """The tables as they were while facets were read."""
    yield from as_it_was(BEFORE)


def case_of(apps, code="0123456789AB"):
    """The least that a case stands on."""
    organisation, patient, case = (
        apps.get_model("labcases", name) for name in ("Organisation", "Patient", "Case")
    )
    office = organisation.objects.create(name="Office", kind="office")
    laboratory = organisation.objects.create(name="Laboratory", kind="laboratory")
    return case.objects.create(
        code=code,
        office=office,
        laboratory=laboratory,
        patient=patient.objects.create(office=office, code="P-1"),
    )


@pytest.fixture
def before_the_kind(transactional_db):
    """The tables as they were before the kind of the opposing arch was asked for."""
    yield from as_it_was(("labcases", "0017_opponent"))


LOWER = tuple(f"4{n}" for n in range(8, 0, -1)) + tuple(f"3{n}" for n in range(1, 9))
# From 48 to 38: n natural, d denture, - missing, . open.
OLD_CHARTS = {
    "-nnnnnnnnnnnnnn-": "natural teeth",
    "-----nnnnnn-----": "natural front teeth",
    "----------------": "nothing",
    "-ddddnnnnnndddd-": "",
    "-dddddddddddddd-": "",
    "-nnnnnnn........": "",
    "................": "",
}


def test_an_old_chart_says_the_kind_where_it_does_so_without_doubt(before_the_kind):
    rows = before_the_kind.get_model("labcases", "Prescription")
    drawn_on(case_of(before_the_kind), rows, "draft")
    drawn_on(case_of(before_the_kind, "AB0123456789"), rows, "signed")

    executor = MigrationExecutor(connection)
    after = [("labcases", "0018_opponent_of_old_charts")]
    executor.migrate(after)

    found = executor.loader.project_state(after).apps.get_model("labcases", "Prescription").objects
    assert list(found.order_by("case", "revision").values_list("opponent", flat=True)) == [
        *OLD_CHARTS.values(),
        *OLD_CHARTS.values(),
    ]
    assert set(found.values_list("digest", "version")) == {("as signed", 1)}


def drawn_on(case, rows, status):
    """A revision for each old chart, the first of a status and the others replaced."""
    marks = {"n": "natural", "d": "denture", "-": "missing"}
    for number, signs in enumerate(OLD_CHARTS):
        drawn = zip(LOWER, signs, strict=True)
        rows.objects.create(
            case=case,
            revision=number + 1,
            # One draft at a time stands on a case.
            status=status if number == 0 else "replaced",
            opposing={tooth: marks[sign] for tooth, sign in drawn if sign in marks},
            digest="as signed",
        )


def test_the_steepest_facet_that_was_read_stays_as_the_cusp_angle(before):
    case, site = case_of(before), before.get_model("labcases", "SiteMeasure")
    for tooth, facets in {
        "16": {"protrusive_facet_deg": "25", "working_facet_deg": "31.5"},
        "17": {"balancing_facet_deg": "0"},
        "26": {"space_mm": "9"},
    }.items():
        site.objects.create(case=case, tooth=tooth, **facets)

    executor = MigrationExecutor(connection)
    executor.migrate([AFTER])

    rows = executor.loader.project_state([AFTER]).apps.get_model("labcases", "SiteMeasure")
    assert dict(rows.objects.values_list("tooth", "cusp_angle_deg")) == {
        "16": Decimal("31.5"),
        "17": Decimal("0"),
        "26": None,
    }
    assert rows.objects.get(tooth="26").space_mm == 9


UNCHAINED = ("labcases", "0011_past_mountings")


@pytest.fixture
def before_the_remount(transactional_db):
    """The tables as they were while the pin was entered with the release."""
    yield from as_it_was(("labcases", "0049_remount_log"))


# Rise, pin after correction, agreed, whether a new vertical was set: the lines that come of it.
OLD_REMOUNTS = {
    ("0.4", None, "0", False): [("pin read", "0.40")],
    ("0.8", "0", "0", False): [("pin read", "0.80"), ("pin read", "0.00")],
    ("0.8", "0.3", "0", False): [
        *(("pin read", "0.80"), ("pin read", "0.30"), ("accepted", "0.30")),
    ],
    ("0.8", "0.9", "0.5", False): [
        *(("pin read", "0.80"), ("pin read", "0.40"), ("accepted", "0.40")),
    ],
    ("0.8", "0.7", "0", False): [("pin read", "0.80"), ("pin read", "0.70")],
    ("0.8", "0.5", "0", True): [("pin read", "0.80")],
    (None, "0", "0", False): [],
}


def test_a_remount_of_before_becomes_lines_and_its_columns_stay(before_the_remount):
    apps = before_the_remount
    people, releases, records, proposals, lines = (
        apps.get_model("labcases", name)
        for name in ("User", "Release", "ArticulatorRecord", "Proposal", "RemountEntry")
    )
    by = people.objects.create(username="tomas")
    kept = {}
    for number, (rise, after, agreed, set_anew) in enumerate(OLD_REMOUNTS):
        case = case_of(apps, code=f"0123456789A{number}")
        records.objects.create(
            case=case,
            condylar_right_deg=30,
            condylar_left_deg=30,
            bennett_right_deg=15,
            bennett_left_deg=15,
            incisal_table_deg=20,
            wing_right_deg=20,
            wing_left_deg=20,
            pin_agreed_mm=Decimal(agreed),
        )
        if set_anew:
            proposals.objects.create(
                case=case, number=1, kind="vertical", why="short", state="waiting", raised_by=by
            )
        row = releases.objects.create(
            case=case, pin_rise_mm=rise, pin_after_mm=after, finished_by=by
        )
        kept[row.pk] = case.pk

    MigrationExecutor(connection).migrate([("labcases", "0050_remounts_of_before")])

    assert [
        [(line.act, str(line.rise_mm)) for line in lines.objects.filter(case=case).order_by("id")]
        for case in kept.values()
    ] == list(OLD_REMOUNTS.values())
    assert [row.pin_rise_mm for row in releases.objects.filter(pk__in=kept).order_by("pk")] == [
        rise and Decimal(rise) for rise, *_ in OLD_REMOUNTS
    ]


@pytest.fixture
def unchained(transactional_db):
    """The history as it was before its entries were numbered."""
    yield from as_it_was(UNCHAINED)


@pytest.mark.both_databases
def test_history_that_was_written_before_is_chained_in_its_order_and_guarded_again(unchained):
    case = case_of(unchained)
    entries, user = (unchained.get_model("labcases", name) for name in ("HistoryEntry", "User"))
    by = user.objects.create(username="dora", full_name="Dora")
    for number in range(7):
        entries.objects.create(case=case, by=by, act=f"act {number}", part="case", changes={"a": 1})
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute("DELETE FROM labcases_historyentry")

    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())

    rows = HistoryEntry.objects.all()
    assert [(row.sequence, row.act) for row in rows] == [
        (number + 1, f"act {number}") for number in range(7)
    ]
    laboratory = Organisation.objects.get(pk=case.laboratory_id)
    assert chain.walk(laboratory).broken is None
    assert ChainHead.objects.get(laboratory=laboratory).digest == rows[6].digest
    for statement in (
        "UPDATE labcases_historyentry SET act = 'forged'",
        "UPDATE labcases_chainhead SET sequence = 3",
    ):
        with (
            pytest.raises(DatabaseError, match=r"append-only|only goes forward"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)


TOGETHER = ("labcases", "0001_squashed_0052_device_statement")


@pytest.fixture
def one_after_the_other(transactional_db):
    """The tables as the migrations that stand together in one leave them, taken one by one."""
    yield from as_it_was(("labcases", "0052_device_statement"))


def test_one_step_makes_the_tables_of_all_that_stand_together_in_it(one_after_the_other):
    stepwise = tables()
    with databases.empty():
        MigrationExecutor(connection).migrate([TOGETHER])
        at_once = tables()

    assert at_once.keys() == stepwise.keys()
    assert {name: at_once[name] for name in at_once} == stepwise
    assert "labcases_historyentry_no_update" in at_once["labcases_historyentry"]


def tables():
    """Each table: what it says of each column and constraint, its indexes and triggers."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT tbl_name, type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
        found = cursor.fetchall()
    told = {}
    for table, kind, name, sql in found:
        if table.startswith("labcases_"):
            parts = parted(sql) if kind == "table" else {name}
            told.setdefault(table, set()).update(parts)
    return told


def parted(sql):
    """Columns and constraints of a table, whatever their order: commas outside of parentheses."""
    parts, depth, quoted = [""], 0, False
    for sign in sql[sql.index("(") + 1 : sql.rindex(")")]:
        quoted ^= sign == "'"
        depth += 0 if quoted else (sign == "(") - (sign == ")")
        if sign == "," and depth == 0 and not quoted:
            parts.append("")
        else:
            parts[-1] += sign
    return {part.strip() for part in parts}
