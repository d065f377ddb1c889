"""The roles of one person in a house."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.enums import Role


class RolesForm(forms.Form):
    """A box a role; whoever is to have none is stopped on a page of its own."""

    wanted = forms.MultipleChoiceField(
        label="Roles",
        widget=forms.CheckboxSelectMultiple,
        help_text="One person may have several. What changes counts from their next page on.",
        error_messages={
            "required": "Choose at least one role, or stop the person with the link below."
        },
    )

    def __init__(self, *args: Any, roles: Sequence[Role], held: Sequence[Role], **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.initial["wanted"] = [str(role) for role in held]
        field: forms.MultipleChoiceField = self.fields["wanted"]  # type: ignore[assignment]
        field.choices = [(role.value, role.label) for role in roles]
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Save the roles"))

    def roles(self) -> list[Role]:
        return [Role(one) for one in self.cleaned_data["wanted"]]
