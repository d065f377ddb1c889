"""What is taken out of a text, and what is left alone."""

import pytest

from labcases.domain.withdrawing import Identity

WHO = Identity("MQ-4417", "Odile Marchbank", "PSEUDONYM-A")


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("mq-4417 came", "PSEUDONYM-A came"),
        ("(MQ-4417)", "(PSEUDONYM-A)"),
        ("MQ-44170 and XMQ-4417", "MQ-44170 and XMQ-4417"),
        ("Odile MARCHBANK smiles", "[name withdrawn] smiles"),
        ("Mrs Marchbank", "Mrs [name withdrawn]"),
        ("Odile alone", "Odile alone"),
    ],
)
def test_code_and_name_are_taken_out_as_words_of_their_own(text, left):
    assert WHO.without(text) == left


def test_lists_and_tables_are_looked_through_and_numbers_stay():
    assert WHO.without({"a": ["MQ-4417", 3, None], "b": True}) == {
        "a": ["PSEUDONYM-A", 3, None],
        "b": True,
    }


@pytest.mark.parametrize("code", ["14", "123456", "A1"])
def test_a_code_that_may_be_anything_is_taken_out_where_it_is_told_as_the_patients(code):
    who = Identity(code, "", "PSEUDONYM-A")
    assert who.without(f"lot {code}, patient code {code}") == (
        f"lot {code}, patient code PSEUDONYM-A"
    )
