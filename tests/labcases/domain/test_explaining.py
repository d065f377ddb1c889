"""Comparing marks with the prediction, and what adopting or leaving a change does."""

from decimal import Decimal

import pytest

from labcases.domain import bench, explaining, undo
from labcases.domain.calculations import CannotCompute, settings_findings
from labcases.domain.explaining import NotDecided
from labcases.domain.proposing import NotProposable
from labcases.enums import Movement, SettingsOrigin, SetUpAct, Stage
from labcases.enums.marks import Decision
from labcases.models import MarksCompared
from tests.factories import world
from tests.labcases import compared

pytestmark = pytest.mark.django_db

D = Decimal
OWN = SettingsOrigin.AVERAGE


def record(walk, **values):
    row = getattr(walk.reload(), "articulator", None)
    bench.save_articulator(
        case=walk.case,
        version=row.version if row else 0,
        by=walk.hands.technician,
        values={**(walk.settings if row is None else {}), **values},
    )


@pytest.fixture
def walk():
    """An upper denture over natural teeth, with settings that the laboratory chose itself."""
    walk = world().walk()
    walk.to(Stage.DRAFT)
    record(walk, origin=OWN)
    walk.foil(Movement.RIGHT, "16")
    return walk


def keep(walk, best=None, **more):
    return compared.keep(walk.reload(), walk.hands.technician, best, **more)


def adopt(walk, run):
    return explaining.adopt(run=run, by=walk.hands.technician)


def log(walk):
    return [(entry.part, entry.act) for entry in walk.reload().history.all()]


class TestComparing:
    def test_without_a_pass_there_is_nothing_to_compare(self):
        walk = world().walk()
        walk.to(Stage.DRAFT)

        with pytest.raises(CannotCompute) as refused:
            explaining.compare(case=walk.reload(), by=walk.hands.technician)

        assert refused.value.part == "passes"
        assert MarksCompared.objects.count() == 0

    def test_the_last_pass_in_each_movement_is_told_with_how_it_marked(self, walk):
        walk.foil(Movement.RIGHT, "26", "46")
        walk.foil(Movement.CENTRIC)

        told = explaining.told_of(walk.reload())

        assert told["passes"] == {"right lateral": {"26": "", "46": ""}, "centric": {}}
        assert told["teeth"]

    def test_a_new_pass_a_ground_tooth_and_a_changed_setting_make_it_stale(self, walk):
        run = keep(walk)
        assert not explaining.latest(walk.reload()).stale

        record(walk, condylar_left_deg=D("33"))
        assert explaining.latest(walk.reload()).changed == ["condylar left: 30 → 33"]

        run = keep(walk)
        walk.log(SetUpAct.TOOTH_SET, teeth=["16"])
        assert explaining.latest(walk.reload()).stale

        run = keep(walk)
        walk.foil(Movement.LEFT, "26")
        found = explaining.latest(walk.reload())
        assert (found.run, found.stale, found.open) == (run, True, False)


