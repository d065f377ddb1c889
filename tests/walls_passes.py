"""The wall around passes with foil and what is compared with them (`tests/walls.py`)."""

TABLE = """
passes                         GET    login     404    200 200 200 200 200 404     404
passes                         POST   login     404    403 403 422 403 422 404     404
pass_pin                       GET    login     405    405 405 405 405 405 405     405
pass_pin                       POST   login     404    403 403 422 403 422 404     404
passes_compare                 GET    login     405    405 405 405 405 405 405     405
passes_compare                 POST   login     404    403 403 ok  403 ok  404     404
compared_adopt                 GET    login     405    405 405 405 405 405 405     405
compared_adopt                 POST   login     404    403 403 ok  403 ok  404     404
compared_leave                 GET    login     405    405 405 405 405 405 405     405
compared_leave                 POST   login     404    403 403 422 403 422 404     404
pass_seen                      GET    login     404    200 200 200 200 200 404     404
pass_seen                      POST   login     405    405 405 405 405 405 405     405
pass_judge                     GET    login     405    405 405 405 405 405 405     405
pass_judge                     POST   login     404    403 403 422 403 422 404     404
pass_excursions                GET    login     405    405 405 405 405 405 405     405
pass_excursions                POST   login     404    403 403 422 403 422 404     404
pass_done                      GET    login     405    405 405 405 405 405 405     405
pass_done                      POST   login     404    403 403 422 403 422 404     404
"""
