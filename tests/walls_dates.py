"""Who gets what from the pages of the dates."""

#: As in `tests/walls.py`.
TABLE = """
dates                          GET    login     404    200 200 200 200 200 404     404
dates                          POST   login     404    ok  ok  403 403 403 404     404
surgery_move                   GET    login     404    200 200 200 200 200 404     404
surgery_move                   POST   login     405    405 405 405 405 405 405     405
dates_seen                     GET    login     405    405 405 405 405 405 405     405
dates_seen                     POST   login     404    ok  ok  ok  ok  ok  404     404
dates_confirm                  GET    login     405    405 405 405 405 405 405     405
dates_confirm                  POST   login     404    422 403 403 403 403 404     404
appointment_new                GET    login     405    405 405 405 405 405 405     405
appointment_new                POST   login     404    422 422 403 422 422 404     404
appointment:booked             GET    login     404    200 200 200 200 200 404     404
appointment:booked             POST   login     404    422 422 403 403 403 404     404
appointment:proposed           GET    login     404    200 200 200 200 200 404     404
appointment:proposed           POST   login     404    422 422 403 422 422 404     404
"""
