#!/usr/bin/env python3
"""Commands of the project. To begin with:

    python3 manage.py demo      a laboratory with invented people, on this machine only
    python3 manage.py test      the whole suite

These two bring what they need: where this Python lacks the packages, they make `.venv`, install
there and go on inside it. Every other command is Django's and installs nothing.

This file uses the standard library only and must be readable by older Pythons, so that it can
say what is missing instead of failing.
"""

import os
import shutil
import subprocess
import sys
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parent
LEAST_PYTHON = (3, 11)
REQUIREMENTS = {"demo": "requirements.txt", "test": "tests/requirements.txt"}
VENV_PACKAGE = "sudo apt-get install python3-venv"


def pinned(requirements: Path) -> "dict[str, str]":
    """Read the names and versions of a requirements file, and of those that it includes.

    Understands what our own files use: `name==1.2`, `name[extra]==1.2`, `-r other.txt` and the
    one marker that leaves a package out on Windows.
    """
    found = {}
    for raw in requirements.read_text(encoding="utf-8").splitlines():
        line, _, marker = (part.strip() for part in raw.split("#")[0].partition(";"))
        if line.startswith("-r "):
            found.update(pinned(requirements.parent / line[3:].strip()))
        elif line and not (marker == 'sys_platform != "win32"' and sys.platform == "win32"):
            name, _, version = line.partition("==")
            found[name.split("[")[0].strip()] = version.strip()
    return found


def lacking(requirements: Path) -> "list[str]":
    """Name the packages that the running Python has not, or has in another version."""

    def installed(name: str) -> str:
        try:
            return metadata.version(name)
        except metadata.PackageNotFoundError:
            return ""

    return [name for name, version in pinned(requirements).items() if installed(name) != version]


#: Asks another Python what it lacks, by this same file; runpy leaves no compiled copy behind.
ASK_WHAT_IT_LACKS = (
    "import pathlib, runpy, sys;"
    "own = runpy.run_path(sys.argv[1]);"
    "sys.exit(len(own['lacking'](pathlib.Path(sys.argv[2]))) > 0)"
)


class Environment:
    """The project's own `.venv`: whether it is sound, and how it is made."""

    def __init__(self, root: Path, requirements: str) -> None:
        self.folder = root / ".venv"
        self.requirements = root / requirements
        self.name_of_requirements = requirements
        scripts = "Scripts/python.exe" if sys.platform == "win32" else "bin/python"
        self.python = self.folder / scripts
        # Stands while pip is at work. What pip did not finish may look installed and be half
        # copied, so a `.venv` in which it was interrupted is made anew, never repaired.
        self.unfinished = self.folder / ".unfinished"

    def runs(self, *arguments: str) -> bool:
        """Tell whether its Python starts and carries out what is asked."""
        try:
            done = subprocess.run([str(self.python), *arguments], capture_output=True, check=False)
        except OSError:
            return False
        return done.returncode == 0

    def is_complete(self) -> bool:
        """Tell whether it holds every package that is needed, in the version that is pinned."""
        return not self.unfinished.exists() and self.runs(
            "-c", ASK_WHAT_IT_LACKS, str(Path(__file__).resolve()), str(self.requirements)
        )

    def is_broken(self) -> bool:
        """Tell whether it cannot be installed into: half made, moved, or without pip."""
        return self.unfinished.exists() or not self.runs("-m", "pip", "--version")

    def complete(self) -> None:
        """Make it, or bring it up to date; leave nothing half made when that fails."""
        if self.folder.exists() and self.is_broken():
            say("The folder .venv is broken or half made. Making it anew.")
            shutil.rmtree(self.folder)
        made_here = not self.folder.exists()
        try:
            if made_here:
                self._make()
            self._install()
        except BaseException:
            if made_here:
                shutil.rmtree(self.folder, ignore_errors=True)
            raise

    def _make(self) -> None:
        say("Making .venv, a Python environment for this folder only ...")
        # Not sys.executable: it may be the Python of the broken folder that was just removed.
        base = getattr(sys, "_base_executable", None) or sys.executable
        done = subprocess.run(
            [base, "-m", "venv", str(self.folder)],
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode != 0 or not self.runs("-m", "pip", "--version"):
            raise SystemExit(
                "This Python cannot make .venv: its venv or pip part is missing. On Debian or"
                f" Ubuntu, `{VENV_PACKAGE}` brings it. Nothing was left behind; then run the"
                " same command again.\n" + (done.stderr or done.stdout).strip()
            )

    def _install(self) -> None:
        say(f"Installing the packages of {self.name_of_requirements} into .venv (a minute) ...")
        self.unfinished.touch()
        done = subprocess.run(
            [
                *(str(self.python), "-m", "pip", "install", "--quiet"),
                *("--disable-pip-version-check", "-r", str(self.requirements)),
            ],
            check=False,
        )
        self.unfinished.unlink()
        if done.returncode != 0:
            # pip puts back what it replaced before it gives up: the folder is as it was.
            raise SystemExit(
                "pip could not install the packages; its own words stand above. Most often the"
                " network or a proxy is the reason. Run the same command again to go on."
            )


def say(text: str) -> None:
    """Tell the person at the terminal what happens now."""
    print(f"manage.py: {text}", flush=True)


def prepare(command: str, arguments: "list[str]", root: Path = ROOT) -> None:
    """Return when this Python has what the command needs; otherwise go on inside `.venv`."""
    if sys.version_info < LEAST_PYTHON:
        have = ".".join(map(str, sys.version_info[:2]))
        least = ".".join(map(str, LEAST_PYTHON))
        raise SystemExit(
            f"This is Python {have}; the project needs {least} or newer. Start this file with a"
            f" newer one, such as `python{least} manage.py {command}`."
        )
    environment = Environment(root, REQUIREMENTS[command])
    inside = Path(sys.prefix).resolve() == environment.folder.resolve()
    if not lacking(environment.requirements) and not (inside and environment.unfinished.exists()):
        return
    if not environment.is_complete():
        environment.complete()
    elif inside:
        return
    start = [str(environment.python), str(root / "manage.py"), *arguments]
    if sys.platform == "win32":
        # There execv returns to the prompt while the new process still runs.
        raise SystemExit(subprocess.call(start))
    os.execv(start[0], start)


def main() -> None:
    """Bring what the command needs, then hand over to it."""
    command = sys.argv[1] if len(sys.argv) > 1 else ""
    if command in REQUIREMENTS:
        prepare(command, sys.argv[1:])
    if command == "test":
        from tests import checks

        raise SystemExit(checks.main(sys.argv[2:]))
    if command == "demo":
        os.environ["DEMO"] = "1"
    serves_nobody = command in {"check", "makemigrations"} and "--deploy" not in sys.argv
    if serves_nobody and "SECRET_KEY" not in os.environ:
        os.environ.setdefault("DEBUG", "1")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "labcases.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError:
        raise SystemExit(
            "Django is not installed in this Python. `python3 manage.py demo` installs it into"
            " .venv; then run this command with .venv/bin/python (Windows: .venv\\Scripts\\python)."
        ) from None
    from django.core.exceptions import ImproperlyConfigured

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as wrong:
        # It says in words what to set; the way to it through Django helps nobody who sets it.
        if "--traceback" in sys.argv:
            raise
        raise SystemExit(f"manage.py {command}: {wrong}") from None


if __name__ == "__main__":
    main()
