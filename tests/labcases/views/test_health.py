"""The page for machines that watch this one."""

import pytest


@pytest.mark.django_db
def test_health_answers_ok_without_a_login_and_without_the_database(
    client, django_assert_num_queries
):
    with django_assert_num_queries(0):
        answer = client.get("/healthz")

    assert (answer.status_code, answer.content) == (200, b"ok")


def test_health_takes_no_posts(client):
    assert client.post("/healthz").status_code == 405
