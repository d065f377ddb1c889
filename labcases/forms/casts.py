"""Impressions, casts, inspections, trays, bases and rims: one small form a kind of line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import casts
from labcases.enums import Arch, CastKind, CastState, PieceKind
from labcases.forms.fields import MeasureField
from labcases.forms.moments import MomentField
from labcases.models import Case, Cast, Impression
from labcases.reference import materials

MOST_MINUTES = 20160
"""Two weeks: longer than any label is likely to say (common practice, no source)."""


class LogForm(forms.Form):
    """What every form of a log line shares: identifiers of its own, and no saving.

    ``what`` names the kind of line in the form's hidden box.
    """

    what = ""
    title = ""
    button = ""

    def __init__(self, data: Any = None, *, case: Case) -> None:
        super().__init__(data, auto_id=f"id_{self.what}_%s")
        self.case = case
        self.helper = FormHelper()
        self.helper.form_tag = False

    def values(self) -> dict[str, Any]:
        """What the domain verb stores."""
        return dict(self.cleaned_data)


def choices(first: str, pairs: Iterable[tuple[Any, str]]) -> list[tuple[Any, str]]:
    """A list to choose from that starts with nothing chosen."""
    return [("", first), *pairs]


def minutes(label: str, *, help_text: str = "", most: int = MOST_MINUTES) -> forms.IntegerField:
    """Whole minutes, as a label or a clock says them; may be left empty."""
    asked = f"{label}: enter whole minutes from 1 to {most}."
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=1,
        max_value=most,
        help_text=help_text,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "autocomplete": "off", "data-unit": "min"}
            | {"class": "short number"}
        ),
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), asked),
    )


def text(label: str, *, longest: int = 80, help_text: str = "") -> forms.CharField:
    return forms.CharField(label=label, max_length=longest, required=False, help_text=help_text)


def pick(label: str, pairs: Iterable[tuple[Any, str]], *, missing: str) -> forms.ChoiceField:
    """One of a list, with nothing chosen at first; ``missing`` asks for it when it stays so."""
    return forms.ChoiceField(
        label=label,
        choices=choices("Choose one", pairs),
        error_messages={"required": missing},
    )


def arch_field() -> forms.ChoiceField:
    return pick("Arch", Arch.choices, missing="Choose the arch.")


def note_field() -> forms.CharField:
    return text("Note", longest=200)


class ImpressionForm(LogForm):
    what = "impression"
    title = "Enter an impression"
    button = "Enter the impression"

    arch = arch_field()
    material = forms.ChoiceField(
        label="Material", error_messages={"required": "Choose the material."}
    )
    product = text("Product and lot")
    tray = text("Tray", help_text="For example dentate stock tray, custom tray.")
    taken_at = MomentField(
        label="Taken", error_messages={"required": "Enter when the impression was taken."}
    )
    poured_at = MomentField(
        label="Poured", required=False, help_text="Leave it empty until it is poured."
    )
    label_earliest_minutes = minutes(
        "Wait before pouring", help_text="Only when the label of the material asks for it."
    )
    label_latest_minutes = minutes(
        "Pour within",
        help_text="When the label says how long; it goes before what is listed below. 100 hours "
        "are 6000 minutes.",
    )
    note = note_field()

    def __init__(self, data: Any = None, *, case: Case) -> None:
        super().__init__(data, case=case)
        listed = [(one.key, one.label) for one in materials.impression_materials().values()]
        self.fields["material"].choices = choices("Choose one", listed)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        taken, poured = cleaned.get("taken_at"), cleaned.get("poured_at")
        if taken and poured and poured < taken:
            self.add_error("poured_at", casts.NOT_BEFORE_TAKEN)
        first, last = (cleaned.get(f"label_{end}_minutes") for end in ("earliest", "latest"))
        if first and last and first > last:
            self.add_error(
                "label_latest_minutes",
                f"The label cannot ask to wait {first} min and to pour within {last} min.",
            )
        return cleaned


class PourForm(LogForm):
    """When a standing impression was poured."""

    what = "pour"

    poured_at = MomentField(
        label="Poured", error_messages={"required": "Enter when the impression was poured."}
    )

    def __init__(self, data: Any = None, *, row: Impression) -> None:
        super().__init__(data, case=row.case)
        self.auto_id = f"id_pour{row.pk}_%s"
        self.row = row

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        poured = cleaned.get("poured_at")
        if poured and poured < self.row.taken_at:
            self.add_error("poured_at", casts.NOT_BEFORE_TAKEN)
        return cleaned


class CastForm(LogForm):
    what = "cast"
    title = "Enter a cast"
    button = "Enter the cast"

    kind = pick("Kind", CastKind.choices, missing="Choose what kind of cast it is.")
    arch = arch_field()
    impression = forms.ModelChoiceField(
        queryset=Impression.objects.none(),
        label="Poured from",
        required=False,
        empty_label="No impression entered here",
    )
    poured_at = MomentField(
        label="Poured, when it has a pour of its own",
        required=False,
        help_text="For the second cast from one impression; it is held to the same window.",
    )
    made_from = forms.ModelChoiceField(
        queryset=Cast.objects.none(),
        label="Made from",
        required=False,
        empty_label="No other cast",
        help_text="For a duplicate the cast that was copied, for a trimmed cast the one that was "
        "trimmed.",
    )
    gypsum = forms.ChoiceField(label="Gypsum", required=False)
    product = text("Product")
    lot = text("Lot or mould number", longest=60)
    water_ml = MeasureField(
        unit="ml", bounds=("1", "2000"), max_digits=6, decimal_places=1, label="Water",
        required=False,
    )  # fmt: skip
    powder_g = MeasureField(
        unit="g", bounds=("1", "5000"), max_digits=6, decimal_places=1, label="Powder",
        required=False,
    )  # fmt: skip
    set_minutes = MeasureField(
        unit="min", bounds=("0.5", "240"), max_digits=5, decimal_places=1, label="Set after",
        required=False, help_text="From mixing until it was hard.",
    )  # fmt: skip
    separated_minutes = minutes("Off the impression after", most=2880)
    poured_by = text("Poured by")
    note = note_field()

    def __init__(self, data: Any = None, *, case: Case) -> None:
        super().__init__(data, case=case)
        standing = {"struck_at__isnull": True}
        for name, rows in (
            ("impression", case.impressions.filter(**standing)),
            ("made_from", case.casts.filter(**standing).select_related("impression", "made_from")),
        ):
            field = self.fields[name]
            field.queryset = rows  # type: ignore[attr-defined]
            field.label_from_instance = casts.in_words  # type: ignore[attr-defined]
            field.error_messages["invalid_choice"] = (
                "This line is struck out or belongs to another case. Choose one of the list."
            )
        listed = [(one.key, one.label) for one in materials.gypsum_types().values()]
        self.fields["gypsum"].choices = choices("Not known", listed)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        made_from, arch = cleaned.get("made_from"), cleaned.get("arch")
        copied = cleaned.get("kind") in casts.MADE_FROM_ANOTHER
        if copied and made_from is None and "made_from" not in self.errors:
            self.add_error("made_from", "Choose the cast that it was made from.")
        for name in ("impression", "made_from"):
            origin = cleaned.get(name)
            if origin and arch and origin.arch != arch:
                self.add_error(name, f"This one is of the {origin.arch} arch. Choose the other.")
        origin, poured = cleaned.get("impression"), cleaned.get("poured_at")
        if origin and poured and poured < origin.taken_at:
            self.add_error("poured_at", casts.NOT_BEFORE_TAKEN)
        given = [name for name in ("water_ml", "powder_g") if cleaned.get(name) is not None]
        if len(given) == 1 and not {"water_ml", "powder_g"} & set(self.errors):
            missing = "powder_g" if given == ["water_ml"] else "water_ml"
            self.add_error(missing, "Enter both water and powder, or neither.")
        return cleaned


class LookForm(LogForm):
    """What an inspection of one cast found."""

    what = "look"

    bubbles = forms.BooleanField(label="Bubbles", required=False)
    chipped = forms.BooleanField(label="A chipped tooth", required=False)
    rocks = forms.BooleanField(label="It rocks", required=False)
    state = pick("State", CastState.choices, missing="Say in which state the cast is.")
    note = note_field()

    def __init__(self, data: Any = None, *, case: Case, cast_pk: int) -> None:
        super().__init__(data, case=case)
        self.auto_id = f"id_look{cast_pk}_%s"


class PieceForm(LogForm):
    what = "piece"
    title = "Enter a tray, a base or a rim"
    button = "Enter it"

    kind = pick("What was made", PieceKind.choices, missing="Choose what was made.")
    arch = arch_field()
    cast = forms.ModelChoiceField(
        queryset=Cast.objects.none(),
        label="On which cast",
        required=False,
        empty_label="No cast entered here",
    )
    design = text("Design", help_text="For example one piece with spacer, two parts.")
    material = text("Material")
    front_mm = MeasureField(
        unit="mm", bounds=("0", "40"), max_digits=6, decimal_places=2, label="Rim height in front",
        required=False,
    )  # fmt: skip
    back_mm = MeasureField(
        unit="mm", bounds=("0", "40"), max_digits=6, decimal_places=2, label="Rim height behind",
        required=False,
    )  # fmt: skip
    lot = text("Lot", longest=60)
    note = note_field()

    def __init__(self, data: Any = None, *, case: Case) -> None:
        super().__init__(data, case=case)
        field = self.fields["cast"]
        field.queryset = case.casts.filter(struck_at__isnull=True)  # type: ignore[attr-defined]
        field.label_from_instance = _cast_label  # type: ignore[attr-defined]
        field.error_messages["invalid_choice"] = (
            "This cast is struck out or belongs to another case. Choose one of the list."
        )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        cast, arch = cleaned.get("cast"), cleaned.get("arch")
        if cast and arch and cast.arch != arch:
            self.add_error("cast", f"This cast is of the {cast.arch} arch. Choose the other.")
        return cleaned


def _cast_label(row: Any) -> str:
    name = casts.name_of(row)
    return name[:1].upper() + name[1:]
