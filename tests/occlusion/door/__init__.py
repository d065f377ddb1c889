"""Tests of the JSON door."""
