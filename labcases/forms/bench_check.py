"""The bench check before a try-in: yes or no a line, with words at every no."""

from __future__ import annotations

from typing import Any, ClassVar

from labcases.forms.check_lines import YES_OR_NO, YesNoForm
from labcases.models import BenchCheck
from labcases.reference.checklists import bench_pauses


class BenchCheckForm(YesNoForm):
    """It may be saved while lines are open; the gate asks for all of them."""

    class Meta:
        model = BenchCheck
        fields: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lay_out(bench_pauses(self.instance.case.prescription.arch), YES_OR_NO)
