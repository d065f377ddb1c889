"""Which acts the code writes into history, read off its own text.

A verb writes through ``history.write`` or ``write_line``, ``versions.save_row`` or
``striking.strike_out``. Their act and part are words, names of words, or parameters of a function
in the same module; each is followed to the words. What cannot be followed is told with its place.
"""

from __future__ import annotations

import ast
import importlib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

#: Calls that write an entry, and the words that they use where none are given.
SINKS = {
    "write": ("history", ""),
    "write_line": ("history", "entered"),
    "save_row": ("versions", "changed"),
    "strike_out": ("", ""),
}
#: Where the words come from the caller, who is asked instead.
PASSED_ON = {"versions.py", "striking.py", "history.py", "undo.py", "ways_back.py"}


class Module:
    """One module of the domain: its text, its functions, and what its names mean."""

    def __init__(self, path: Path, told: dict[tuple[str, str], list[str]]) -> None:
        self.path = path
        self.told = told
        self.tree = ast.parse(path.read_text(encoding="utf-8"))
        dotted = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        self.names = vars(importlib.import_module(dotted))
        self.functions = [n for n in ast.walk(self.tree) if isinstance(n, ast.FunctionDef)]
        self.lost: list[str] = []
        self.all: list[Module] = [self]

    def acts(self) -> set[tuple[str, str]]:
        """Every (part, act) that this module writes."""
        found: set[tuple[str, str]] = set()
        for function in self.functions:
            for call in ast.walk(function):
                name = called(call)
                if name not in SINKS or not is_sink(call):
                    continue
                for parts, acts in self.pairs(call, name, function):
                    more = {"entered"} if name == "save_row" and "changed" in acts else set()
                    found |= {(part, act) for part in parts for act in acts | more}
        return found

    def pairs(
        self, call: ast.Call, name: str, function: ast.FunctionDef
    ) -> list[tuple[set[str], set[str]]]:
        """Parts and acts of a call; one pair a caller where the caller gives both."""
        given = {keyword.arg: keyword.value for keyword in call.keywords}
        part, act = given["part"], given.get("act")
        if act is None:
            word = "struck out" if name == "strike_out" else SINKS[name][1]
            return [(self.words(part, function, "part"), {word})]
        places = [self.place(one, function) for one in (part, act)]
        if None in places:
            return [(self.words(part, function, "part"), self.words(act, function, "act"))]
        return [
            (module.words(parts, caller, "part"), module.words(acts, caller, "act"))
            for module, caller, other in self.calls_of(function)
            for parts, acts in [[argument(other, *place) for place in places if place]]
            if parts is not None and acts is not None
        ]

    def place(self, node: ast.expr, function: ast.FunctionDef) -> tuple[str, int] | None:
        """Name and position of the parameter that an expression is, if it is one."""
        names = [one.arg for one in (*function.args.posonlyargs, *function.args.args)]
        if not isinstance(node, ast.Name):
            return None
        if node.id in names:
            return node.id, names.index(node.id)
        return (node.id, 99) if node.id in [one.arg for one in function.args.kwonlyargs] else None

    def calls_of(self, function: ast.FunctionDef) -> list[tuple[Module, ast.FunctionDef, ast.Call]]:
        """Calls of a function in its own module; of a public one everywhere."""
        modules = [self] if function.name.startswith("_") else self.all
        return [
            (module, caller, call)
            for module in modules
            for caller in module.functions
            for call in ast.walk(caller)
            if isinstance(call, ast.Call) and called(call) == function.name and not is_sink(call)
        ]

    def words(self, node: ast.expr, function: ast.FunctionDef, what: str) -> set[str]:
        """The words that an expression can stand for."""
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            return {node.value}
        if isinstance(node, ast.IfExp):
            return self.words(node.body, function, what) | self.words(node.orelse, function, what)
        if isinstance(node, ast.JoinedStr):
            return {"".join(p.value if isinstance(p, ast.Constant) else "*" for p in node.values)}
        if isinstance(node, ast.Name):
            local = self.assigned(node.id, function, what) or self.passed(node, function, what)
            if local:
                return local
        meant = self.meant(node)
        if meant:
            return meant
        if isinstance(node, ast.Subscript):
            return self.meant(node.value)
        told = self.told.get((self.path.name, what))
        if told is None:
            self.lost.append(f"{self.path.relative_to(ROOT)}:{node.lineno} {ast.unparse(node)}")
            return set()
        return set(told)

    def meant(self, node: ast.expr) -> set[str]:
        """What a name of the module means: a word, or the words of a table."""
        try:
            value = eval(ast.unparse(node), dict(self.names))  # noqa: S307  (our own source)
        except Exception:  # a name that exists only while the function runs
            return set()
        if isinstance(value, str):
            return {str(value)}
        if isinstance(value, dict):
            return {str(one) for one in value.values()}
        return set()

    def assigned(self, name: str, function: ast.FunctionDef, what: str) -> set[str]:
        found: set[str] = set()
        for node in ast.walk(function):
            if isinstance(node, ast.Assign) and any(
                isinstance(target, ast.Name) and target.id == name for target in node.targets
            ):
                found |= self.words(node.value, function, what)
        return found

    def passed(self, node: ast.Name, function: ast.FunctionDef, what: str) -> set[str]:
        """What the callers of a function give for one of its parameters."""
        place = self.place(node, function)
        found: set[str] = set()
        for module, caller, call in self.calls_of(function) if place else []:
            given = argument(call, *place)
            if given is not None:
                found |= module.words(given, caller, what)
        return found


def argument(call: ast.Call, name: str, position: int) -> ast.expr | None:
    """What a call gives for a parameter."""
    by_name = [keyword.value for keyword in call.keywords if keyword.arg == name]
    return by_name[0] if by_name else next(iter(call.args[position : position + 1]), None)


def called(node: ast.AST) -> str:
    if not isinstance(node, ast.Call):
        return ""
    if isinstance(node.func, ast.Attribute):
        return node.func.attr
    return node.func.id if isinstance(node.func, ast.Name) else ""


def is_sink(call: ast.AST) -> bool:
    """Tell ``history.write`` from any other ``write``."""
    if not isinstance(call, ast.Call) or called(call) not in SINKS:
        return False
    owner = call.func.value if isinstance(call.func, ast.Attribute) else None
    return called(call) != "write" or (isinstance(owner, ast.Name) and owner.id == "history")


def written(told: dict[tuple[str, str], list[str]]) -> tuple[dict[tuple[str, str], str], list[str]]:
    """Every (part, act) that the domain writes with its module, and what was not followed.

    Parameters
    ----------
    told : dict
        (file, "act" or "part") -> its words, where they are made of choices.
    """
    found: dict[tuple[str, str], str] = {}
    paths = sorted((ROOT / "labcases" / "domain").rglob("*.py"))
    modules = [
        Module(path, told)
        for path in paths
        if path.name not in PASSED_ON and not path.name.startswith("_")
    ]
    for module in modules:
        module.all = modules
        path = module.path
        for pair in module.acts():
            found[pair] = str(path.relative_to(ROOT))
    return found, [text for module in modules for text in module.lost]
