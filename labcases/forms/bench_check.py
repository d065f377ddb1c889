"""The bench check before a try-in: yes or no a line, with words at every no."""

from __future__ import annotations

from typing import Any, ClassVar

from labcases.domain.bench_check import NO, YES
from labcases.forms.base import PartForm
from labcases.forms.check_lines import AskedPause, add_lines, asked, given
from labcases.models import BenchCheck
from labcases.reference.checklists import bench_pauses, lines_of

ANSWERS = ((YES, "Yes"), (NO, "No"))


class BenchCheckForm(PartForm):
    """It may be saved while lines are open; the gate asks for all of them."""

    together: ClassVar[tuple[str, ...]] = ("answers", "words")

    class Meta:
        model = BenchCheck
        fields: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = self.instance
        self.stored = {"answers": row.answers, "words": row.words}
        self.checklist = bench_pauses(row.case.prescription.arch)
        add_lines(self, lines_of(self.checklist), ANSWERS, row.answers, row.words)

    @property
    def pauses(self) -> list[AskedPause]:
        return asked(self, self.checklist)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        lines = lines_of(self.checklist)
        for name, told in given(cleaned, lines).items():
            kept = self.data.get(f"keep-{name}") == "stored"
            cleaned[name] = self.stored[name] if kept else told
        for line in lines:
            if cleaned["answers"].get(line.key) == NO and not cleaned["words"].get(line.key):
                self.add_error(f"words_{line.key}", f"Say what is wrong: {line.text}.")
        return cleaned

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.together}
