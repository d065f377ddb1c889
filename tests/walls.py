"""The wall around every case, typed by hand: who gets what from which page.

Nothing here is read from the permission table of the project: the two are held against each
other by `tests/test_walls.py`. The columns are people, the rows every named URL with its method:

* anonymous: nobody is signed in
* nobody: signed in, member of no organisation
* D O T L M: dentist and front desk of the case's own office; technician, front desk and manager
  of the case's own laboratory
* offices: dentist and front desk of two other offices. The neighbour sends cases to the same
  laboratory; the stranger shares nothing with the case.
* laboratories: technician, front desk and manager of two other laboratories. The neighbour gets
  other cases of the same office; the stranger shares nothing with the case.

What stands in a cell:

* login: sent to the login page
* 200 201 302 403 404 405 410 422: exactly this; 302 never leads to the login page
* ok: the form was read. The posts of this table are empty, so an allowed one may be done,
  refused in words (422) or told that somebody was faster (409)
* pdf: 200, or 503 on a machine that cannot make PDFs
* out: signed out, and sent to the login page
* 200|403: a column of several people, of whom only some may
"""

from __future__ import annotations

from dataclasses import dataclass

from tests.walls_curing import TABLE as CURING
from tests.walls_dates import TABLE as DATES
from tests.walls_delivery import TABLE as DELIVERY
from tests.walls_laboratory import TABLE as LABORATORY
from tests.walls_lots import TABLE as LOTS
from tests.walls_passes import TABLE as PASSES
from tests.walls_proposals import TABLE as PROPOSALS
from tests.walls_reviews import TABLE as REVIEWS
from tests.walls_tryin import TABLE as TRY_IN

POSITIONS = ("D", "O", "T", "L", "M")
COLUMNS = ("anonymous", "nobody", *POSITIONS, "offices", "laboratories")

#: What an allowed post without any field may be answered with.
HANDLED = (200, 201, 302, 409, 422)

