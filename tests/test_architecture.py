"""Rules of the house that no other tool holds; DEVELOPERS.md has the reasons."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

from occlusion.sources import SOURCES
from tests import needs

ROOT = Path(__file__).resolve().parent.parent
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "manage.py", "requirements.txt"),
    *("labcases", "occlusion", "templates", "static", "tests", "fixtures"),
}
LONGEST_FILE = 400

#: Modules whose tests stand in the file of a neighbour, or that hold nothing to test by itself.
TESTED_ELSEWHERE = {
    "labcases/apps.py": "tests/labcases/test_checks.py",
    "labcases/urls.py": "tests/labcases/views",
    "labcases/wsgi.py": "tests/labcases/test_settings.py",
    "labcases/views/lockout.py": "tests/labcases/test_middleware.py",
    "labcases/domain/gates/bench.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/boxes.py": "tests/labcases/domain/test_gates.py",
    "labcases/views/_changes_said.py": "tests/labcases/views/test_sentences.py",
    "labcases/views/_history_labels.py": "tests/labcases/views/test_sentences.py",
    "labcases/domain/gates/reports.py": "tests/labcases/domain/test_incident.py",
    "labcases/domain/gates/curing.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/clinical.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/missing.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/pair.py": "tests/labcases/domain/test_linking.py",
    "labcases/domain/gates/finishing.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/statement.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/delivery.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/release.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/remount.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/reviews.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/gates/wax.py": "tests/labcases/domain/test_gates.py",
    "labcases/domain/ways_back.py": "tests/labcases/domain/test_undo.py",
    "labcases/management/demo_case.py": "tests/labcases/management/test_demo.py",
    "labcases/management/demo_dates.py": "tests/labcases/management/test_demo.py",
    "labcases/management/demo_stories.py": "tests/labcases/management/test_demo.py",
    "labcases/management/walk_review.py": "tests/labcases/management/test_walk.py",
    "labcases/outputs/review_view.py": "tests/labcases/views/test_reviews.py",
    "occlusion/apps.py": "tests/occlusion",
    "occlusion/clearance/assumptions.py": "tests/occlusion/clearance/test_check.py",
    "occlusion/clearance/model.py": "tests/occlusion/clearance/test_check.py",
    "occlusion/clearance/normals.py": "tests/occlusion/clearance/test_check.py",
    "occlusion/clearance/opposed.py": "tests/occlusion/clearance/test_check.py",
    "occlusion/clearance/yielding.py": "tests/occlusion/clearance/test_callipers.py",
    "occlusion/explaining/model.py": "tests/occlusion/explaining/test_explain.py",
    "occlusion/door/faces.py": "tests/occlusion/door/test_clearance.py",
    "occlusion/door/spreads.py": "tests/occlusion/door/test_clearance.py",
    "occlusion/door/motion.py": "tests/occlusion/door/test_door.py",
    "occlusion/door/pin.py": "tests/occlusion/door/test_door.py",
    "occlusion/door/records.py": "tests/occlusion/door/test_door.py",
    "occlusion/door/shared.py": "tests/occlusion/door/test_door.py",
    "occlusion/door/space.py": "tests/occlusion/door/test_door.py",
}


def relative(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def sources(*folders: str, suffix: str = ".py") -> list[Path]:
    return sorted(path for name in folders for path in (ROOT / name).rglob(f"*{suffix}"))


def modules_with_content() -> list[str]:
    """Modules of both packages, without those that only stand for their folder."""
    return [
        relative(path)
        for path in sources("labcases", "occlusion")
        if path.name != "__init__.py" and "migrations" not in path.parts
    ]


def project_files() -> list[Path]:
    """Every text file that belongs to the project."""
    suffixes = {".py", ".html", ".css", ".js", ".md", ".toml", ".txt", ".json", ".csv", ".svg"}
    own = [path for path in ROOT.iterdir() if path.is_file() and path.name != ".gitignore"]
    folders = [path for name in TOP_LEVEL for path in (ROOT / name).rglob("*")]
    return [path for path in own + folders if path.is_file() and path.suffix in suffixes] + [
        ROOT / ".ci" / "run"
    ]


# Rooms


def test_the_visible_top_level_is_the_agreed_one_also_after_demo_and_test():
    visible = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    assert visible == TOP_LEVEL


def places_of_tests(module: str) -> list[str]:
    """Where the tests of a module may stand: the same path below tests/, or as the floors allow.

    A form is tested through the page that it stands on, a model through the verbs that write it,
    a private part of a folder (`_x.py`) through the modules beside it, and choices together.
    """
    if module in TESTED_ELSEWHERE:
        return [TESTED_ELSEWHERE[module]]
    folder, _, name = module.replace("/commands/", "/").rpartition("/")
    own = f"tests/{folder}/test_{name.lstrip('_')}"
    neighbours = {
        "labcases/forms": [f"tests/labcases/views/test_{name}"],
        "labcases/models": [f"tests/labcases/domain/test_{name}"],
    }.get(folder, [])
    beside = [f"tests/{folder}"] if name.startswith("_") else []
    if folder == "labcases/enums":
        return ["tests/labcases/test_enums.py"]
    return [own, *neighbours, *beside]


def test_every_module_has_its_tests_at_the_same_place():
    missing = {
        module: places_of_tests(module)[0]
        for module in modules_with_content()
        if not any((ROOT / place).exists() for place in places_of_tests(module))
    }

    assert missing == {}


def test_no_module_is_listed_as_tested_elsewhere_that_is_gone():
    assert [module for module in TESTED_ELSEWHERE if not (ROOT / module).exists()] == []


def test_no_file_has_grown_past_the_point_of_being_read():
    long_files = {
        relative(path): lines
        for suffix in (".py", ".html", ".css", ".js")
        for path in sources("labcases", "occlusion", "templates", "static", "tests", suffix=suffix)
        if "migrations" not in path.parts
        and (lines := path.read_text(encoding="utf-8").count("\n")) > LONGEST_FILE
    }

    assert long_files == {}


# Pages


def templates() -> list[str]:
    return [relative(path) for path in sources("templates", suffix=".html")]


@pytest.mark.parametrize("template", templates())
def test_templates_hold_no_inline_style_or_script(template):
    text = (ROOT / template).read_text(encoding="utf-8")
    refused = re.findall(
        # JSON data blocks are data, not script: the browser runs nothing of them.
        r"<style|\sstyle\s*=|\son[a-z]+\s*=\s*[\"']|javascript:"
        r"|<script(?![^>]*\ssrc=)(?![^>]*application/json)[^>]*>",
        text,
        flags=re.IGNORECASE,
    )

    # A paper is no page: WeasyPrint reads its style sheet from the file, never from the network.
    assert refused == []


def test_nothing_of_a_page_comes_from_elsewhere():
    outside = {
        relative(path): found
        for suffix in (".html", ".css", ".js")
        for path in sources("templates", "static", suffix=suffix)
        if (
            found := [
                address
                for address in re.findall(r"https?://[^\s\"')]+", path.read_text(encoding="utf-8"))
                if not address.startswith("http://www.w3.org/")
            ]
        )
    }

    assert outside == {}


# Rules of the domain


def writes_to_stage(tree: ast.AST) -> list[int]:
    """Lines that set `.stage`, directly, by setattr or in an update of many rows."""
    found = []
    for node in ast.walk(tree):
        targets = []
        if isinstance(node, ast.Assign):
            targets = node.targets
        elif isinstance(node, ast.AugAssign | ast.AnnAssign):
            targets = [node.target]
        elif isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            name = node.func.id if isinstance(node.func, ast.Name) else ""
            names_stage = any(word.arg == "stage" for word in node.keywords)
            sets_stage = name == "setattr" and any(
                isinstance(value, ast.Constant) and value.value == "stage" for value in node.args
            )
            if (called in {"update", "update_or_create"} and names_stage) or sets_stage:
                found.append(node.lineno)
        found += [
            target.lineno
            for target in targets
            if isinstance(target, ast.Attribute) and target.attr == "stage"
        ]
    return found


def test_only_the_stage_table_changes_a_stage():
    elsewhere = {
        relative(path): lines
        for path in sources("labcases")
        if relative(path) != "labcases/domain/stages.py"
        and "migrations" not in path.parts
        and (lines := writes_to_stage(ast.parse(path.read_text(encoding="utf-8"))))
    }

    assert elsewhere == {}


@pytest.mark.parametrize(
    "line",
    [
        "case.stage = Stage.SENT",
        "case.stage: str = 'sent'",
        "setattr(case, 'stage', 'sent')",
        "Case.objects.filter(pk=1).update(stage='sent', version=2)",
    ],
)
def test_a_planted_change_of_stage_is_found(line):
    assert writes_to_stage(ast.parse(line)) == [1]


def test_reading_a_stage_is_no_change():
    assert writes_to_stage(ast.parse("stage = case.stage\nCase.objects.filter(stage='sent')")) == []


#: Modules through which a verb writes history.
WRITES_HISTORY = {"history", "versions", "striking", "stages"}


def transactions_without_a_turn(tree: ast.AST) -> list[int]:
    """Lines that open a transaction in which history is written, and wait for no turn first."""
    named = {
        alias.name.rpartition(".")[2]
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("labcases.domain")
        for alias in node.names
    }
    if not named & WRITES_HISTORY:
        return []

    def opened(node: ast.With) -> list[str]:
        return [ast.unparse(item.context_expr) for item in node.items]

    blocks = [node for node in ast.walk(tree) if isinstance(node, ast.With)]
    inside = {
        id(inner)
        for node in blocks
        if any(text.startswith("history.turn(") for text in opened(node))
        for inner in ast.walk(node)
    }
    return [
        node.lineno
        for node in blocks
        if id(node) not in inside and "transaction.atomic()" in opened(node)
    ]


def test_whoever_writes_history_waits_for_the_turn_first():
    """DEVELOPERS.md, D14: write `with history.turn(case):` in place of `transaction.atomic()`."""
    found = {
        relative(path): transactions_without_a_turn(ast.parse(path.read_text(encoding="utf-8")))
        for path in sources("labcases/domain")
        if path.name != "history.py"
    }

    assert {path: lines for path, lines in found.items() if lines} == {}


def test_a_planted_transaction_without_a_turn_is_found():
    planted = "from labcases.domain import history\nwith transaction.atomic():\n    act()"
    turned = planted.replace("transaction.atomic()", "history.turn(case)")
    inner = f"{turned}\n    with transaction.atomic():\n        row.save()"

    assert transactions_without_a_turn(ast.parse(planted)) == [2]
    assert transactions_without_a_turn(ast.parse(turned)) == []
    assert transactions_without_a_turn(ast.parse(inner)) == []


# Sources


def texts_that_cite() -> str:
    """Everything outside of the list of sources where one of its keys may stand."""
    files = [
        *sources("occlusion", "labcases"),
        *sources("fixtures", suffix=".csv"),
        *sources("fixtures", suffix=".json"),
        *sources("labcases", suffix=".toml"),
    ]
    return "\n".join(
        path.read_text(encoding="utf-8")
        for path in files
        if relative(path) != "occlusion/sources.py"
    )


def test_every_source_is_cited_somewhere():
    text = texts_that_cite()

    assert [key for key in SOURCES if not re.search(rf"\b{re.escape(key)}\b", text)] == []


def test_every_key_that_is_cited_is_a_source():
    # A key is a name and a year; "practice", "geometry" and their like are words of any text.
    cited = set(re.findall(r"\b[a-z]+(?:_[a-z]+)*_(?:19|20)\d\d[a-z]?\b", texts_that_cite()))

    assert cited - set(SOURCES) == set()


# Words


def forbidden_words() -> list[str]:
    """Words that the project must not hold; put together here, so that this file holds none."""
    joined = [
        *("p y p i . o r g", "p y t h o n h o s t e d", "r e g i s t r y . n p m", "n p m j s"),
        *("d e b . d e b i a n . o r g", "/ w o r k /", "/ r o o t /"),
        *("T O D O", "F I X M E", "N o t I m p l e m e n t e d E r r o r", "l o r e m"),
        *("t r a n s c r i p t", "p o d c a s t", "s e e d_d o c u m e n t", "s u b a g e n t"),
    ]
    return [word.replace(" ", "").replace("_", " ") for word in joined]


def test_the_project_names_no_registry_no_machine_and_no_unfinished_work():
    pattern = re.compile("|".join(re.escape(word) for word in forbidden_words()), re.IGNORECASE)
    found = {
        f"{relative(path)}:{number}": line.strip()
        for path in project_files()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    }

    assert found == {}


def test_no_test_is_switched_off_or_unable_to_fail():
    pattern = re.compile(r"assert (True|1)\s*($|#)|mark\.(skip|xfail)\b|except Exception:\s*pass")
    found = {
        f"{relative(path)}:{number}": line.strip()
        for path in sources("tests")
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line) and path != Path(__file__)
    }

    assert found == {}


# Left-overs


@needs.git
def test_files_that_git_keeps_are_no_left_overs_of_a_run():
    done = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    kept = done.stdout.splitlines()

    assert [name for name in kept if name.startswith((".data/", ".venv/")) or ".pyc" in name] == []
