"""Every address of the application, grouped by resource."""

from django.urls import path

from labcases.views import (
    check,
    health,
    mounting,
    prescription,
    processing,
    release,
    settings_record,
    setup,
    sites,
    teeth,
    tryin,
)

CASE = "cases/<code>/"

urlpatterns = [
    path("healthz", health.healthz, name="healthz"),
    # Prescription
    path(f"{CASE}prescription/", prescription.overview, name="prescription"),
    path(f"{CASE}prescription/write/<slug:step>/", prescription.step, name="prescription_step"),
    path(f"{CASE}prescription/check/", prescription.check, name="prescription_check"),
    path(f"{CASE}prescription/sign/", prescription.sign, name="prescription_sign"),
    path(f"{CASE}prescription/revise/", prescription.revise, name="prescription_revise"),
    # Bench: casts, settings, teeth, sites
    path(f"{CASE}mounting/", mounting.mounting, name="mounting"),
    path(f"{CASE}settings/", settings_record.settings, name="settings"),
    path(f"{CASE}settings/acknowledge/", settings_record.acknowledge, name="settings_acknowledge"),
    path(f"{CASE}teeth/", teeth.selection, name="teeth"),
    path(f"{CASE}sites/", sites.sites, name="sites"),
    # Bench: check, set-up, try-in, wax, handoff; then release and delivery
    path(f"{CASE}check/", check.check, name="check"),
    path(f"{CASE}check/compute/", check.compute, name="check_compute"),
    path(f"{CASE}setup/", setup.setup, name="setup"),
    path(f"{CASE}setup/<int:pk>/strike/", setup.strike, name="setup_strike"),
    path(f"{CASE}try-in/", tryin.try_in, name="try_in"),
    path(f"{CASE}final-wax/", tryin.final_wax, name="final_wax"),
    path(f"{CASE}final-wax/approve/", tryin.final_wax_approve, name="final_wax_approve"),
    path(f"{CASE}handoff/", processing.handoff, name="handoff"),
    path(f"{CASE}release/", release.release, name="release"),
    path(f"{CASE}release/look/", release.release_look, name="release_look"),
    path(f"{CASE}delivery/", release.delivery, name="delivery"),
]
