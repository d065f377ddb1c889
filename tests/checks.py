"""Every check of the project, fastest first: `python -m tests.checks`.

The same for people and for CI. As many run at once as there are cores, and then all tests, also
after a failure; what failed is listed at the end, and the last line is pytest's own. Nothing here
uses the network.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

#: What a real installation sets; README.md explains each.
PRODUCTION = {
    "ALLOWED_HOSTS": "cases.example.org",
    "BEHIND_TLS_PROXY": "1",
    "HSTS_WHOLE_DOMAIN": "1",
    "SECRET_KEY": "one-long-enough-for-the-check-0123456789-abcdefghijklmnopqrstuvwxyz",
}

LINT_IMPORTS = "import sys; from importlinter.cli import lint_imports_command as c; c(sys.argv[1:])"

CHECKS: dict[str, Sequence[str]] = {
    "ruff format": ("-m", "ruff", "format", "--check", "--quiet", "."),
    "ruff check": ("-m", "ruff", "check", "--quiet", "."),
    "djlint": ("-m", "djlint", "--lint", "--quiet", "templates"),
    "import-linter": ("-c", LINT_IMPORTS, "--no-logo", "--cache-dir", ".data/import-linter"),
    "migrations": ("manage.py", "makemigrations", "--check", "--dry-run"),
    "deployment": (
        *("manage.py", "check", "--deploy", "--fail-level", "WARNING"),
        # The tag leaves out the warning on missing PDF libraries: it is about this machine.
        *("--tag", "security"),
    ),
    "mypy": ("-m", "mypy", "--no-error-summary"),
}

PYTEST = (
    # One process a core: nearly all of the time goes into bringing cases to a stage.
    *("-m", "pytest", "-n", "auto", "--maxprocesses=4"),
    *("--no-header", "--color=no"),
)

#: Which lines were run, when COVERAGE is set: it takes half as much time again.
COVERAGE = (
    *("--cov", "--cov-report=html", "--cov-report=json:.data/coverage/report.json"),
    "--cov-report=term:skip-covered",
)


def environment() -> dict[str, str]:
    """Return the environment of the checks: production's, whatever the caller has set."""
    kept = {name: value for name, value in compiling().items() if name not in {"DEBUG", "DEMO"}}
    return {**kept, **PRODUCTION}


def compiling() -> dict[str, str]:
    """Return the caller's environment, in which what Python compiles is kept, but out of sight.

    Where nothing may be kept, each process compiles the application and all tests anew: a dozen
    seconds.
    """
    kept = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": str(ROOT / ".data" / "compiled")}


def run_check(arguments: Sequence[str]) -> subprocess.CompletedProcess[str]:
    """Run one check and keep what it says."""
    with tempfile.TemporaryDirectory() as data:
        return subprocess.run(
            [sys.executable, *arguments],
            cwd=ROOT,
            env={**environment(), "DATA_DIR": data, "DATABASE_URL": ""},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )


def timed(arguments: Sequence[str]) -> tuple[subprocess.CompletedProcess[str], float]:
    """Run one check, and say how many seconds it took."""
    began = time.monotonic()
    return run_check(arguments), time.monotonic() - began


def run_pytest(arguments: Sequence[str]) -> tuple[int, str]:
    """Run pytest, show its lines as they come, and hold back the last one."""
    held = ""
    with subprocess.Popen(
        [sys.executable, *PYTEST, *(COVERAGE if "COVERAGE" in os.environ else ()), *arguments],
        cwd=ROOT,
        env=compiling(),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as process:
        for line in process.stdout or ():
            if held:
                print(held, end="", flush=True)
            held = line
    return process.returncode, held


def main(arguments: Sequence[str] = ()) -> int:
    """Run every check, or only pytest when arguments are meant for it.

    Returns
    -------
    int
        0 when all is well, 1 otherwise, as the exit status of the process.
    """
    if arguments:
        return subprocess.call(
            [sys.executable, "-m", "pytest", *arguments], cwd=ROOT, env=compiling()
        )

    failed: list[str] = []
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        # The longest begins first; what they say is printed the fastest first.
        at_work = {name: pool.submit(timed, CHECKS[name]) for name in reversed(CHECKS)}
        for name in CHECKS:
            done, seconds = at_work[name].result()
            verdict = "ok" if done.returncode == 0 else "FAILED"
            print(f"{name:<14} {seconds:6.1f} s  {verdict}", flush=True)
            if done.returncode != 0:
                failed.append(name)
                print(done.stdout, flush=True)

    status, closing_line = run_pytest(())
    if status != 0:
        failed.append("pytest")
    if failed:
        print(f"\nFAILED: {', '.join(failed)}")
    print(closing_line, end="", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
