"""Choices: what is stored is what is read, and nothing is stored twice under one name."""

import pkgutil
from importlib import import_module
from inspect import getmembers, isclass

from django.db.models import TextChoices

from labcases import enums

MODULES = [
    import_module(f"labcases.enums.{found.name}") for found in pkgutil.iter_modules(enums.__path__)
]
CHOICES = {
    name: found
    for module in MODULES
    for name, found in getmembers(module, isclass)
    if issubclass(found, TextChoices) and found.__module__ == module.__name__
}


def test_every_stored_value_is_words_or_a_code_that_papers_print():
    odd = [
        f"{name}.{choice.name}"
        for name, found in CHOICES.items()
        for choice in found
        if choice.value != choice.value.strip() or "_" in choice.value or not choice.value
    ]

    assert odd == []


def test_no_two_choices_of_one_kind_read_the_same():
    twice = [name for name, found in CHOICES.items() if len(set(found.labels)) != len(found.labels)]

    assert twice == []


def test_what_a_case_can_end_in_is_a_stage():
    assert [str(stage) for stage in enums.ENDS] == ["closed", "declined", "cancelled"]
    assert [str(stage) for stage in enums.ENDED_EARLY] == ["declined", "cancelled"]
