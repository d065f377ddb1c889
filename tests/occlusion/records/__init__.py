"""Tests of what is worked out backwards."""