#: After the colon: which of several things the address names (`tests/test_walls.py`).
TABLE = """
#                              method anonymous nobody D   O   T   L   M   offices laboratories
healthz                        GET    200       200    200 200 200 200 200 200     200
healthz                        POST   405       405    405 405 405 405 405 405     405
home                           GET    login     200    302 302 302 302 302 302     302
home                           POST   login     405    405 405 405 405 405 405     405
login                          GET    200       302    302 302 302 302 302 302     302
login                          POST   422       302    302 302 302 302 302 302     302
logout                         GET    login     405    405 405 405 405 405 405     405
logout                         POST   login     out    out out out out out out     out
password_change                GET    login     200    200 200 200 200 200 200     200
password_change                POST   login     422    422 422 422 422 422 422     422
join                           GET    200       200    200 200 200 200 200 200     200
join                           POST   422       ok     ok  ok  ok  ok  ok  ok      ok
join:spent                     GET    410       410    410 410 410 410 410 410     410
join:spent                     POST   410       410    410 410 410 410 410 410     410

organisation:office            GET    login     404    200 200 404 404 404 404     404
organisation:office            POST   login     405    405 405 405 405 405 405     405
organisation:laboratory        GET    login     404    404 404 200 200 200 404     404
organisation:laboratory        POST   login     405    405 405 405 405 405 405     405
organisation_change:office     GET    login     404    200 403 404 404 404 404     404
organisation_change:office     POST   login     404    422 403 404 404 404 404     404
organisation_change:laboratory GET    login     404    404 404 403 403 200 404     404
organisation_change:laboratory POST   login     404    404 404 403 403 422 404     404
calendar:office                GET    login     404    200 200 404 404 404 404     404
calendar:office                POST   login     404    422 403 404 404 404 404     404
calendar:laboratory            GET    login     404    404 404 200 200 200 404     404
calendar:laboratory            POST   login     404    404 404 403 403 422 404     404
house_day_remove:office       GET    login     405    405 405 405 405 405 405     405
house_day_remove:office       POST   login     404    ok  403 404 404 404 404     404
house_day_remove:laboratory   GET    login     405    405 405 405 405 405 405     405
house_day_remove:laboratory   POST   login     404    404 404 403 403 ok  404     404
link_road                      GET    login     405    405 405 405 405 405 405     405
link_road                      POST   login     404    422 403 403 403 422 404     404
invite:office                  GET    login     404    200 403 404 404 404 404     404
invite:office                  POST   login     404    422 403 404 404 404 404     404
invite:laboratory              GET    login     404    404 404 403 403 200 404     404
invite:laboratory              POST   login     404    404 404 403 403 422 404     404
link_office:office             GET    login     404    403 403 404 404 404 404     404
link_office:office             POST   login     404    403 403 404 404 404 404     404
link_office:laboratory         GET    login     404    404 404 403 403 200 404     404
link_office:laboratory         POST   login     404    404 404 403 403 422 404     404
invitation_withdraw:office     GET    login     404    200 403 404 404 404 404     404
invitation_withdraw:office     POST   login     404    ok  403 404 404 404 404     404
invitation_withdraw:laboratory GET    login     404    404 404 403 403 200 404     404
invitation_withdraw:laboratory POST   login     404    404 404 403 403 ok  404     404
invitation_withdraw:opening    GET    login     404    404 404 403 403 200 404     404
invitation_withdraw:opening    POST   login     404    404 404 403 403 ok  404     404
membership_stop:office         GET    login     404    200 403 404 404 404 404     404
membership_stop:office         POST   login     404    ok  403 404 404 404 404     404
membership_stop:laboratory     GET    login     404    404 404 403 403 200 404     404
membership_stop:laboratory     POST   login     404    404 404 403 403 ok  404     404
link_end                       GET    login     404    404 404 403 403 200 404     404
link_end                       POST   login     404    404 404 403 403 ok  404     404
paper_office_new:office        GET    login     404    403 403 404 404 404 404     404
paper_office_new:office        POST   login     404    403 403 404 404 404 404     404
paper_office_new:laboratory    GET    login     404    404 404 403 403 200 404     404
paper_office_new:laboratory    POST   login     404    404 404 403 403 422 404     404
paper_office                   GET    login     404    404 404 403 403 200 404     404
paper_office                   POST   login     404    404 404 403 403 422 404     404
paper_office_invite            GET    login     404    404 404 403 403 200 404     404
paper_office_invite            POST   login     404    404 404 403 403 422 404     404
invitation_withdraw:on_paper   GET    login     404    404 404 404 404 200 404     404
invitation_withdraw:on_paper   POST   login     404    404 404 404 404 ok  404     404

stock:laboratory               GET    login     404    404 404 200 200 200 404     404
stock:laboratory               POST   login     405    405 405 405 405 405 405     405
stock:office                   GET    login     404    404 404 404 404 404 404     404
stock:office                   POST   login     405    405 405 405 405 405 405     405
stock_add                      GET    login     404    404 404 200 200 200 404     404
stock_add                      POST   login     404    404 404 422 422 422 404     404
stock_set                      GET    login     404    404 404 200 200 200 404     404
stock_set                      POST   login     404    404 404 422 422 422 404     404
stock_export:laboratory        GET    login     404    404 404 200 200 200 404     404
stock_export:laboratory        POST   login     405    405 405 405 405 405 405     405
stock_export:office            GET    login     404    404 404 404 404 404 404     404
stock_file_choose              GET    login     404    404 404 200 200 200 404     404
stock_file_choose              POST   login     404    404 404 422 422 422 404     404
stock_file                     GET    login     404    404 404 200 200 200 404     404
stock_file                     POST   login     404    404 404 409 409 409 404     404

bench                          GET    login     403    403 403 200 200 200 403     200
bench                          POST   login     405    405 405 405 405 405 405     405
desk                           GET    login     200    200 200 200 200 200 200     200
desk                           POST   login     405    405 405 405 405 405 405     405
cases                          GET    login     200    200 200 200 200 200 200     200
cases                          POST   login     405    405 405 405 405 405 405     405
case_new                       GET    login     403    200 200 403 403 403 200     403
case_new                       POST   login     403    422 422 403 403 403 422     403
paper_case_new                 GET    login     403    403 403 403 200 200 403     200|403
paper_case_new                 POST   login     403    403 403 403 422 422 403     422|403

case                           GET    login     404    200 200 200 200 200 404     404
case                           POST   login     405    405 405 405 405 405 405     405
case_move                      GET    login     405    405 405 405 405 405 405     405
case_move                      POST   login     404    422 422 422 422 422 404     404
case_hold                      GET    login     405    405 405 405 405 405 405     405
case_hold                      POST   login     404    422 422 422 422 422 404     404
case_resume                    GET    login     405    405 405 405 405 405 405     405
case_resume                    POST   login     404    ok  ok  ok  ok  ok  404     404
case_tray                      GET    login     405    405 405 405 405 405 405     405
case_tray                      POST   login     404    403 403 ok  403 ok  404     404
linked                         GET    login     404    200 200 200 200 200 404     404
linked                         POST   login     405    405 405 405 405 405 405     405
linked_open                    GET    login     405    405 405 405 405 405 405     405
linked_open                    POST   login     404    ok  ok  403 403 403 404     404
linked_join                    GET    login     405    405 405 405 405 405 405     405
linked_join                    POST   login     404    422 422 403 422 422 404     404
linked_part                    GET    login     405    405 405 405 405 405 405     405
linked_part                    POST   login     404    422 422 403 422 422 404     404
questions                      GET    login     404    200 200 200 200 200 404     404
questions                      POST   login     404    422 422 422 422 422 404     404
question_answer:plain          GET    login     405    405 405 405 405 405 405     405
question_answer:plain          POST   login     404    422 422 403 403 403 404     404
question_answer:to_laboratory  GET    login     405    405 405 405 405 405 405     405
question_answer:to_laboratory  POST   login     404    403 403 422 422 422 404     404
question_answer:clinical       GET    login     405    405 405 405 405 405 405     405
question_answer:clinical       POST   login     404    422 403 403 403 403 404     404
questions_read                 GET    login     405    405 405 405 405 405 405     405
questions_read                 POST   login     404    302 302 302 302 302 404     404
question_remark                GET    login     405    405 405 405 405 405 405     405
question_remark                POST   login     404    422 422 422 422 422 404     404
question_again:waiting         GET    login     405    405 405 405 405 405 405     405
question_again:waiting         POST   login     404    403 403 403 403 403 404     404
question_again:answered        GET    login     405    405 405 405 405 405 405     405
question_again:answered        POST   login     404    422 422 403 403 403 404     404
question_close                 GET    login     405    405 405 405 405 405 405     405
question_close                 POST   login     404    403 403 422 422 422 404     404
question_revise                GET    login     405    405 405 405 405 405 405     405
question_revise                POST   login     404    ok  403 403 403 403 404     404
boxes                          GET    login     404    200 200 200 200 200 404     404
boxes                          POST   login     405    405 405 405 405 405 405     405
box_new                        GET    login     404    200 200 200 200 200 404     404
box_new                        POST   login     404    422 422 422 422 422 404     404
box_arrived                    GET    login     404    200 200 200 200 200 404     404
box_arrived                    POST   login     404    422 422 422 422 422 404     404
box:packed_by_office           GET    login     404    200 200 302 302 302 404     404
box:packed_by_office           POST   login     404    422 422 403 403 403 404     404
box:packed_by_laboratory       GET    login     404    302 302 200 200 200 404     404
box:packed_by_laboratory       POST   login     404    403 403 422 422 422 404     404
box_send:packed_by_office      GET    login     405    405 405 405 405 405 405     405
box_send:packed_by_office      POST   login     404    ok  ok  403 403 403 404     404
box_send:packed_by_laboratory  GET    login     405    405 405 405 405 405 405     405
box_send:packed_by_laboratory  POST   login     404    403 403 ok  ok  ok  404     404
box_receive:sent_by_office     GET    login     404    403 403 200 200 200 404     404
box_receive:sent_by_office     POST   login     404    403 403 422 422 422 404     404
box_receive:sent_by_laboratory GET    login     404    200 200 403 403 403 404     404
box_receive:sent_by_laboratory POST   login     404    422 422 403 403 403 404     404
box_report                     GET    login     405    405 405 405 405 405 405     405
box_report                     POST   login     404    422 422 422 422 422 404     404
box_turned_up                  GET    login     405    405 405 405 405 405 405     405
box_turned_up                  POST   login     404    ok  ok  ok  ok  ok  404     404
box_settle                     GET    login     405    405 405 405 405 405 405     405
box_settle                     POST   login     404    422 422 422 422 422 404     404
settlement_strike              GET    login     405    405 405 405 405 405 405     405
settlement_strike              POST   login     404    422 422 422 422 422 404     404
box_disinfect:sent_by_office   GET    login     405    405 405 405 405 405 405     405
box_disinfect:sent_by_office   POST   login     404    403 403 422 422 422 404     404
box_disinfect:sent_by_laboratory GET  login     405    405 405 405 405 405 405     405
box_disinfect:sent_by_laboratory POST login     404    422 422 403 403 403 404     404
disinfection_strike            GET    login     405    405 405 405 405 405 405     405
disinfection_strike            POST   login     404    403 403 422 422 422 404     404
files                          GET    login     404    200 200 200 200 200 404     404
files                          POST   login     404    422 422 422 422 422 404     404
file:of_a_cast                 GET    login     404    200 200 200 200 200 404     404
file:of_a_cast                 POST   login     405    405 405 405 405 405 405     405
file:face_held_back            GET    login     404    200 200 403 403 403 404     404
file:taken_out                 GET    login     404    404 404 404 404 404 404     404
file_small:of_a_cast           GET    login     404    200 200 200 200 200 404     404
file_small:of_a_cast           POST   login     405    405 405 405 405 405 405     405
file_small:face_held_back      GET    login     404    200 200 403 403 403 404     404
file_small:taken_out           GET    login     404    404 404 404 404 404 404     404
file_agree                     GET    login     405    405 405 405 405 405 405     405
file_agree                     POST   login     404    ok  ok  403 403 403 404     404
file_take_out                  GET    login     405    405 405 405 405 405 405     405
file_take_out                  POST   login     404    422 403 403 403 422 404     404
incidents                      GET    login     404    200 200 200 200 200 404     404
incidents                      POST   login     405    405 405 405 405 405 405     405
incidents_read                 GET    login     405    405 405 405 405 405 405     405
incidents_read                 POST   login     404    302 302 302 302 302 404     404
incident_new                   GET    login     404    200 200 200 200 200 404     404
incident_new                   POST   login     404    422 422 422 422 422 404     404
incident_new:unknown           GET    login     404    404 404 404 404 404 404     404
incident_new:unknown           POST   login     404    404 404 404 404 404 404     404
incident_close                 GET    login     405    405 405 405 405 405 405     405
incident_close                 POST   login     404    422 422 422 422 422 404     404
incident_strike                GET    login     405    405 405 405 405 405 405     405
incident_strike                POST   login     404    422 403 403 403 422 404     404
incident_identity              GET    login     405    405 405 405 405 405 405     405
incident_identity              POST   login     404    422 422 422 422 422 404     404
bundle                         GET    login     404    200 200 200 200 200 404     404
bundle                         POST   login     404    ok  ok  403 403 ok  404     404
history                        GET    login     404    200 200 200 200 200 404     404
history                        POST   login     405    405 405 405 405 405 405     405
history_undo                   GET    login     405    405 405 405 405 405 405     405
history_undo                   POST   login     404    422 422 422 422 422 404     404

prescription                   GET    login     404    200 200 200 200 200 404     404
prescription                   POST   login     405    405 405 405 405 405 405     405
prescription_teeth             GET    login     404    200 200 200 200 200 404     404
prescription_teeth             POST   login     405    405 405 405 405 405 405     405
prescription_step              GET    login     404    200 200 302 200 200 404     404
prescription_step              POST   login     404    ok  ok  403 ok  ok  404     404
prescription_step:unknown      GET    login     404    404 404 404 404 404 404     404
prescription_step:unknown      POST   login     404    404 404 404 404 404 404     404
prescription_check             GET    login     404    200 200 200 200 200 404     404
prescription_check             POST   login     405    405 405 405 405 405 405     405
prescription_sign              GET    login     405    405 405 405 405 405 405     405
prescription_sign              POST   login     404    422 403 403 403 403 404     404
prescription_revise            GET    login     405    405 405 405 405 405 405     405
prescription_revise            POST   login     404    ok  ok  403 403 403 404     404

signed_papers                  GET    login     404    200 200 200 200 200 404     404
signed_papers                  POST   login     405    405 405 405 405 405 405     405
paper_begin                    GET    login     405    405 405 405 405 405 405     405
paper_begin                    POST   login     404    403 403 403 302 302 404     404
approval_paper_new             GET    login     404    403 403 403 200 200 404     404
approval_paper_new             POST   login     404    403 403 403 422 422 404     404
approval_paper_new:unknown     GET    login     404    404 404 404 404 404 404     404
approval_paper_said            GET    login     404    403 403 403 200 200 404     404
approval_paper_said            POST   login     404    403 403 403 422 422 404     404
signed_paper                   GET    login     404    200 200 200 200 200 404     404
signed_paper                   POST   login     405    405 405 405 405 405 405     405
signed_paper_page              GET    login     405    405 405 405 405 405 405     405
signed_paper_page              POST   login     404    403 403 403 422 422 404     404
signed_paper_hand_over         GET    login     405    405 405 405 405 405 405     405
signed_paper_hand_over         POST   login     404    403 403 403 422 422 404     404
signed_paper_confirm           GET    login     405    405 405 405 405 405 405     405
signed_paper_confirm           POST   login     404    403 403 422 422 422 404     404
signed_paper_back              GET    login     405    405 405 405 405 405 405     405
signed_paper_back              POST   login     404    403 403 422 422 422 404     404
signed_paper_give_up           GET    login     405    405 405 405 405 405 405     405
signed_paper_give_up           POST   login     404    403 403 403 422 422 404     404
signed_paper_ask               GET    login     405    405 405 405 405 405 405     405
signed_paper_ask               POST   login     404    403 403 403 422 422 404     404

casts                          GET    login     404    200 200 200 200 200 404     404
casts                          POST   login     404    403 403 422 403 422 404     404
cast_pour                      GET    login     405    405 405 405 405 405 405     405
cast_pour                      POST   login     404    403 403 422 403 422 404     404
cast_look                      GET    login     405    405 405 405 405 405 405     405
cast_look                      POST   login     404    403 403 422 403 422 404     404
casts_strike                   GET    login     405    405 405 405 405 405 405     405
casts_strike                   POST   login     404    403 403 422 403 422 404     404
casts_strike:unknown           GET    login     405    405 405 405 405 405 405     405
casts_strike:unknown           POST   login     404    403 403 404 403 404 404     404
mounting                       GET    login     404    200 200 200 200 200 404     404
mounting                       POST   login     404    403 403 ok  403 ok  404     404
mounting_back                  GET    login     405    405 405 405 405 405 405     405
mounting_back                  POST   login     404    403 403 422 403 422 404     404
settings                       GET    login     404    200 200 200 200 200 404     404
settings                       POST   login     404    403 403 422 403 422 404     404
settings_acknowledge           GET    login     405    405 405 405 405 405 405     405
settings_acknowledge           POST   login     404    403 403 ok  403 ok  404     404
check_records                  GET    login     404    200 200 200 200 200 404     404
check_records                  POST   login     404    403 403 422 403 422 404     404
check_records_adopt            GET    login     405    405 405 405 405 405 405     405
check_records_adopt            POST   login     404    403 403 422 403 422 404     404
check_record_strike            GET    login     405    405 405 405 405 405 405     405
check_record_strike            POST   login     404    403 403 422 403 422 404     404
teeth                          GET    login     404    200 200 200 200 200 404     404
teeth                          POST   login     404    403 403 ok  403 ok  404     404
teeth_enter                    GET    login     405    405 405 405 405 405 405     405
teeth_enter                    POST   login     404    403 403 422 422 422 404     404
teeth_change                   GET    login     405    405 405 405 405 405 405     405
teeth_change                   POST   login     404    403 403 422 422 422 404     404
teeth_change:unknown           GET    login     405    405 405 405 405 405 405     405
teeth_change:unknown           POST   login     404    403 403 404 404 404 404     404
sites                          GET    login     404    200 200 200 200 200 404     404
sites                          POST   login     404    403 403 ok  403 ok  404     404
sites_take_over                GET    login     405    405 405 405 405 405 405     405
sites_take_over                POST   login     404    403 403 ok  403 ok  404     404
check                          GET    login     404    200 200 200 200 200 404     404
check                          POST   login     405    405 405 405 405 405 405     405
check_compute                  GET    login     405    405 405 405 405 405 405     405
check_compute                  POST   login     404    403 403 422 403 422 404     404
setup                          GET    login     404    200 200 200 200 200 404     404
setup                          POST   login     404    403 403 422 403 422 404     404
setup_strike                   GET    login     405    405 405 405 405 405 405     405
setup_strike                   POST   login     404    403 403 422 403 422 404     404
line_photographs               GET    login     404    200 200 200 200 200 404     404
line_photographs               POST   login     404    403 403 422 403 422 404     404
front_teeth                    GET    login     404    200 200 200 200 200 404     404
front_teeth                    POST   login     404    403 403 422 403 422 404     404
handoff                        GET    login     404    200 200 200 200 200 404     404
handoff                        POST   login     404    403 403 422 403 422 404     404
remount                        GET    login     404    200 200 200 200 200 404     404
remount                        POST   login     404    403 403 422 403 422 404     404
remount_check                  GET    login     404    200 200 200 200 200 404     404
remount_check                  POST   login     404    403 403 ok  403 ok  404     404
remount_strike                 GET    login     405    405 405 405 405 405 405     405
remount_strike                 POST   login     404    403 403 422 403 422 404     404
finishing                      GET    login     404    200 200 200 200 200 404     404
finishing                      POST   login     404    403 403 ok  403 ok  404     404
mark_text                      GET    login     405    405 405 405 405 405 405     405
mark_text                      POST   login     404    422 422 403 403 403 404     404
release                        GET    login     404    200 200 200 200 200 404     404
release                        POST   login     404    403 403 ok  403 ok  404     404
release_look                   GET    login     405    405 405 405 405 405 405     405
release_look                   POST   login     404    403 403 422 403 422 404     404
statement                      GET    login     404    200 200 200 200 200 404     404
statement                      POST   login     404    403 403 422 403 422 404     404
statement_strike               GET    login     405    405 405 405 405 405 405     405
statement_strike               POST   login     404    403 403 422 403 422 404     404

papers                         GET    login     404    200 200 200 200 200 404     404
papers                         POST   login     405    405 405 405 405 405 405     405
paper                          GET    login     404    200 200 200 200 200 404     404
paper                          POST   login     405    405 405 405 405 405 405     405
paper:unknown                  GET    login     404    404 404 404 404 404 404     404
paper_pdf                      GET    login     404    pdf pdf pdf pdf pdf 404     404
paper_pdf                      POST   login     405    405 405 405 405 405 405     405
paper_pdf:unknown              GET    login     404    404 404 404 404 404 404     404
"""


@dataclass(frozen=True)
class Row:
    """One URL with one method, and what each column of people gets."""

    url: str
    method: str
    cells: dict[str, str]

    @property
    def name(self) -> str:
        """The name that the resolver knows."""
        return self.url.partition(":")[0]


def read(table: str) -> list[Row]:
    """The rows of a table like the one above; a row with a cell too many or too few is refused."""
    rows = []
    for line in table.splitlines():
        url, *rest = line.split() or ["#"]
        if url.startswith("#"):
            continue
        method, *cells = rest
        rows.append(Row(url, method, dict(zip(COLUMNS, cells, strict=True))))
    return rows


ROWS = read(
    TABLE + CURING + DATES + DELIVERY + LABORATORY + LOTS + PASSES + PROPOSALS + REVIEWS + TRY_IN
)
