"""Texts by which a list of devices may be asked for, each with source and edition."""

from __future__ import annotations

from labcases.reference import devices


def test_the_one_text_that_was_read():
    (one,) = devices.asked()
    assert one.profiles == ("eu",)
    assert "Article 21(2), read" in one.source
    assert one.edition.startswith("consolidated text")
    assert devices.caution().startswith("Not legal advice.")
