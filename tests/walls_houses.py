"""What the addresses of the wall name that belong to no case."""

from __future__ import annotations

from typing import Any

from labcases.domain import paper_offices, people
from labcases.enums import Notation, Role
from labcases.models import Organisation, User
from tests import walls_curing
from tests.walls_boxes import closed_days
from tests.walls_laboratory import of_laboratory
from tests.walls_load import of_load
from tests.walls_teeth import stocked


def of_houses(here: Any) -> dict[str, list[Any]]:
    """What the addresses name that belong to no case: the two houses, their people and links."""
    office, laboratory = here.office, here.laboratory

    def invited(organisation: Organisation, role: Role, by: User, **more: Any) -> people.Invited:
        return people.invite(
            organisation=organisation, role=role, invited_name="Ines Vale", by=by, **more
        )

    inside = invited(laboratory, Role.TECHNICIAN, here.mona)
    opening = invited(laboratory, Role.DENTIST, here.mona, opens_office=True)
    of_office = invited(office, Role.FRONT_DESK, here.dora)
    on_paper = paper_offices.add(
        laboratory=laboratory,
        name="Sluice Road Office",
        address="4 Sluice Road",
        notation=Notation.ISO_3950,
        profile="",
        dentists=[{"name": "Ilse Rowan", "licence_number": "D-6120"}],
        by=here.mona,
    )
    first = paper_offices.invite(office=on_paper, invited_name="Ilse Rowan", by=here.mona)
    found: dict[str, list[Any]] = {
        **{name: [] for name in ("healthz", "home", "login", "logout", "password_change")},
        **{name: [] for name in ("bench", "desk", "cases", "case_new", "paper_case_new")},
        "paper_office": [on_paper.pk],
        "paper_office_invite": [on_paper.pk],
        "invitation_withdraw:on_paper": [first.invitation.pk],
        "join": [inside.secret],
        "join:spent": ["no-such-secret"],
        "invitation_withdraw:office": [of_office.invitation.pk],
        "invitation_withdraw:laboratory": [inside.invitation.pk],
        "invitation_withdraw:opening": [opening.invitation.pk],
        "membership_stop:office": [here.farah.memberships.get().pk],
        "membership_stop:laboratory": [here.tomas.memberships.get().pk],
        **{
            name: [office.laboratory_links.get(laboratory=laboratory).pk]
            for name in ("link_end", "link_road")
        },
    }
    found |= closed_days(here) | stocked(here) | of_laboratory(here) | of_load(here)
    found |= walls_curing.own_cycle(laboratory, here.tomas)
    found["curing_cycles:office"] = [office.pk]
    found |= {name: [laboratory.pk] for name in ("lots:laboratory", "lots_csv", "lots_pdf")}
    found |= {name: [laboratory.pk] for name in ("quality_csv", "devices_csv", "devices_pdf")}
    found["lots:office"] = [office.pk]
    for name in (
        *("organisation", "organisation_change", "invite", "link_office"),
        *("paper_office_new", "calendar", "complaints_of_house", "quality", "devices"),
    ):
        found[f"{name}:office"] = [office.pk]
        found[f"{name}:laboratory"] = [laboratory.pk]
    return found
