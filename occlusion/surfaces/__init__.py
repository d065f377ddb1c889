"""Surfaces of teeth: from callipers or scans, as heights over a plane, and what meets what."""
