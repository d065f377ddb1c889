"""Fixtures of the papers' tests."""

from tests.labcases.outputs.printed import cast, handed_over

__all__ = ["cast", "handed_over"]
