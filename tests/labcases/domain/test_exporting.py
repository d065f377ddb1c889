"""That a bundle left the house stands in the history, unless the case moved on meanwhile."""

from __future__ import annotations

import pytest

from labcases.domain import exporting, history
from labcases.views._sentences import sentence
from tests.factories import world

DIGEST = "ab" * 32


def test_the_entry_names_the_digest_and_whether_the_name_is_in_it(db):
    cast = world()
    case = cast.walk().case

    entry = exporting.exported(
        case=case, digest=DIGEST, identity=False, after=exporting.last_entry(case), by=cast.mona
    )

    assert sentence(entry) == (
        "Mona Ridley (laboratory manager) made a bundle of the case, without the name: "
        f"SHA-256 {DIGEST}."
    )


def test_a_case_that_moved_on_meanwhile_is_exported_anew(db):
    cast = world()
    case = cast.walk().case
    after = exporting.last_entry(case)
    with history.turn(case):
        history.write(case=case, by=cast.dora, act="put on hold", part="case")

    with pytest.raises(exporting.MovedOn, match="Make the bundle again"):
        exporting.exported(case=case, digest=DIGEST, identity=False, after=after, by=cast.dora)

    assert not case.history.filter(part=exporting.PART).exists()
