"""Whatever a gate finds missing, the case page names the page that mends it."""

import ast
from pathlib import Path

import pytest
from django.conf import settings

from labcases.views._lookup import PAGES
from labcases.views._refusal import LINKS

GATES = Path(settings.BASE_DIR) / "labcases" / "domain" / "gates"


def parts_in(path):
    """The pages that the gates of a file name by a literal."""
    for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "Missing":
            for named in call.args[1:2]:
                found = named.elts[0] if isinstance(named, ast.Tuple) else named
                if isinstance(found, ast.Starred) and isinstance(found.value, ast.Tuple):
                    found = found.value.elts[0]
                if isinstance(found, ast.Constant):
                    yield str(found.value)


@pytest.mark.parametrize("path", sorted(GATES.glob("*.py")), ids=lambda path: path.stem)
def test_what_a_gate_lacks_has_a_page_and_words_for_its_link(path):
    named = set(parts_in(path))
    assert named - set(LINKS) == set()
    assert named - set(PAGES) - {"wax_base", "wax_teeth"} == set()


def test_gates_do_name_pages():
    found = {part for path in GATES.glob("*.py") for part in parts_in(path)}
    assert {"arrival", "surgery", "delivery", "reviews", "settings"} <= found
