"""A signature needs a name, a licence number and the signer's own password."""

import pytest
from django.http import QueryDict
from django.test import RequestFactory

from labcases.forms.signature import SignForm
from labcases.models import User
from tests.factories import PASSWORD, UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def dora() -> User:
    return UserFactory(username="dora", full_name="Dora Winsley", licence_number="D-7781")


def form(user: User, **typed: str) -> SignForm:
    data = QueryDict(mutable=True)
    data.update(
        {
            "version": "4",
            "signed_name": "Dora Winsley",
            "licence_number": "D-7781",
            "password": PASSWORD,
            **typed,
        }
    )
    return SignForm(RequestFactory().post("/"), user, data)


def test_the_own_name_and_licence_are_offered(dora):
    empty = SignForm(RequestFactory().get("/"), dora)

    assert empty["signed_name"].value() == "Dora Winsley"
    assert empty["licence_number"].value() == "D-7781"
    assert empty["password"].value() is None


def test_the_right_password_signs_the_version_that_was_read(dora):
    signed = form(dora)

    assert signed.is_valid()
    assert signed.cleaned_data["version"] == 4


@pytest.mark.parametrize("password", ["wrong", f" {PASSWORD}", PASSWORD.upper()])
def test_any_other_password_is_refused_in_words(dora, password):
    assert form(dora, password=password).errors == {
        "password": ["That is not your password. Nothing was signed; type it again."]
    }


def test_the_password_of_somebody_else_is_refused(dora):
    UserFactory(username="farah", password="another sentence of farah")

    assert "password" in form(dora, password="another sentence of farah").errors


@pytest.mark.parametrize("field", ["signed_name", "licence_number", "password", "version"])
def test_nothing_of_a_signature_may_be_left_out(dora, field):
    assert field in form(dora, **{field: ""}).errors


@pytest.mark.parametrize(
    ("field", "sentence"),
    [
        ("password", "Type your password."),
        ("signed_name", "Type your name, as you sign."),
        ("licence_number", "Enter the licence number."),
    ],
)
def test_what_is_left_out_is_asked_for_in_words(dora, field, sentence):
    assert form(dora, **{field: ""}).errors[field] == [sentence]
