"""That a case left the house as a file: who took it, with what, and by which digest."""

from __future__ import annotations

from labcases.domain import history
from labcases.models import Case, HistoryEntry, User

PART = "case bundle"


class MovedOn(Exception):
    """Somebody wrote into the case while its file was made."""


def last_entry(case: Case) -> int:
    """The number of the last entry of a case."""
    number = case.history.order_by("-sequence").values_list("sequence", flat=True).first()
    return number or 0


def exported(*, case: Case, digest: str, identity: bool, after: int, by: User) -> HistoryEntry:
    """Keep that a bundle was made.

    Parameters
    ----------
    case : Case
        Whose.
    digest : str
        SHA-256 of its manifest, which holds the digests of all files.
    identity : bool
        Whether the patient's name is in it.
    after : int
        The last entry of the case when its making began.
    by : User
        Who made it.

    Raises
    ------
    MovedOn
        The case was changed meanwhile, so what is in the file may not fit together.
    """
    with history.turn(case):
        if last_entry(case) != after:
            raise MovedOn(
                "Somebody changed this case while its bundle was made. Make the bundle again."
            )
        return history.write(
            case=case,
            by=by,
            act="exported",
            part=PART,
            changes={
                "manifest": [None, f"SHA-256 {digest}"],
                "names": [None, "with the name" if identity else "without the name"],
            },
        )
