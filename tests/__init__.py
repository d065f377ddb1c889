"""The tests. This file keeps `tests/occlusion` from being imported as `occlusion`."""
