"""README tells the truth where it can be compared with the project itself."""

import json
import math
import re
from pathlib import Path

import pytest

import labcases
from occlusion.door import VERBS

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
#: README shows answers to three decimals.
SHOWN_DIGITS = 0.0006


def door_examples() -> dict[str, list[object]]:
    """The JSON blocks below each verb of the door's chapter: a request and its answer."""
    chapter = README.split("## The engine's JSON door")[1].split("\n## ")[0]
    parts = re.split(r"^### (\w+)$", chapter, flags=re.MULTILINE)[1:]
    return {
        verb: [
            json.loads(block) for block in re.findall(r"```json\n(.*?)```", text, flags=re.DOTALL)
        ]
        for verb, text in zip(parts[::2], parts[1::2], strict=True)
    }


def is_part_of(shown: object, whole: object) -> bool:
    """Tell whether what README shows is what the answer holds, some keys and entries left out."""
    if isinstance(shown, dict) and isinstance(whole, dict):
        return all(key in whole and is_part_of(shown[key], whole[key]) for key in shown)
    if isinstance(shown, list) and isinstance(whole, list):
        return len(shown) <= len(whole) and all(map(is_part_of, shown, whole))
    if isinstance(shown, float) and isinstance(whole, float):
        return math.isclose(shown, whole, abs_tol=SHOWN_DIGITS)
    return shown == whole


def test_every_verb_of_the_door_has_an_example():
    assert set(door_examples()) == set(VERBS)


@pytest.mark.parametrize("verb", sorted(VERBS))
def test_the_example_of_a_verb_is_the_one_that_fixtures_keep(verb):
    request, answer = door_examples()[verb]
    kept = [
        json.loads((ROOT / "fixtures" / "door" / f"{verb}.{part}.json").read_text(encoding="utf-8"))
        for part in ("request", "answer")
    ]

    assert request == kept[0]
    assert answer
    assert is_part_of(answer, kept[1])


def test_a_wrong_digit_or_word_would_be_seen():
    assert not is_part_of({"pin_rise_mm": 0.48}, {"pin_rise_mm": 0.4785})
    assert not is_part_of({"state": "contact"}, {"state": "none predicted"})
    assert not is_part_of({"gone": 1}, {"kept": 1})
    assert not is_part_of([1, 2], [1])


def test_the_change_log_opens_with_this_version():
    entries = re.findall(r"^### (\d+\.\d+\.\d+), \d{2}-[A-Z][a-z]{2}-\d{4}$", README, re.MULTILINE)

    assert entries[0] == labcases.__version__


def test_the_table_names_every_variable_that_the_settings_read():
    settings = (ROOT / "labcases" / "settings.py").read_text(encoding="utf-8")
    read = set(re.findall(r"(?:_text|_flag|_list|_whole_number)\(\"([A-Z_]+)\"", settings))

    # DEMO is set by the command, never by a person.
    assert set(re.findall(r"^\| `([A-Z_]+)`", README, re.MULTILINE)) == read - {"DEMO"}


def test_pictures_and_commands_that_it_names_exist():
    pictures = re.findall(r"!\[[^]]*\]\(([^)]+)\)", README)
    commands = set(re.findall(r"manage\.py (\w+)", README)) - {"test", "migrate", "check"}
    own = {path.stem for path in (ROOT / "labcases" / "management" / "commands").glob("[a-z]*.py")}

    assert [path for path in pictures if not (ROOT / path).exists()] == []
    assert commands - own == {"collectstatic", "db_worker", "prune_db_task_results"}


def test_the_apt_line_is_one_line_that_can_be_copied():
    [line] = re.findall(r"`sudo apt-get install ([^`]*)`", README)

    assert line.split() == [
        *("python3", "python3-venv", "libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")
    ]


def test_it_says_what_it_is_not():
    words = " ".join(README.replace(">", " ").split())

    assert (
        "Record keeping and bench arithmetic for laboratories. Not for diagnosis or treatment"
        " decisions, and not cleared or certified as a medical device. In some places software"
        " that informs treatment is one: check before use."
    ) in words
