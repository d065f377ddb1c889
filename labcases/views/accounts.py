"""Coming in and going out: log in, log out, change a password, follow an invitation."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth import login as start_session
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.decorators import method_decorator
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from labcases.bench_sessions import begun_at_bench
from labcases.domain import people
from labcases.domain.people import LinkSpent, NameTaken
from labcases.forms.accounts import AcceptForm, ChangePasswordForm, JoinForm, LoginForm
from labcases.models import Invitation, User
from labcases.views._lookup import person

BACKEND = "django.contrib.auth.backends.ModelBackend"


@method_decorator(login_not_required, name="dispatch")
class Login(LoginView):
    """Django's own, with our words, and 422 for a refusal."""

    form_class = LoginForm
    authentication_form = LoginForm
    template_name = "accounts/login.html"
    redirect_authenticated_user = True
    extra_context = {"page_title": "Log in"}

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        # Whoever came in by PIN or badge gets the form: the password opens more.
        self.redirect_authenticated_user = not begun_at_bench(request)
        return super().dispatch(request, *args, **kwargs)

    def form_invalid(self, form: Any) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form), status=422)


class Logout(LogoutView):
    """Django's own; on a bench device the next person is chosen."""

    def get_default_redirect_url(self) -> str:
        if getattr(self.request, "bench_device", None) is not None:
            return reverse("bench_people")
        return super().get_default_redirect_url()


def _posted(request: HttpRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


login = Login.as_view()
logout = require_POST(Logout.as_view())


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def password_change(request: HttpRequest) -> HttpResponse:
    """A new password; this session goes on, the person's other sessions end."""
    user = person(request)
    form = ChangePasswordForm(user, _posted(request))
    if form.is_valid():
        form.save()
        update_session_auth_hash(request, user)
        messages.success(request, "The password is changed. Other places are signed out.")
        return redirect("home")
    context = {"page_title": "Change your password", "form": form}
    status = 422 if form.errors else 200
    return render(request, "accounts/password_change.html", context, status=status)


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def join(request: HttpRequest, secret: str) -> HttpResponse:
    """Follow a one-time link, as a new person or with the account one has."""
    try:
        invitation = people.find_invitation(secret)
        if request.user.is_authenticated:
            return _accept(request, secret, invitation)
        return _join(request, secret, invitation)
    except LinkSpent:
        context = {"page_title": "This link no longer works"}
        return render(request, "accounts/link_spent.html", context, status=410)


def _join(request: HttpRequest, secret: str, invitation: Invitation) -> HttpResponse:
    form = JoinForm(_posted(request), invitation=invitation)
    if form.is_valid():
        try:
            user = people.accept(secret=secret, **form.person_values(), **form.office_values())
        except NameTaken as taken:
            form.add_error("username", str(taken))
        else:
            start_session(request, user, backend=BACKEND)
            return _joined(request, user, invitation)
    return _join_page(request, invitation, form)


def _accept(request: HttpRequest, secret: str, invitation: Invitation) -> HttpResponse:
    user = person(request)
    form = AcceptForm(_posted(request), invitation=invitation, user=user)
    if form.is_valid():
        people.accept(secret=secret, user=user, **form.office_values())
        return _joined(request, user, invitation)
    return _join_page(request, invitation, form)


def _joined(request: HttpRequest, user: User, invitation: Invitation) -> HttpResponse:
    if invitation.opens_office:
        text = f"The office is linked to {invitation.organisation}. Invite your colleagues next."
    else:
        role = invitation.get_role_display().lower()
        text = f"You have joined {invitation.organisation} as {role}."
    messages.success(request, text)
    return redirect("home")


def _join_page(
    request: HttpRequest, invitation: Invitation, form: JoinForm | AcceptForm
) -> HttpResponse:
    title = (
        f"Open an office that sends cases to {invitation.organisation}"
        if invitation.opens_office
        else f"Join {invitation.organisation}"
    )
    context = {"page_title": title, "invitation": invitation, "form": form}
    status = 422 if form.errors else 200
    return render(request, "accounts/join.html", context, status=status)
