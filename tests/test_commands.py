"""The two commands of README: how they bring what they need, and what they never do."""

import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests import checks

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def manage(monkeypatch):
    """The bootstrap as a module, without a compiled copy in the visible top level."""
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    spec = importlib.util.spec_from_file_location("manage", ROOT / "manage.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def script(path: Path, *lines: str) -> Path:
    """Write an executable shell script that stands in for a Python interpreter."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join(("#!/bin/sh", *lines, "")))
    path.chmod(0o755)
    return path


@pytest.fixture
def project(tmp_path):
    """A folder with a requirements file that nothing can satisfy."""
    (tmp_path / "requirements.txt").write_text("no-such-package-anywhere==1.0\n")
    return tmp_path


# Reading what is needed


def test_pins_are_read_through_includes_extras_and_comments(manage, tmp_path):
    (tmp_path / "tests").mkdir()
    (tmp_path / "requirements.txt").write_text("Django==5.2.19  # long-term support\n\n")
    (tmp_path / "tests" / "requirements.txt").write_text(
        "-r ../requirements.txt\npsycopg[binary]==3.3.9\n"
    )

    assert manage.pinned(tmp_path / "tests" / "requirements.txt") == {
        "Django": "5.2.19",
        "psycopg": "3.3.9",
    }


def test_a_package_that_windows_cannot_run_is_not_asked_for_there(manage, tmp_path, monkeypatch):
    pins = tmp_path / "requirements.txt"
    pins.write_text('gunicorn==27.0.1; sys_platform != "win32"\nsegno==1.6.6\n')

    assert manage.pinned(pins) == {"gunicorn": "27.0.1", "segno": "1.6.6"}
    monkeypatch.setattr(sys, "platform", "win32")
    assert manage.pinned(pins) == {"segno": "1.6.6"}


def test_missing_and_outdated_packages_are_named(manage, tmp_path):
    pins = tmp_path / "requirements.txt"
    pins.write_text(f"pytest=={pytest.__version__}\nDjango==0.9\nno-such-package-anywhere==1\n")

    assert manage.lacking(pins) == ["Django", "no-such-package-anywhere"]


def test_this_python_has_what_both_commands_need(manage):
    assert manage.lacking(ROOT / "requirements.txt") == []
    assert manage.lacking(ROOT / "tests" / "requirements.txt") == []


# Making the environment


def test_a_python_that_has_everything_is_used_as_it_is(manage, tmp_path):
    (tmp_path / "requirements.txt").write_text(f"pytest=={pytest.__version__}\n")

    manage.prepare("demo", ["demo"], root=tmp_path)

    assert not (tmp_path / ".venv").exists()


@pytest.mark.parametrize("trouble", ["no pip", "moved away", "interrupted"])
def test_a_broken_environment_is_noticed_and_made_anew(manage, project, monkeypatch, trouble):
    environment = manage.Environment(project, "requirements.txt")
    if trouble == "no pip":
        script(environment.python, '[ "$2" = pip ] && exit 1', "exit 0")
    elif trouble == "moved away":
        environment.python.parent.mkdir(parents=True)
        environment.python.symlink_to(project / "gone")
    else:
        script(environment.python, "exit 0")
        environment.unfinished.touch()
    (environment.folder / "left-over").touch()
    steps = []
    monkeypatch.setattr(environment, "_make", lambda: steps.append("made"))
    monkeypatch.setattr(environment, "_install", lambda: steps.append("installed"))

    environment.complete()

    assert steps == ["made", "installed"]
    assert not (environment.folder / "left-over").exists()


def test_a_sound_environment_is_brought_up_to_date_in_place(manage, project, capfd):
    environment = manage.Environment(project, "requirements.txt")
    script(environment.python, 'echo "$@" >> "$(dirname "$0")/asked"', "exit 0")

    environment.complete()

    asked = (environment.python.parent / "asked").read_text().splitlines()
    assert asked[0] == "-m pip --version"
    assert asked[1].startswith("-m pip install")
    assert asked[1].endswith("requirements.txt")
    assert not environment.unfinished.exists()
    assert "Installing the packages of requirements.txt into .venv" in capfd.readouterr().out


def test_without_the_venv_package_the_message_names_it_and_nothing_is_left(
    manage, project, monkeypatch
):
    # As Debian's Python does without python3-venv: it leaves a folder with a python and no pip.
    base = script(
        project / "base-python",
        'mkdir -p "$3/bin"',
        'printf "#!/bin/sh\\nexit 1\\n" > "$3/bin/python"',
        'chmod +x "$3/bin/python"',
        'echo "ensurepip is not available"',
        "exit 1",
    )
    monkeypatch.setattr(sys, "_base_executable", str(base))

    with pytest.raises(SystemExit) as stop:
        manage.prepare("demo", ["demo"], root=project)

    assert "`sudo apt-get install python3-venv`" in str(stop.value)
    assert "ensurepip is not available" in str(stop.value)
    assert not (project / ".venv").exists()


def test_a_failed_installation_removes_a_new_environment(manage, project, monkeypatch):
    base = script(
        project / "base-python",
        'mkdir -p "$3/bin"',
        'printf "#!/bin/sh\\n[ \\$3 = install ] && exit 1\\nexit 0\\n" > "$3/bin/python"',
        'chmod +x "$3/bin/python"',
    )
    monkeypatch.setattr(sys, "_base_executable", str(base))

    with pytest.raises(SystemExit, match="pip could not install the packages"):
        manage.prepare("demo", ["demo"], root=project)

    assert not (project / ".venv").exists()


def test_a_failed_installation_keeps_an_environment_that_was_there(manage, project):
    environment = manage.Environment(project, "requirements.txt")
    script(environment.python, '[ "$3" = install ] && exit 1', "exit 0")

    with pytest.raises(SystemExit, match="pip could not install the packages"):
        environment.complete()

    assert environment.python.exists()
    assert not environment.is_broken()


def test_an_old_python_is_told_which_one_is_needed(manage, project, monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))

    with pytest.raises(SystemExit) as stop:
        manage.prepare("demo", ["demo"], root=project)

    assert str(stop.value) == (
        "This is Python 3.9; the project needs 3.11 or newer. Start this file with a newer one,"
        " such as `python3.11 manage.py demo`."
    )


def test_other_commands_install_nothing(tmp_path):
    shutil.copy(ROOT / "manage.py", tmp_path)

    # -S leaves the installed packages out, as on a machine that never saw this project.
    done = subprocess.run(
        [sys.executable, "-S", "-B", "manage.py", "migrate"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1
    assert done.stderr.startswith("Django is not installed in this Python.")
    assert [path.name for path in tmp_path.iterdir()] == ["manage.py"]


def test_a_command_without_its_settings_says_in_words_what_to_set(tmp_path):
    done = subprocess.run(
        [sys.executable, "-B", "manage.py", "remind", "--show"],
        cwd=ROOT,
        env={"PATH": os.environ["PATH"], "DATA_DIR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1
    assert done.stderr == (
        "manage.py remind: SECRET_KEY is not set. Set it to 50 or more random characters and keep "
        'it: python3 -c "import secrets; print(secrets.token_urlsafe(64))" makes one. While '
        "developing, DEBUG=1 does without; DEMO=1 reads the demonstration.\n"
    )


# test


def test_arguments_of_test_go_to_pytest():
    done = subprocess.run(
        [sys.executable, "manage.py", "test", "--collect-only", "-q", "tests/test_commands.py"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0
    assert "tests/test_commands.py::test_arguments_of_test_go_to_pytest" in done.stdout


@pytest.fixture
def small_checks(monkeypatch):
    """The run of all checks, with one that passes, one that does not, and a short last one."""
    monkeypatch.setattr(
        checks,
        "CHECKS",
        {
            "first": ("-c", "print('not shown')"),
            "second": ("-c", "print('line 7 is wrong'); raise SystemExit(3)"),
        },
    )
    monkeypatch.setattr(checks, "PYTEST", ("-c", "print('...'); print('== 3 passed in 0.1s ==')"))


def test_a_failed_check_is_shown_counted_and_does_not_hide_the_closing_line(small_checks, capsys):
    assert checks.main() == 1

    shown = capsys.readouterr().out
    assert "not shown" not in shown
    assert "line 7 is wrong" in shown
    assert shown.splitlines()[-2:] == ["FAILED: second", "== 3 passed in 0.1s =="]


def test_all_checks_passing_is_a_success(small_checks, monkeypatch, capsys):
    monkeypatch.delitem(checks.CHECKS, "second")

    assert checks.main() == 0
    assert "FAILED" not in capsys.readouterr().out


def test_a_failing_suite_is_a_failure(small_checks, monkeypatch, capsys):
    monkeypatch.delitem(checks.CHECKS, "second")
    monkeypatch.setattr(
        checks, "PYTEST", ("-c", "print('== 1 failed in 0.1s =='); raise SystemExit(1)")
    )

    assert checks.main() == 1
    assert capsys.readouterr().out.splitlines()[-2:] == [
        "FAILED: pytest",
        "== 1 failed in 0.1s ==",
    ]


def test_checks_run_under_production_variables_whatever_the_caller_set(monkeypatch):
    monkeypatch.setenv("DEBUG", "1")
    monkeypatch.setenv("DEMO", "1")
    monkeypatch.setenv("BEHIND_TLS_PROXY", "0")

    variables = checks.environment()

    assert "DEBUG" not in variables
    assert "DEMO" not in variables
    assert variables["BEHIND_TLS_PROXY"] == "1"


def test_what_is_compiled_is_kept_out_of_sight_even_where_nothing_may_be_kept(
    small_checks, monkeypatch, capsys
):
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    monkeypatch.delitem(checks.CHECKS, "second")
    monkeypatch.setattr(
        checks,
        "PYTEST",
        ("-c", "import sys; print(sys.dont_write_bytecode, sys.pycache_prefix)"),
    )

    assert checks.main() == 0
    assert capsys.readouterr().out.splitlines()[-1] == f"False {ROOT / '.data' / 'compiled'}"


# CI


@pytest.mark.parametrize(
    ("ci", "status", "closing"), [("", 0, "1 skipped"), ("true", 1, "1 failed")]
)
def test_a_skip_is_a_failure_where_nothing_may_be_skipped(tmp_path, ci, status, closing):
    test = tmp_path / "test_example.py"
    test.write_text("import pytest\n\ndef test_needs_it():\n    pytest.skip('no browser')\n")

    done = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-q", "-c", str(ROOT / ".pytest.ini")),
            *("--rootdir", str(ROOT), "-p", "tests.skips", str(test)),
        ],
        cwd=ROOT,
        env={**os.environ, "CI": ci},
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == status, done.stdout + done.stderr
    assert closing in done.stdout
