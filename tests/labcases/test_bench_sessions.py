"""Which addresses ask for the password after a PIN or a badge, typed by hand."""

from django.urls import get_resolver

from labcases import bench_sessions

OPEN = {
    *("checklists_in_use", "complaints_of_house", "curing_cycles", "lots", "profile_in_use"),
    *("own_materials", "stock", "stock_add"),
}


def test_of_a_house_only_what_bench_work_needs_is_open():
    of_house = [
        one for one in get_resolver().url_patterns if str(one.pattern).startswith("organisations/")
    ]
    opened = {one.name for one in of_house if not bench_sessions.shut(one.name, str(one.pattern))}

    assert len(of_house) > 20
    assert opened == OPEN


def test_what_is_shut_by_name_is_an_address():
    names = {one.name for one in get_resolver().url_patterns}

    assert names >= bench_sessions.SHUT
    assert names >= bench_sessions.OPEN_OF_HOUSE


def test_work_at_the_bench_is_open():
    for name, route in (("bench", "bench/"), ("case", "cases/<code>/"), ("logout", "logout/")):
        assert not bench_sessions.shut(name, route)
