"""Tests of the surfaces."""
