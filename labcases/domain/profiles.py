"""What the law of a place asks of a prescription, and whether a case has it.

The rows are data (``reference/profiles.toml``); only what each of them looks at stands here.
Not legal advice: a row says what was read, and where.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from typing import Any

from labcases.domain import teeth
from labcases.enums import PrescriptionStatus, Stage
from labcases.models import Case, Organisation, PatientName, Prescription
from labcases.reference import told_profiles

STRICT = "strict"
BLOCKS = ("", "sign", "send")
PAPERS = ("prescription", "statement")


class ProfileError(ValueError):
    """The file of profiles says something that this program does not understand."""


class Has(StrEnum):
    """How an item stands. Everything but ``MISSING`` lets the case go on."""

    PRESENT = "Present"
    MISSING = "Missing"
    AT_SIGNING = "Comes with the signature"
    AT_SENDING = "Comes when the case is sent"
    LATER = "Belongs to the statement"
    ELSEWHERE = "Not held here: keep it on paper"
    NOT_READ = "Not read"


@dataclass(frozen=True)
class Item:
    """One thing that a text asks for. ``blocks`` is ``sign``, ``send`` or nothing."""

    key: str
    words: str
    blocks: str = ""
    of: str = "prescription"
    read: bool = True


@dataclass(frozen=True)
class Profile:
    """What was read of one place. ``retention_years`` is empty where it was not read."""

    key: str
    title: str
    source: str
    edition: str
    items: tuple[Item, ...]
    retention: str
    retention_years: int | None = None
    notes: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    """What stands above the place, with its source: a federation."""


@dataclass(frozen=True)
class Answered:
    """One item of a profile as a case stands: ``part`` and ``field`` mend what is missing."""

    item: Item
    has: Has
    mend: str = ""
    part: str = ""
    field: str = ""


# How an item stands, and where it is missing: what mends it, on which page, in which field.
Seen = tuple[Has, str, str, str]
Look = Callable[[Case, Prescription], Seen]


def load(told: Mapping[str, Any]) -> dict[str, Profile]:
    """Every profile of the file, checked, with the strict one last.

    Raises
    ------
    ProfileError
        A key, an item or a word that is not known, or a row without its source.
    """
    words: Mapping[str, str] = told["items"]
    _known("item", set(words) ^ set(LOOKS))
    federal = told.get("federal", {})
    found: dict[str, Profile] = {}
    for row in told["profiles"]:
        profile = _profile(row, words, federal)
        if profile.key in found or profile.key == STRICT:
            raise ProfileError(f"The profile {profile.key} stands twice. Give each its own key.")
        found[profile.key] = profile
    found[STRICT] = _union(list(found.values()))
    return found


def _known(what: str, strange: Iterable[str]) -> None:
    names = ", ".join(sorted(strange))
    if names:
        raise ProfileError(
            f"Unknown {what}: {names}. Name it in [items] and say in domain/profiles.py what it "
            "looks at, or correct the spelling."
        )


def _profile(
    row: Mapping[str, Any], words: Mapping[str, str], federal: Mapping[str, Any]
) -> Profile:
    needed = {"key", "title", "source", "edition", "retention", "items"}
    _known("key of a profile", set(row) - needed - {"retention_years", "notes"})
    lacking = sorted(name for name in needed if not row.get(name))
    if lacking:
        raise ProfileError(
            f"The profile {row.get('key', '?')} lacks {', '.join(lacking)}. A row without its "
            "source and edition is not used."
        )
    years = row.get("retention_years")
    if years is not None and (not isinstance(years, int) or not 1 <= years <= 50):
        raise ProfileError(
            f"The profile {row['key']} keeps for {years} years. Enter 1 to 50, or leave it out "
            "where it was not read."
        )
    above = row["key"].partition("-")[0] in federal.get("countries", ())
    return Profile(
        key=row["key"],
        title=row["title"],
        source=row["source"],
        edition=row["edition"],
        items=tuple(_item(item, words, row["key"]) for item in row["items"]),
        retention=row["retention"],
        retention_years=years,
        notes=tuple(row.get("notes", ())),
        beside=(*federal["notes"], f"Source: {federal['source']}.") if above else (),
    )


def _item(row: Mapping[str, Any], words: Mapping[str, str], profile: str) -> Item:
    _known("key of an item", set(row) - {"item", "blocks", "of", "read"})
    _known("item", {row.get("item", "an item without a name")} - set(words))
    blocks, of, read = row.get("blocks", ""), row.get("of", "prescription"), row.get("read", True)
    if blocks not in BLOCKS or of not in PAPERS:
        raise ProfileError(
            f"{row['item']} of {profile} blocks {blocks!r} of the {of}. It may block 'sign' or "
            "'send', of the 'prescription' or the 'statement'."
        )
    if blocks and not read:
        raise ProfileError(f"{row['item']} of {profile} was not read, so it may block nothing.")
    return Item(row["item"], words[row["item"]], blocks, of, read)


def _union(profiles: list[Profile]) -> Profile:
    """Everything that any of them asks for, as strongly as the strictest does."""
    found: dict[str, Item] = {}
    for profile in profiles:
        for item in profile.items:
            if not item.read:
                continue
            old = found.get(item.key, replace(item, blocks=""))
            first = next((b for b in ("sign", "send") if b in (old.blocks, item.blocks)), "")
            found[item.key] = replace(old, blocks=first)
    years = max(p.retention_years or 0 for p in profiles)
    return Profile(
        key=STRICT,
        title="Strict: everything that any of the profiles asks",
        source="the profiles together, each with its own source",
        edition="as each of them says",
        items=tuple(found.values()),
        retention=f"The longest of the profiles: {years} years.",
        retention_years=years,
    )


# --- what each item looks at -------------------------------------------------------------------


def _if(has: bool, mend: str, part: str, field: str = "") -> Seen:
    return (Has.PRESENT, "", "", "") if has else (Has.MISSING, mend, part, field)


def _plain(has: Has) -> Seen:
    return has, "", "", ""


def _laboratory(case: Case, _row: Prescription) -> Seen:
    return _if(_named(case.laboratory), "Ask the laboratory to enter its address.", "questions")


def _office(case: Case, _row: Prescription) -> Seen:
    return _if(_named(case.office), "Enter the address of the office.", "office", "address")


def _named(one: Organisation) -> bool:
    return bool(one.name.strip() and one.address.strip())


def _patient(case: Case, _row: Prescription) -> Seen:
    return _plain(Has.PRESENT if case.patient.code else Has.MISSING)


def _patient_name(case: Case, _row: Prescription) -> Seen:
    held = PatientName.objects.filter(patient=case.patient_id).exists()
    return _plain(Has.PRESENT if held else Has.ELSEWHERE)


def _at_signing(_case: Case, row: Prescription) -> Seen:
    signed = row.status != PrescriptionStatus.DRAFT
    return _plain(Has.PRESENT if signed else Has.AT_SIGNING)


def _sent(case: Case, _row: Prescription) -> Seen:
    return _plain(Has.AT_SENDING if case.stage == Stage.DRAFT else Has.PRESENT)


def _described(_case: Case, row: Prescription) -> Seen:
    charted = set(row.teeth) == set(teeth.positions(row.arch)) and bool(teeth.replaced(row))
    return _if(charted, "Mark every position of the arch.", "prescription", "teeth")


def _materials(_case: Case, row: Prescription) -> Seen:
    field = "tooth_material" if row.base_material else "base_material"
    said = bool(row.base_material and row.tooth_material)
    return _if(said, "Choose the materials of base and teeth.", "prescription", field)


def _design(case: Case, row: Prescription) -> Seen:
    for field in ("shade", "mould", "scheme", "flange"):
        if not getattr(row, field):
            return _if(
                False, "Write the design: shade, mould, scheme, flange.", "prescription", field
            )
    found = _described(case, row)
    return found if found[0] == Has.MISSING else _materials(case, row)


def _mark(_case: Case, row: Prescription) -> Seen:
    return _if(
        bool(row.identification),
        "Say what mark the denture gets, or that it gets none.",
        "prescription",
        "identification",
    )


def _always(has: Has) -> Look:
    return lambda _case, _row: _plain(has)


LOOKS: dict[str, Look] = {
    "laboratory": _laboratory,
    "laboratory_licence": _always(Has.ELSEWHERE),
    "representative": _always(Has.ELSEWHERE),
    "patient": _patient,
    "patient_name": _patient_name,
    "prescriber": _at_signing,
    "licence": _at_signing,
    "signature": _at_signing,
    "office": _office,
    "date": _at_signing,
    "date_sent": _sent,
    "description": _described,
    "diagram": _described,
    "materials": _materials,
    "material_quality": _always(Has.ELSEWHERE),
    "design": _design,
    # A case is one device for one patient, so neither can be missing.
    "one_patient": _always(Has.PRESENT),
    "device_id": _always(Has.PRESENT),
    "fixed_form": _always(Has.ELSEWHERE),
    "patient_mark": _mark,
    "conformity": _always(Has.LATER),
    "substances": _always(Has.LATER),
    "features": _design,
    "encryption": _always(Has.ELSEWHERE),
}


# --- reading -----------------------------------------------------------------------------------


@cache
def profiles() -> dict[str, Profile]:
    """Every profile by its key, in the order of the file, the strict one last."""
    return load(told_profiles())


def profile_of(organisation: Organisation) -> Profile | None:
    """The profile that an organisation chose; none where it chose none."""
    return profiles().get(organisation.profile)


def chosen(case: Case) -> list[Profile]:
    """What office and laboratory chose, each once, the office's first."""
    found = {one.key: one for o in (case.office, case.laboratory) if (one := profile_of(o))}
    return list(found.values())


def asked(profile: Profile, case: Case, row: Prescription) -> list[Answered]:
    """Each item of a profile, and whether this revision of a case has it."""
    found = []
    for item in profile.items:
        if not item.read:
            found.append(Answered(item, Has.NOT_READ))
            continue
        has, mend, part, field = LOOKS[item.key](case, row)
        found.append(Answered(item, has, mend, part, field))
    return found


def lacking(case: Case, row: Prescription, act: str) -> Iterator[tuple[Profile, Answered]]:
    """What the chosen profiles want before an act, ``sign`` or ``send``, each thing once."""
    said: set[str] = set()
    for profile in chosen(case):
        for answer in asked(profile, case, row):
            wanted = answer.item.blocks == act and answer.has == Has.MISSING
            if wanted and answer.item.key not in said:
                said.add(answer.item.key)
                yield profile, answer
