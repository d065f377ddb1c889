"""A person's own choice of mail, and what went to them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import outbox, reminders
from labcases.forms.mail import MailForm
from labcases.views._lookup import person


@require_http_methods(["GET", "POST"])
def mail(request: HttpRequest) -> HttpResponse:
    """Which mail, and where to; below it the last ones that went."""
    user = person(request)
    form = MailForm(request.POST if request.method == "POST" else None, user=user)
    if form.is_valid():
        reminders.choose(
            user=user,
            email=form.cleaned_data["mail_address"],
            choice=form.cleaned_data["mail_wanted"],
        )
        messages.success(request, "Your choice of mail is saved.")
        return redirect("mail")
    context = {
        "page_title": "Mail to you",
        "form": form,
        "is_on": outbox.is_on(),
        "sent": outbox.last_of(user),
    }
    status = 422 if form.errors else 200
    return render(request, "accounts/mail.html", context, status=status)
