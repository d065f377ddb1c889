"""The rows of the wall for arrival, surgery and delivery, as `tests/walls.py` tells them."""

TABLE = """
arrival                        GET    login     404    200 200 200 200 200 404     404
arrival                        POST   login     404    422 422 403 403 403 404     404
surgery                        GET    login     404    200 200 200 200 200 404     404
surgery                        POST   login     404    422 403 403 403 403 404     404
delivery_settle                GET    login     405    405 405 405 405 405 405     405
delivery_settle                POST   login     404    422 422 403 422 422 404     404
delivery                       GET    login     404    200 200 200 200 200 404     404
delivery                       POST   login     404    422 403 403 403 403 404     404
"""
