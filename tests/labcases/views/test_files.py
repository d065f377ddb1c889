"""Photographs and papers, as people meet them; and the bytes that leave."""

import hashlib
import os
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.urls import reverse

from labcases.domain import files
from labcases.enums import Stage
from labcases.models import Attachment
from tests.factories import world
from tests.labcases import sent_files as made

pytestmark = pytest.mark.django_db

#: One value of the list of what is added.
CAST, FACE, PRESCRIPTION = "shows: cast", "shows: face", "paper prescription"


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk(patient_name="Quendoline Zaffrane").case


def url(case, name="files", *args):
    return reverse(name, args=[case.code, *args])


def post(client, user, case, data=None, *, name="photo.jpg", **more):
    client.force_login(user)
    told = {"what": CAST, "upload": made.sent(data or made.jpeg(), name), **more}
    return client.post(url(case), {key: value for key, value in told.items() if value is not None})


def page(client, user, case):
    client.force_login(user)
    return client.get(url(case)).content.decode()


def get(client, user, row, name="file"):
    client.force_login(user)
    return client.get(url(row.case, name, row.pk))


def text(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


# Adding


@pytest.mark.parametrize("name", ["dora", "farah", "tomas", "lena", "mona"])
def test_everybody_of_the_case_adds_and_sees_it_on_the_page(client, here, case, name):
    answer = post(client, getattr(here, name), case, caption="before trimming")

    assert (answer.status_code, answer["Location"]) == (302, url(case))
    row = Attachment.objects.get()
    for reader in (here.dora, here.farah, here.tomas, here.lena, here.mona):
        seen = page(client, reader, case)
        assert "before trimming" in seen
        assert f'src="{url(case, "file_small", row.pk)}"' in seen
        assert f'href="{url(case, "file", row.pk)}"' in seen


def test_a_paper_prescription_is_added_as_a_picture_of_it(client, here, case):
    assert post(client, here.lena, case, what=PRESCRIPTION, agreed="on").status_code == 302

    row = Attachment.objects.get()
    assert (row.kind, row.view, row.agreement_at) == ("paper prescription", "", None)
    assert "Paper prescription, signed" in page(client, here.lena, case)


def test_nobody_else_adds(client, here, case):
    assert post(client, here.olga, case).status_code == 404
    assert not Attachment.objects.exists()


@pytest.mark.parametrize("kind", made.NO_PICTURE)
def test_what_is_no_picture_is_refused_at_its_field_and_nothing_else_is_lost(
    client, here, case, kind
):
    data, word = made.NO_PICTURE[kind]

    answer = post(client, here.tomas, case, data, caption="before trimming", name="photo.jpg")

    assert answer.status_code == 422
    assert word in str(answer.context["form"].errors["upload"])
    assert "JPEG" in text(answer)
    seen = answer.content.decode()
    assert 'value="before trimming"' in seen
    assert f'value="{CAST}" selected' in seen
    assert "<title>Error: Case" in seen
    assert not Attachment.objects.exists()


def test_what_was_not_said_is_asked_for_and_the_file_again(client, here, case):
    answer = post(client, here.tomas, case, what="", caption="before trimming")

    assert answer.status_code == 422
    assert "Choose what it shows." in text(answer)
    assert "The file is good, but a browser does not keep it: choose it again." in text(answer)
    assert not Attachment.objects.exists()

    nothing = post(client, here.tomas, case, upload=None)
    assert "Choose the photograph, or the picture of the paper." in text(nothing)
    assert "choose it again" not in text(nothing)


def test_the_same_file_again_is_refused_in_words(client, here, case):
    post(client, here.dora, case)

    answer = post(client, here.tomas, case)

    assert answer.status_code == 422
    assert "This very file is in this case already (photograph, cast)" in text(answer)


def test_a_file_that_is_too_long_is_refused_in_words_and_not_kept(client, here, case, settings):
    settings.LARGEST_PICTURE_BYTES = 2_000_000

    answer = post(client, here.tomas, case, made.jpeg() + b"\0" * 3_400_000, caption="a cast")

    assert answer.status_code == 422
    assert "The file is 3.4 MB. Up to 2 MB are taken" in text(answer)
    assert 'value="a cast"' in answer.content.decode()
    assert not Attachment.objects.exists()


def test_a_name_that_holds_a_patient_or_a_program_is_forgotten(client, here, case):
    post(client, here.tomas, case, name="Quendoline Zaffrane <script>.jpg")

    row = Attachment.objects.get()
    seen = page(client, here.tomas, case) + str(get(client, here.tomas, row).headers)
    assert "Zaffrane" not in seen
    assert "&lt;script" not in seen
    assert Path(row.file.path).read_bytes().find(b"Zaffrane") == -1


# What leaves


def test_a_picture_leaves_as_our_own_bytes_under_our_own_name(client, here, case):
    post(client, here.farah, case, made.told_everything() + made.PAGE, name="me.html")
    row = Attachment.objects.get()

    for name, digest, called in (
        ("file", row.sha256, f"{case.code}-{row.pk}.jpg"),
        ("file_small", row.small_sha256, f"{case.code}-{row.pk}-small.jpg"),
    ):
        answer = get(client, here.tomas, row, name)
        assert answer.status_code == 200
        assert hashlib.sha256(answer.content).hexdigest() == digest
        assert made.opened(answer.content).format == "JPEG"
        for word in (made.SECRET, b"script", b"Exif", b"Camera", b"Zaffrane"):
            assert word not in answer.content
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["Content-Disposition"] == f'inline; filename="{called}"'
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["Cross-Origin-Resource-Policy"] == "same-origin"
        assert "no-store" in answer["Cache-Control"]
        policy = answer["Content-Security-Policy"].split("; ")
        assert "sandbox" in policy
        assert "default-src 'none'" in policy


def test_what_lies_on_the_disk_has_no_address_of_its_own(client, here, case):
    post(client, here.dora, case)
    row = Attachment.objects.get()

    for address in (row.file.name, f"media/{row.file.name}", f"static/{row.file.name}"):
        for traversal in (f"/{address}", f"/static/../{address}", f"/static/..%2f{address}"):
            assert client.get(traversal).status_code == 404


def test_bytes_that_were_changed_on_the_disk_are_not_handed_out(client, here, case):
    post(client, here.dora, case)
    row = Attachment.objects.get()
    Path(row.file.path).chmod(0o600)
    Path(row.file.path).write_bytes(made.PAGE)
    Path(row.small.path).unlink()

    for name in ("file", "file_small"):
        answer = get(client, here.dora, row, name)
        assert answer.status_code == 410
        assert b"script>alert" not in answer.content
        assert "Tell the person who runs this server" in text(answer)


# Faces


@pytest.mark.parametrize("view", ["face", "smile", "profile"])
def test_the_laboratory_gets_no_face_before_the_patient_agreed(client, here, case, view):
    post(client, here.farah, case, what=f"shows: {view}", caption="Q., in May")
    row = Attachment.objects.get()

    for reader in (here.tomas, here.lena, here.mona):
        for name in ("file", "file_small"):
            answer = get(client, reader, row, name)
            assert answer.status_code == 403
            assert "image" not in answer["Content-Type"]
        seen = page(client, reader, case)
        assert "Held back" in seen
        assert "<img" not in re.sub(r'<img class="icon[^>]*>', "", seen.partition("pictures")[2])
        assert "Q., in May" not in seen
        assert "The patient agreed<" not in seen
    for reader in (here.dora, here.farah):
        assert get(client, reader, row).status_code == 200
        assert "Only the office sees this face." in page(client, reader, case)

    answer = client.post(url(case, "file_agree", row.pk))

    assert answer.status_code == 302
    assert get(client, here.tomas, row).status_code == 200
    assert "The patient agreed: ticked by Farah Kline" in page(client, here.tomas, case)


def test_a_laboratory_adds_a_face_only_with_the_tick(client, here, case):
    refused = post(client, here.tomas, case, what=FACE)

    assert refused.status_code == 422
    assert "Tick that the patient agreed" in text(refused)
    assert not Attachment.objects.exists()
    assert post(client, here.tomas, case, what=FACE, agreed="on").status_code == 302
    assert get(client, here.tomas, Attachment.objects.get()).status_code == 200


def test_only_the_office_says_later_that_the_patient_agreed(client, here, case):
    post(client, here.dora, case, what=FACE)
    row = Attachment.objects.get()
    for person in (here.tomas, here.lena, here.mona):
        client.force_login(person)
        assert client.post(url(case, "file_agree", row.pk)).status_code == 403

    client.force_login(here.dora)
    post(client, here.dora, case, made.jpeg((9, 9)))
    cast = Attachment.objects.get(view="cast")
    assert client.post(url(case, "file_agree", cast.pk)).status_code == 422


# Taking out of view


def take_out(client, user, row, reason="the wrong patient"):
    client.force_login(user)
    return client.post(url(row.case, "file_take_out", row.pk), {"reason": reason})


def test_what_is_taken_out_is_gone_for_everybody_and_says_why(client, here, case):
    post(client, here.farah, case)
    row = Attachment.objects.get()

    assert take_out(client, here.farah, row).status_code == 302

    for reader in (here.dora, here.farah, here.tomas, here.lena, here.mona):
        assert get(client, reader, row).status_code == 404
        assert get(client, reader, row, "file_small").status_code == 404
        seen = " ".join(page(client, reader, case).split())
        assert "the wrong patient" in seen
        assert url(case, "file_small", row.pk) not in seen
    assert os.path.exists(row.file.path)


def test_a_reason_is_asked_for_and_a_second_time_says_so(client, here, case):
    post(client, here.farah, case)
    row = Attachment.objects.get()
    answer = take_out(client, here.farah, row, reason=" ")
    assert answer.status_code == 422
    assert "Give the reason why it is taken out of view." in text(answer)

    take_out(client, here.dora, row)
    again = take_out(client, here.farah, row)

    assert again.status_code == 409
    assert "Somebody else took this out of view already." in text(again)


def test_a_colleagues_picture_only_the_dentist_and_the_manager_take_out(client, here, case):
    post(client, here.farah, case)
    row = Attachment.objects.get()

    for person in (here.tomas, here.lena):
        assert take_out(client, person, row).status_code == 403
        assert "Take it out of view" not in page(client, person, case)
    assert take_out(client, here.mona, row).status_code == 302


# Around it


def test_the_page_of_the_case_counts_them_and_leads_there(client, here, case):
    client.force_login(here.tomas)
    assert "No photograph and no paper yet" in client.get(url(case, "case")).content.decode()
    post(client, here.farah, case)
    post(client, here.farah, case, made.jpeg((9, 9)), what=FACE)
    post(client, here.tomas, case, made.jpeg((8, 8)), what=PRESCRIPTION)

    seen = client.get(url(case, "case")).content.decode()

    assert "2 photographs, 1 paper; 1 face held back until the patient agreed" in seen
    assert f'href="{url(case)}"' in seen


def test_the_history_says_it_in_sentences(client, here, case):
    post(client, here.farah, case, what=FACE, caption="Quendoline")
    row = Attachment.objects.get()
    client.post(url(case, "file_agree", row.pk))
    take_out(client, here.dora, row)
    client.force_login(here.tomas)

    seen = text(client.get(url(case, "history")))

    for said in (
        "added to the photographs and papers: photograph, face.",
        "confirmed that the patient agreed to showing the laboratory a face: photograph, face.",
        "took out of the photographs and papers, for everybody: photograph, face. Reason: the "
        "wrong patient.",
    ):
        assert said in seen
    assert "Quendoline" not in seen


def test_many_pictures_cost_no_more_questions_to_the_database(
    client, here, case, django_assert_num_queries
):
    for side in range(10, 13):
        files.add(case=case, kind="paper", upload=made.sent(made.jpeg((side, side))), by=here.farah)
    client.force_login(here.tomas)
    client.get(url(case))
    with django_assert_num_queries(26):
        client.get(url(case))
    for side in range(13, 20):
        files.add(case=case, kind="paper", upload=made.sent(made.jpeg((side, side))), by=here.farah)
    with django_assert_num_queries(26):
        client.get(url(case))


def test_a_case_that_is_closed_still_shows_its_pictures(client, here):
    case = here.case_at(Stage.ACCEPTED)
    post(client, here.farah, case)

    assert page(client, here.tomas, case).count("<img") >= 1
    assert settings.LARGEST_REQUEST_BYTES > settings.LARGEST_PICTURE_BYTES
