"""Who gets what from the pages of a house and of oneself: people, history, devices, plan."""

from __future__ import annotations

from typing import Any

from labcases.domain import bench_devices, own_materials
from tests import walls_account, walls_load

#: As in `tests/walls.py`.
TABLE = """
member:office                  GET    login     404    200 403 404 404 404 404     404
member:office                  POST   login     404    422 403 404 404 404 404     404
member:laboratory              GET    login     404    404 404 403 403 200 404     404
member:laboratory              POST   login     404    404 404 403 403 422 404     404
member_stop:office             GET    login     404    200 403 404 404 404 404     404
member_stop:office             POST   login     404    ok  403 404 404 404 404     404
member_stop:laboratory         GET    login     404    404 404 403 403 200 404     404
member_stop:laboratory         POST   login     404    404 404 403 403 ok  404     404
house_history:office           GET    login     404    200 200 404 404 404 404     404
house_history:office           POST   login     405    405 405 405 405 405 405     405
house_history:laboratory       GET    login     404    404 404 200 200 200 404     404
house_history:laboratory       POST   login     405    405 405 405 405 405 405     405
erasure                        GET    login     404    200 200 200 200 200 404     404
erasure                        POST   login     404    422 403 403 403 403 404     404
erasures:office                GET    login     404    200 200 404 404 404 404     404
erasures:office                POST   login     405    405 405 405 405 405 405     405
erasures:laboratory            GET    login     404    404 404 200 200 200 404     404
erasures:laboratory            POST   login     405    405 405 405 405 405 405     405
checklists_in_use:office       GET    login     404    200 200 404 404 404 404     404
checklists_in_use:office       POST   login     405    405 405 405 405 405 405     405
checklists_in_use:laboratory   GET    login     404    404 404 200 200 200 404     404
checklists_in_use:laboratory   POST   login     405    405 405 405 405 405 405     405
profile_in_use:office          GET    login     404    200 200 404 404 404 404     404
profile_in_use:office          POST   login     405    405 405 405 405 405 405     405
profile_in_use:laboratory      GET    login     404    404 404 200 200 200 404     404
profile_in_use:laboratory      POST   login     405    405 405 405 405 405 405     405
stages_of_house:office         GET    login     404    200 200 404 404 404 404     404
stages_of_house:office         POST   login     404    ok  403 404 404 404 404     404
stages_of_house:laboratory     GET    login     404    404 404 200 200 200 404     404
stages_of_house:laboratory     POST   login     404    404 404 403 403 ok  404     404
own_materials:office           GET    login     404    404 404 404 404 404 404     404
own_materials:office           POST   login     404    404 404 404 404 404 404     404
own_materials:laboratory       GET    login     404    404 404 200 200 200 404     404
own_materials:laboratory       POST   login     404    404 404 403 403 422 404     404
own_material                   GET    login     404    404 404 403 403 200 404     404
own_material                   POST   login     404    404 404 403 403 422 404     404
bench_devices:office           GET    login     404    404 404 404 404 404 404     404
bench_devices:office           POST   login     404    404 404 404 404 404 404     404
bench_devices:laboratory       GET    login     404    404 404 403 403 200 404     404
bench_devices:laboratory       POST   login     404    404 404 403 403 422 404     404
bench_device_stop              GET    login     404    404 404 403 403 200 404     404
bench_device_stop              POST   login     404    404 404 403 403 ok  404     404
bench_access_end:office        GET    login     404    404 404 404 404 404 404     404
bench_access_end:office        POST   login     404    404 404 404 404 404 404     404
bench_access_end:laboratory    GET    login     404    404 404 403 403 200 404     404
bench_access_end:laboratory    POST   login     404    404 404 403 403 ok  404     404
bench_access                   GET    login     403    403 403 200 403 200 403     200|403
bench_access                   POST   login     403    403 403 422 403 422 403     422|403
bench_badge                    GET    login     405    405 405 405 405 405 405     405
bench_badge                    POST   login     403    403 403 422 403 422 403     422|403
# Nobody of this table sits at a registered device.
bench_people                   GET    403       403    403 403 403 403 403 403     403
bench_people                   POST   405       405    405 405 405 405 405 405     405
bench_person                   GET    403       403    403 403 403 403 403 403     403
bench_person                   POST   403       403    403 403 403 403 403 403     403
bench_scan                     GET    405       405    405 405 405 405 405 405     405
bench_scan                     POST   403       403    403 403 403 403 403 403     403
"""
TABLE += walls_account.TABLE + walls_load.TABLE


def of_laboratory(here: Any) -> dict[str, list[Any]]:
    """What these addresses name."""
    office, laboratory = here.office.pk, here.laboratory.pk
    found: dict[str, list[Any]] = {
        **{f"{name}:office": [office, here.farah.pk] for name in ("member", "member_stop")},
        **{f"{name}:laboratory": [laboratory, here.tomas.pk] for name in ("member", "member_stop")},
    }
    tablet = bench_devices.register(
        laboratory=here.laboratory, called="Tablet 2", place="by the window", by=here.mona
    )
    liner = own_materials.add(
        laboratory=here.laboratory,
        by=here.mona,
        values={"called": "soft liner, pot", "kind": "liner", "monomer": "no"},
    )
    found |= {
        "own_material": [liner.pk],
        "bench_access_end:office": [office, here.farah.pk],
        "bench_access_end:laboratory": [laboratory, here.tomas.pk],
        "bench_device_stop": [tablet.device.pk],
        "bench_person": [here.tomas.pk],
        **{name: [] for name in ("bench_access", "bench_badge", "bench_people", "bench_scan")},
    }
    for name in (
        "bench_devices",
        "house_history",
        "erasures",
        "stages_of_house",
        "own_materials",
        "checklists_in_use",
        "profile_in_use",
    ):
        found |= {f"{name}:office": [office], f"{name}:laboratory": [laboratory]}
    return found | walls_account.of_account(here)
