"""How long the work takes: `python -m tests.bench [rounds] [triangles]`."""
