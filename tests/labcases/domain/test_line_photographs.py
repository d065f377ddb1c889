"""Photographs at lines of the log: bound once, by one verb, and taken off with an undo."""

from __future__ import annotations

import pytest

from labcases.domain import bench, files, history, line_photographs, undo
from labcases.domain.line_photographs import NotBound
from labcases.enums import SetUpAct, Stage
from labcases.models import Attachment, LinePhotograph
from tests.factories import world
from tests.labcases import sent_files

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


@pytest.fixture
def entry(walk):
    walk.log(SetUpAct.TOOTH_SET, teeth=["11"])
    return walk.case.setup_entries.get()


def values(size=(20, 20), view="cast", kind="photograph"):
    return {"kind": kind, "view": view, "upload": sent_files.sent(sent_files.jpeg(size))}


def photograph(walk, **more):
    return files.add(case=walk.reload(), by=walk.hands.technician, **values(**more))


def test_a_photograph_of_the_case_is_bound_to_a_line_and_history_says_so(walk, entry):
    row = photograph(walk)
    tomas = walk.hands.technician
    assert line_photographs.to_choose(entry, tomas) == [row]
    with history.noting() as written:
        line_photographs.bind(entry=entry, photograph=row, by=tomas)
    (said,) = written
    assert said.changes == {
        "photograph": [None, "photograph, cast"],
        "line": [None, "teeth set in wax"],
    }
    assert line_photographs.to_choose(entry, tomas) == []
    undo.undo(case=walk.case, numbers=[said.sequence], by=tomas)
    assert not LinePhotograph.objects.exists()
    assert Attachment.objects.get().removed_at is None


def test_adding_one_binds_it_in_the_same_act(walk, entry):
    row = line_photographs.add(entry=entry, by=walk.hands.technician, values=values())
    assert row.photograph == walk.case.attachments.get()
    assert list(entry.photographs.all()) == [row]


def test_what_cannot_be_bound_is_refused_in_words(walk, entry):
    tomas = walk.hands.technician
    row, paper = photograph(walk), photograph(walk, size=(30, 20), kind="paper", view="")
    line_photographs.bind(entry=entry, photograph=row, by=tomas)
    for one, sentence in (
        (row, "This photograph stands at the line already."),
        (paper, "This photograph is not in view. Choose one of the list."),
    ):
        with pytest.raises(NotBound) as refused:
            line_photographs.bind(entry=entry, photograph=one, by=tomas)
        assert str(refused.value) == sentence
    with pytest.raises(NotBound, match="a paper stands with the papers"):
        line_photographs.add(entry=entry, by=tomas, values=values(kind="paper", view=""))


def test_a_struck_line_takes_no_photograph_and_keeps_nothing_that_was_sent(walk, entry):
    tomas = walk.hands.technician
    bench.strike(entry=entry, reason="other case", by=tomas)
    with pytest.raises(NotBound, match="The line is struck out"):
        line_photographs.add(entry=entry, by=tomas, values=values())
    assert not Attachment.objects.exists()


def test_a_photograph_that_was_taken_out_of_view_is_not_offered(walk, entry):
    row = photograph(walk)
    files.take_out(attachment=row, reason="blurred", by=walk.hands.technician)
    assert line_photographs.to_choose(entry, walk.hands.technician) == []


def test_a_face_that_the_laboratory_may_not_see_is_not_offered_to_it(walk, entry):
    row = files.add(case=walk.reload(), by=walk.hands.dentist, **values(view="smile"))
    assert line_photographs.to_choose(entry, walk.hands.technician) == []
    assert line_photographs.to_choose(entry, walk.hands.dentist) == [row]
