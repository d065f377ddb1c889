"""Whether this machine can make PDF papers.

WeasyPrint is a Python package on top of Pango, a system library that pip cannot bring. The
application starts without it; papers then stay on the screen and print from the browser.
"""

from functools import cache

#: What brings the system libraries, by platform. Only the first line was tried.
HOW_TO_INSTALL = (
    "Debian or Ubuntu: sudo apt-get install python3-venv libpango-1.0-0 libpangoft2-1.0-0"
    " libharfbuzz-subset0; macOS: brew install pango (written, not tried); Windows: the Pango"
    " package of MSYS2, with its folder in WEASYPRINT_DLL_DIRECTORIES (written, not tried)."
)


@cache
def pdf_problem() -> str | None:
    """Say why PDF papers cannot be made here, or None when they can.

    The answer is kept for the life of the process: a library that was installed since needs a
    restart anyway.
    """
    try:
        import weasyprint  # noqa: F401 - it loads Pango at import and may fail
    except (ImportError, OSError) as error:
        reason = str(error).split("\n", 1)[0].rstrip(".")
        return f"WeasyPrint cannot load its system libraries ({reason}). {HOW_TO_INSTALL}"
    return None
