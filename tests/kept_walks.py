"""A walk whose steps are kept (`tests/kept_steps.py`): it leaves what any walk leaves."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from labcases.management import walk
from labcases.models import Case
from tests.kept_steps import kept

#: Steps that give nothing back. What they are made of is kept with them.
STEPS = (
    *("prescribe", "sign", "take_in", "move", "mount", "enter_settings", "choose_teeth", "measure"),
    *("compute", "log", "set_posterior", "set_anterior", "judge_try_in", "wax", "approve_wax"),
    *("hand_over", "remount", "report_delivery", "prepare", "enter"),
)


class KeptWalk(walk.Walk):
    """A walk as the demonstration takes it. The case is read again after a kept step."""

    _behind = False

    @property
    def case(self) -> Case:
        if self._behind:
            self.reload()
        return self._case

    @case.setter
    def case(self, case: Case) -> None:
        self._case, self._behind = case, False

    def reload(self) -> Case:
        self.case = Case.objects.get(pk=self._case.pk)
        return self.case


def _keeping(name: str) -> Callable[..., None]:
    plain = getattr(walk.Walk, name)

    @wraps(plain)
    def step(self: KeptWalk, *args: Any, **kwargs: Any) -> None:
        told = {key: value for key, value in vars(self).items() if key not in ("_case", "_behind")}
        told |= {"hands": vars(self.hands), "case": self._case.pk, "with": (args, kwargs)}
        self._behind = True
        kept(name, told, lambda: plain(self, *args, **kwargs))

    return step


for _name in STEPS:
    setattr(KeptWalk, _name, _keeping(_name))


def start(**told: Any) -> KeptWalk:
    """Open a case and take hold of it, as ``labcases.management.walk.start``."""
    key = kept("start", {**told, "hands": vars(told["hands"])}, lambda: walk.start(**told).case.pk)
    return KeptWalk(Case.objects.get(pk=key), told["hands"])
