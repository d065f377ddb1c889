"""Whether anything about a case may leave by itself. The only place that answers this.

Whatever is sent without a person pressing a button for it asks here first, each time it is
about to be sent: mail, feeds of dates, reminders, and the lines of lists that say that
something is due. What a person reads on the page of the case is no notice.
"""

from __future__ import annotations

from collections.abc import Collection

from labcases.models import Case


def may_be_sent(case: Case) -> bool:
    """Whether a notice about a case may leave now.

    Never when the patient of this case, or of another one under the same code, has died; not
    while the case is on hold, and not after it has ended.
    """
    return _goes_on(case, _silent([case]))


def sendable(cases: Collection[Case]) -> list[Case]:
    """Of many cases the ones about which a notice may leave, by one question to the database.

    By none where a list has just asked it with the cases (``queries.open_lines``).
    """
    if all(hasattr(case, "patient_silent") for case in cases):
        silent = {case.patient_id for case in cases if getattr(case, "patient_silent", True)}
    else:
        silent = _silent(cases)
    return [case for case in cases if _goes_on(case, silent)]


def _silent(cases: Collection[Case]) -> set[int]:
    """The patients of these cases about whom nothing leaves any more."""
    of = {case.patient_id for case in cases}
    found = Case.objects.filter(patient__in=of, silent=True)
    return set(found.values_list("patient", flat=True))


def _goes_on(case: Case, silent: Collection[int]) -> bool:
    return case.is_open and not case.on_hold and case.patient_id not in silent
