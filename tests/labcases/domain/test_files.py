"""Photographs and papers of a case: who sees which, and that files and rows stay in step."""

import os
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings
from django.db import transaction

from labcases.domain import files, history, pictures
from labcases.models import Attachment
from tests.factories import world
from tests.labcases import sent_files as made

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk(patient_code="P-100").case


def add(case, by, data=None, name="photo.jpg", **more):
    told = {"kind": "photograph", "view": "cast", **more}
    if told["kind"] != "photograph":
        told.pop("view")
    return files.add(case=case, upload=made.sent(data or made.jpeg(), name), by=by, **told)


def stored():
    """Every file below the folder of uploads."""
    return sorted(path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file())


def last(case):
    return case.history.last()


# Adding


@pytest.mark.parametrize("name", ["dora", "farah", "tomas", "lena", "mona"])
def test_a_photograph_is_kept_with_who_added_it_and_what_it_measures(here, case, name):
    row = add(case, getattr(here, name), made.jpeg((1200, 600)), caption=" before trimming ")

    row.refresh_from_db()
    assert (row.kind, row.view, row.caption) == ("photograph", "cast", "before trimming")
    assert (row.width_px, row.height_px, row.content_type) == (1200, 600, "image/jpeg")
    assert row.by == getattr(here, name)
    assert len(files.content(row)) == row.size_bytes
    assert made.opened(files.content(row, small=True)).size == (480, 240)


def test_nothing_of_the_name_that_a_file_came_with_is_kept(here, case):
    row = add(case, here.dora, name="Quendoline Zaffrane 1961.jpg")

    kept = [str(value) for value in Attachment.objects.values_list().get()]
    kept += [str(path) for path in stored()] + [str(last(case).changes)]
    assert [text for text in kept if "Zaffrane" in text or "1961" in text] == []
    assert [text for text in kept if case.code in text or "P-100" in text] == []
    assert row.file.name.startswith("attachments/")
    assert len(Path(row.file.name).stem) == 32


def test_the_files_are_for_the_server_alone_and_lie_in_no_folder_that_is_served(here, case):
    add(case, here.dora)

    assert len(stored()) == 2
    if os.name == "posix":
        assert {path.stat().st_mode & 0o777 for path in stored()} == {0o600}
    served = {Path(settings.STATIC_ROOT), *map(Path, settings.STATICFILES_DIRS)}
    for folder in served:
        assert not Path(settings.MEDIA_ROOT).is_relative_to(folder)
    assert settings.MEDIA_URL in {"", "/"}


def test_the_history_says_what_was_added_but_not_what_was_written_beside_it(here, case):
    add(case, here.farah, caption="Quendoline, last summer")

    assert (last(case).act, last(case).part) == ("added", "photographs and papers")
    assert last(case).changes == {"what": [None, "photograph, cast"]}
    add(case, here.farah, made.jpeg((9, 9)), kind="paper prescription")
    assert last(case).changes == {"what": [None, "paper prescription, signed"]}


def test_what_is_refused_leaves_neither_row_nor_file_nor_history(here, case):
    before = case.history.count()

    for data, _word in made.NO_PICTURE.values():
        with pytest.raises(files.NotAccepted):
            add(case, here.dora, data)

    assert (Attachment.objects.count(), stored(), case.history.count()) == (0, [], before)


def test_a_picture_that_a_form_has_read_already_is_taken_as_it_is(here, case):
    picture = pictures.read(made.sent(made.jpeg()))

    row = files.add(case=case, kind="paper", upload=picture, by=here.lena)

    assert files.content(row) == picture.full


def test_a_photograph_says_what_it_shows_and_a_paper_does_not(here, case):
    with pytest.raises(ValueError, match="not a valid PhotographView"):
        add(case, here.dora, view="")
    assert add(case, here.dora, kind="paper", view="face").view == ""


def test_the_same_file_stands_once_in_a_case_until_it_is_taken_out(here, case):
    first = add(case, here.dora)
    with pytest.raises(files.NotAccepted, match=r"in this case already \(photograph, cast\)"):
        add(case, here.tomas, name="other.jpg", view="other")
    assert len(stored()) == 2

    files.take_out(attachment=first, reason="blurred", by=here.dora)

    assert add(case, here.tomas).pk != first.pk
    assert add(here.walk(patient_code="P-2").case, here.dora).pk


def test_two_who_send_the_same_file_at_once_keep_one(here, case, monkeypatch):
    """The second one looked before the first one's row stood."""
    add(case, here.dora)
    look, looked = files._refuse_twice, []

    def late(row):
        looked.append(row)
        if len(looked) > 1:
            look(row)

    monkeypatch.setattr(files, "_refuse_twice", late)
    with pytest.raises(files.AlreadyThere):
        add(case, here.farah)

    assert Attachment.objects.count() == 1
    assert len(stored()) == 2


# Faces


@pytest.mark.parametrize("view", ["face", "smile", "profile"])
def test_a_face_without_agreement_is_for_the_office_alone(here, case, view):
    row = add(case, here.farah, view=view)

    assert row.held_back
    assert files.may_see(here.dora, row)
    assert files.may_see(here.farah, row)
    for person in (here.tomas, here.lena, here.mona, here.olga):
        assert not files.may_see(person, row)

    files.agree(attachment=row, by=here.farah)

    assert (row.agreement_by, row.held_back) == (here.farah, False)
    assert files.may_see(here.tomas, row)
    assert not files.may_see(here.olga, row)
    assert last(case).act == "confirmed"


