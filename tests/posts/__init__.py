"""Generated posts to every form: how forms are read, filled in, found and judged.

`tests/fuzz_posts.py` runs them; `DEVELOPERS.md` says with which command.
"""
