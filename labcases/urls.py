"""Every address of the application, grouped by resource."""

from django.urls import path

from labcases.views import (
    accounts,
    bench,
    boxes,
    case,
    cases,
    check,
    dates,
    desk,
    health,
    history,
    home,
    mounting,
    organisation,
    papers,
    prescription,
    processing,
    questions,
    release,
    settings_record,
    setup,
    sites,
    teeth,
    tryin,
)

CASE = "cases/<code>/"
HOUSE = "organisations/<int:pk>/"

urlpatterns = [
    path("healthz", health.healthz, name="healthz"),
    path("", home.home, name="home"),
    # Accounts and organisations
    path("login/", accounts.login, name="login"),
    path("logout/", accounts.logout, name="logout"),
    path("password/", accounts.password_change, name="password_change"),
    path("join/<secret>/", accounts.join, name="join"),
    path(HOUSE, organisation.organisation, name="organisation"),
    path(f"{HOUSE}change/", organisation.organisation_change, name="organisation_change"),
    path(f"{HOUSE}invite/", organisation.invite, name="invite"),
    path(f"{HOUSE}link-office/", organisation.link_office, name="link_office"),
    path(
        "invitations/<int:pk>/withdraw/",
        organisation.invitation_withdraw,
        name="invitation_withdraw",
    ),
    path("memberships/<int:pk>/stop/", organisation.membership_stop, name="membership_stop"),
    path("office-links/<int:pk>/end/", organisation.link_end, name="link_end"),
    # Bench, desk and finding cases
    path("bench/", bench.bench, name="bench"),
    path("desk/", desk.desk, name="desk"),
    path("cases/", cases.cases, name="cases"),
    path("cases/new/", cases.case_new, name="case_new"),
    # Case, its dates, questions, boxes and history
    path(CASE, case.case, name="case"),
    path(f"{CASE}move/", case.case_move, name="case_move"),
    path(f"{CASE}hold/", case.case_hold, name="case_hold"),
    path(f"{CASE}resume/", case.case_resume, name="case_resume"),
    path(f"{CASE}tray/", case.case_tray, name="case_tray"),
    path(f"{CASE}dates/", dates.dates, name="dates"),
    path(f"{CASE}dates/confirm/", dates.dates_confirm, name="dates_confirm"),
    path(f"{CASE}dates/appointments/", dates.appointment_new, name="appointment_new"),
    path(f"{CASE}dates/appointments/<int:pk>/", dates.appointment, name="appointment"),
    path(f"{CASE}questions/", questions.questions, name="questions"),
    path(f"{CASE}questions/<int:pk>/", questions.question_answer, name="question_answer"),
    path(f"{CASE}boxes/", boxes.boxes, name="boxes"),
    path(f"{CASE}boxes/new/", boxes.box_new, name="box_new"),
    path(f"{CASE}boxes/<int:pk>/", boxes.box, name="box"),
    path(f"{CASE}boxes/<int:pk>/send/", boxes.box_send, name="box_send"),
    path(f"{CASE}boxes/<int:pk>/receive/", boxes.box_receive, name="box_receive"),
    path(f"{CASE}history/", history.history, name="history"),
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
    # Papers
    path(f"{CASE}papers/", papers.papers, name="papers"),
    path(f"{CASE}papers/<slug:kind>/", papers.paper, name="paper"),
    path(f"{CASE}papers/<slug:kind>.pdf", papers.paper_pdf, name="paper_pdf"),
]
