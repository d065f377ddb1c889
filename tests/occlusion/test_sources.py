"""References: each says how it was read."""

from occlusion.sources import HOW_READ, SOURCES, cite


def test_every_source_says_how_it_was_read():
    assert {source.how_read for source in SOURCES.values()} <= set(HOW_READ)


def test_what_rests_on_practice_or_memory_says_so():
    assert cite("practice") == "common practice, no source"
    assert cite("hobo_takayama_1997").endswith("457-463; from memory")
    assert cite("lateral_estimate").endswith("L = H/8 + 12; as quoted elsewhere")
