"""Try-in and final wax behind the walls."""

#: As in `tests/walls.py`.
TABLE = """
try_in                         GET    login     404    200 200 200 200 200 404     404
try_in                         POST   login     404    ok  403 403 403 403 404     404
bench_check                    GET    login     404    200 200 200 200 200 404     404
bench_check                    POST   login     404    403 403 ok  403 ok  404     404
try_in_waive                   GET    login     405    405 405 405 405 405 405     405
try_in_waive                   POST   login     404    422 403 403 403 403 404     404
final_wax                      GET    login     404    200 200 200 200 200 404     404
final_wax                      POST   login     404    403 403 ok  403 ok  404     404
final_wax_checklist            GET    login     404    200 200 200 200 200 404     404
final_wax_checklist            POST   login     404    403 403 ok  403 ok  404     404
final_wax_checklist:unknown    GET    login     404    404 404 404 404 404 404     404
final_wax_approve              GET    login     405    405 405 405 405 405 405     405
final_wax_approve              POST   login     404    422 403 403 403 403 404     404
"""
