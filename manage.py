#!/usr/bin/env python3
"""Commands of the project; `python3 manage.py demo` and `python3 manage.py test` to begin with."""

import os
import sys


def main() -> None:
    """Hand over to Django."""
    from django.core.management import execute_from_command_line

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "labcases.settings")
    command = sys.argv[1] if len(sys.argv) > 1 else ""
    serves_nobody = command in {"check", "makemigrations"} and "--deploy" not in sys.argv
    if serves_nobody and "SECRET_KEY" not in os.environ:
        os.environ.setdefault("DEBUG", "1")
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