@pytest.mark.parametrize("view", ["intraoral front", "intraoral right", "cast", "other"])
def test_teeth_and_casts_need_no_agreement(here, case, view):
    row = add(case, here.farah, view=view, agreed=True)

    assert files.may_see(here.tomas, row)
    assert row.agreement_at is None


def test_a_laboratory_adds_a_face_only_with_the_agreement(here, case):
    with pytest.raises(files.NotAccepted, match="only when the patient agreed"):
        add(case, here.tomas, view="face")
    assert stored() == []

    row = add(case, here.tomas, view="face", agreed=True)

    assert row.agreement_by == here.tomas
    assert last(case).changes["the patient's agreement"] == [None, "ticked"]


def test_agreeing_twice_writes_once(here, case):
    row = add(case, here.dora, view="face")
    files.agree(attachment=row, by=here.dora)
    entries = case.history.count()

    files.agree(attachment=row, by=here.farah)

    assert (row.agreement_by, case.history.count()) == (here.dora, entries)


# Taking out of view


def test_what_is_taken_out_nobody_sees_but_it_is_kept(here, case):
    row = add(case, here.dora)

    files.take_out(attachment=row, reason=" the wrong patient ", by=here.mona)

    assert (row.removed_by, row.removed_reason) == (here.mona, "the wrong patient")
    for person in (here.dora, here.farah, here.tomas, here.lena, here.mona):
        assert not files.may_see(person, row)
    assert len(stored()) == 2
    assert files.in_view(case) == []
    assert (last(case).act, last(case).reason) == ("taken out", "the wrong patient")


def test_it_is_taken_out_once_and_with_a_reason(here, case):
    row = add(case, here.dora)
    with pytest.raises(ValueError, match="Give the reason"):
        files.take_out(attachment=row, reason="  ", by=here.dora)
    files.take_out(attachment=row, reason="blurred", by=here.dora)

    with pytest.raises(files.AlreadyTakenOut):
        files.take_out(attachment=row, reason="again", by=here.mona)

    assert row.removed_reason == "blurred"


@pytest.mark.parametrize("name", ["dora", "farah", "tomas", "lena", "mona"])
def test_ones_own_anybody_takes_out_and_others_the_dentist_and_the_manager(here, case, name):
    person = getattr(here, name)
    own = add(case, person)
    others = add(case, here.farah if name != "farah" else here.lena, made.jpeg((9, 9)))

    assert files.may_take_out(person, own)
    assert files.may_take_out(person, others) == (name in ("dora", "mona"))
    assert not files.may_take_out(here.olga, own)
    files.take_out(attachment=own, reason="blurred", by=person)
    assert not files.may_take_out(person, own)


def test_gates_read_what_is_in_view_by_kind_and_by_what_it_shows(here, case):
    front = add(case, here.dora, view="intraoral front")
    paper = add(case, here.dora, made.jpeg((9, 9)), kind="paper prescription")
    gone = add(case, here.dora, made.jpeg((8, 8)), view="smile")
    files.take_out(attachment=gone, reason="blurred", by=here.dora)

    assert files.in_view(case) == [front, paper]
    assert files.in_view(case, kind="paper prescription") == [paper]
    assert files.in_view(case, views=["smile", "intraoral front"]) == [front]


# Files and rows in step


def test_a_row_that_does_not_come_to_stand_takes_its_files_along(here, case, monkeypatch):
    def broken(**_told):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(history, "write", broken)
    with pytest.raises(RuntimeError):
        add(case, here.dora)

    assert (Attachment.objects.count(), stored()) == (0, [])


def test_files_that_an_outer_rollback_left_are_found_an_hour_later(here, case):
    kept = add(case, here.dora)
    with transaction.atomic():
        add(case, here.dora, made.jpeg((9, 9)))
        transaction.set_rollback(True)
    assert files.without_row() == []

    left = files.without_row(older_than=timedelta(0))

    assert len(left) == 2
    assert kept.file.name not in left
    files.erase(left)
    assert len(stored()) == 2
    assert files.content(kept)


def test_a_row_without_its_file_is_found(here, case):
    whole = add(case, here.dora)
    lost = add(case, here.dora, made.jpeg((9, 9)))
    assert files.without_file() == []

    Path(lost.small.path).unlink()

    assert files.without_file() == [lost]
    with pytest.raises(files.FileLost, match="not where it was stored"):
        files.content(lost, small=True)
    assert files.content(whole)


def test_bytes_that_somebody_changed_on_the_disk_are_not_handed_out(here, case):
    row = add(case, here.dora)
    Path(row.file.path).chmod(0o600)
    Path(row.file.path).write_bytes(made.PAGE)

    with pytest.raises(files.FileLost, match="not the one that was stored"):
        files.content(row)


def test_an_empty_store_has_nothing_to_say():
    assert (files.without_row(), files.without_file()) == ([], [])