class TestAdopting:
    def test_a_setting_of_the_laboratorys_own_is_changed_and_acknowledged_anew(self, walk):
        record(walk, condylar_right_deg=D("61"))
        bench.acknowledge_settings(
            case=walk.reload(), version=walk.case.articulator.version, by=walk.hands.technician
        )
        run = keep(walk, compared.setting(value=64.04))

        adopt(walk, run)

        row = walk.reload().articulator
        assert (row.condylar_right_deg, row.condylar_right_sd_deg) == (D("64.0"), D("2.2"))
        assert row.origin == OWN
        assert row.acknowledged != settings_findings(row).digest
        assert log(walk)[-1] == ("articulator record", "followed the marks")
        assert walk.case.history.last().reason == "it explains the marks of the last passes"
        assert explaining.latest(walk.reload()).stale

    @pytest.mark.parametrize("origin", [SettingsOrigin.PRESCRIBED, SettingsOrigin.APPROVED])
    def test_a_setting_that_the_dentist_gave_is_proposed_and_stays(self, origin):
        walk = world().walk()
        walk.to(Stage.ACCEPTED)
        record(walk, origin=origin)
        before = walk.reload().articulator.condylar_right_deg
        run = keep(walk, compared.setting())

        found = adopt(walk, run)

        proposal = found.proposal
        assert found.decision == Decision.PROPOSED
        assert (proposal.field, proposal.proposed_deg) == ("condylar_right_deg", D("38.2"))
        assert (proposal.basis, proposal.before_deg) == ("marks", before)
        assert proposal.why.startswith("One change explains the marks")
        assert walk.reload().articulator.condylar_right_deg == before
        assert not explaining.latest(walk.case).open

    def test_where_the_dentist_cannot_be_asked_nothing_is_decided(self, walk):
        record(walk, origin=SettingsOrigin.PRESCRIBED)
        run = keep(walk, compared.setting())

        with pytest.raises(NotProposable):
            adopt(walk, run)

        run.refresh_from_db()
        assert (run.decision, walk.reload().proposals.count()) == ("", 0)

    def test_a_denture_tooth_is_logged_as_set_again(self, walk):
        adopt(walk, keep(walk, compared.of_tooth("16")))

        entry = walk.reload().setup_entries.last()
        assert (entry.act, entry.teeth) == (SetUpAct.TOOTH_SET, ["16"])
        assert entry.note == "Set again: by the marks it stood 0.23 mm too high."
        assert explaining.latest(walk.case).stale

    @pytest.mark.parametrize(
        ("tooth", "change", "before", "after"),
        [
            ("46", 0.234, None, "0.23"),
            ("46", -0.4, "1.00", "0.60"),
            # Tips of the upper arch come nearer by going down.
            ("18", 0.3, "0.10", "-0.20"),
        ],
    )
    def test_of_any_other_tooth_the_height_is_corrected_and_nothing_is_ground(
        self, walk, tooth, change, before, after
    ):
        if before is not None:
            bench.save_site(
                case=walk.reload(),
                tooth=tooth,
                version=0,
                by=walk.hands.technician,
                values={"tip_height_mm": D(before)},
            )
        lines = walk.reload().setup_entries.count()

        adopt(walk, keep(walk, compared.of_tooth(tooth, "natural tooth", change)))

        assert walk.reload().sites.get(tooth=tooth).tip_height_mm == D(after)
        assert walk.case.setup_entries.count() == lines
        assert ("set-up log", "denture tooth reduced") not in log(walk)

    def test_a_pin_that_slipped_is_no_setting_to_adopt(self, walk):
        run = keep(walk, compared.setting("pin_opening_mm", unit="mm", value=0.3, change=0.3))

        with pytest.raises(NotDecided) as refused:
            adopt(walk, run)

        assert str(refused.value).startswith("A pin that slipped is put back on the bench.")
        assert walk.reload().articulator.pin_opening_mm == D("0")

    def test_what_is_not_explained_cannot_be_adopted_or_left(self, walk):
        run = keep(walk)

        for act in (
            lambda: adopt(walk, run),
            lambda: explaining.leave(run=run, reason="seen", by=walk.hands.technician),
        ):
            with pytest.raises(NotDecided, match="No single change explains these marks"):
                act()

    def test_a_stale_comparison_and_an_older_one_are_not_adopted(self, walk):
        older = keep(walk, compared.setting())
        newer = keep(walk, compared.setting())
        with pytest.raises(NotDecided, match="Compare again"):
            adopt(walk, older)

        walk.foil(Movement.LEFT, "26")
        with pytest.raises(NotDecided, match="Compare again"):
            adopt(walk, newer)

    def test_adopting_is_undone_as_any_edit_and_may_then_be_decided_anew(self, walk):
        before = walk.reload().articulator.condylar_right_deg
        run = keep(walk, compared.setting())
        adopt(walk, run)
        assert not explaining.latest(walk.reload()).open
        entry = walk.reload().history.get(act="followed the marks")

        undo.undo(case=walk.case, numbers=[entry.sequence], by=walk.hands.technician)

        assert walk.reload().articulator.condylar_right_deg == before
        found = explaining.latest(walk.case)
        assert (found.run, found.open) == (run, True)


class TestLeaving:
    def test_it_is_left_with_a_reason(self, walk):
        run = explaining.leave(
            run=keep(walk, compared.setting()), reason=" the screw holds ", by=walk.hands.technician
        )

        assert (run.decision, run.reason) == (Decision.LEFT, "the screw holds")
        assert walk.reload().history.last().reason == "the screw holds"
        assert not explaining.latest(walk.case).open

    @pytest.mark.parametrize("reason", ["", "  "])
    def test_without_a_reason_it_is_not_left(self, walk, reason):
        run = keep(walk, compared.setting())

        with pytest.raises(ValueError, match="Give the reason why it is left"):
            explaining.leave(run=run, reason=reason, by=walk.hands.technician)

    def test_what_is_decided_is_not_decided_again(self, walk):
        run = keep(walk, compared.setting())
        explaining.leave(run=run, reason="seen", by=walk.hands.technician)

        with pytest.raises(NotDecided, match="decided already: left"):
            adopt(walk, run)
