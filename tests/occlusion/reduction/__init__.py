"""Tests of reduction proposals."""
