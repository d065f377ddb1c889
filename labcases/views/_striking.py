"""Striking a line of a log out, the same on every page that has one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from labcases.domain.striking import AlreadyStruck
from labcases.forms.setup import StrikeForm
from labcases.models import Case
from labcases.views._lookup import person


def strike_line(
    request: HttpRequest,
    case: Case,
    row: Any,
    *,
    verb: Callable[..., Any],
    page: Callable[..., HttpResponse],
    then: str,
    key: int | str,
    box: str = "",
    what: str = "line",
    there: tuple[int, ...] = (),
) -> HttpResponse:
    """Strike a line out with the reason that was typed, or show the page with what is wrong.

    Parameters
    ----------
    request, case, row
        The post, the case, and the line of it.
    verb : callable
        Strikes the line out: ``row``, ``reason`` and ``by``.
    page : callable
        Makes the page again: request, case, ``status``, and what it shows more.
    then : str
        The URL name of the page to go to.
    key : int or str
        By which the page finds the line whose box is open.
    box : str, optional
        How the ids of that box start, where they do not end with the number alone.
    what : str, optional
        What the line is called.
    there : tuple of int, optional
        What the address of the page to go to names after the case.
    """
    form = StrikeForm(request.POST, auto_id=f"{box or f'id_strike{key}'}_%s")
    if not form.is_valid():
        return page(request, case, status=422, strike_form=form, striking=key)
    try:
        verb(row=row, reason=form.cleaned_data["reason"], by=person(request))
    except AlreadyStruck as refused:
        return page(request, case, status=409, refusal=str(refused))
    messages.success(request, f"The {what} is struck out. It stays readable below.")
    return redirect(then, case.code, *there)
