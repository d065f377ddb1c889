"""Tests of the clearance check."""
