"""Case codes: every single slip is caught, by trying all of them on many codes."""

import random

import pytest

from labcases import codes

ALPHABET = "023456789ABCDEFGHJKMNPQRSTVWXYZ"

#: Worked out apart from this code, from the rule: (1 d1 + 2 d2 + ... + 11 d11) modulo 31.
VECTORS = [
    ("7Q2K9A3BC4D", "H"),
    ("00000000000", "0"),
    ("20000000000", "2"),
    ("ZZZZZZZZZZZ", "W"),
    ("023456789AB", "7"),
]


def sample(count=150):
    """Codes as they come, the same on every run, with the ends of the alphabet among them."""
    draw = random.Random(20261125)
    data = ["".join(draw.choices(ALPHABET, k=11)) for _ in range(count)]
    data += [eleven for eleven, _ in VECTORS if eleven != "0" * 11]
    return [eleven + codes.check_character(eleven) for eleven in data]


@pytest.mark.parametrize(("eleven", "check"), VECTORS)
def test_the_check_character_is_the_agreed_one(eleven, check):
    assert codes.check_character(eleven) == check


def test_the_check_is_the_weighted_sum_modulo_31_with_the_check_weighing_30():
    weights = [*range(1, 12), 30]

    for code in sample():
        assert sum(w * ALPHABET.index(s) for w, s in zip(weights, code, strict=True)) % 31 == 0


def test_the_alphabet_has_31_symbols_and_none_that_is_mistaken_for_another():
    assert codes.ALPHABET == ALPHABET
    assert len(set(codes.ALPHABET)) == 31
    assert set("1ILOU") & set(codes.ALPHABET) == set()


def test_every_substitution_of_one_character_is_caught():
    tried, missed = 0, []
    for code in sample():
        for place in range(12):
            for symbol in ALPHABET:
                if symbol == code[place]:
                    continue
                tried += 1
                wrong = code[:place] + symbol + code[place + 1 :]
                if codes.is_valid(wrong):
                    missed.append((code, wrong))

    assert tried == 154 * 12 * 30
    assert missed == []


def test_every_swap_of_two_neighbours_is_caught():
    tried, missed = 0, []
    for code in sample():
        for place in range(11):
            if code[place] == code[place + 1]:
                continue
            tried += 1
            wrong = code[:place] + code[place + 1] + code[place] + code[place + 2 :]
            if codes.is_valid(wrong):
                missed.append((code, wrong))

    assert tried > 1500
    assert missed == []


def test_every_swap_of_any_two_characters_is_caught():
    missed = []
    for code in sample():
        for one in range(12):
            for other in range(one + 1, 12):
                swapped = list(code)
                swapped[one], swapped[other] = swapped[other], swapped[one]
                if swapped[one] != swapped[other] and codes.is_valid("".join(swapped)):
                    missed.append((code, "".join(swapped)))

    assert missed == []


@pytest.mark.parametrize("apart", [1, 2])
def test_a_double_character_typed_as_another_double_is_caught(apart):
    draw, missed = random.Random(31), []
    for code in sample():
        for place in range(12 - apart - 1):
            eleven = list(code[:11])
            eleven[place] = eleven[place + apart]
            right = "".join(eleven)
            right += codes.check_character(right)
            twin = right[place]
            other = draw.choice(ALPHABET.replace(twin, ""))
            wrong = list(right)
            wrong[place] = wrong[place + apart] = other
            if codes.is_valid("".join(wrong)):
                missed.append((right, "".join(wrong)))

    assert missed == []


def test_the_code_of_zeros_is_no_case():
    assert codes.check_character("0" * 11) == "0"
    assert codes.is_valid("0" * 12) is False


@pytest.mark.parametrize(
    "code", ["", "7Q2K9A3BC4D", "7Q2K9A3BC4DHH", "7q2k9a3bc4dh", "7Q2K-9A3B-C4DH", "7Q2K9A3BC4DO"]
)
def test_only_twelve_plain_characters_are_a_code(code):
    assert codes.is_valid("7Q2K9A3BC4DH") is True
    assert codes.is_valid(code) is False


@pytest.mark.parametrize("eleven", ["", "7Q2K9A3BC4", "7Q2K9A3BC4DH", "7Q2K9A3BC4O", "7q2k9a3bc4d"])
def test_a_check_character_is_asked_of_eleven_characters_only(eleven):
    with pytest.raises(ValueError, match=f"Give 11 characters out of {ALPHABET}"):
        codes.check_character(eleven)


def test_new_codes_are_valid_and_do_not_repeat():
    made = [codes.new_code() for _ in range(400)]

    assert [code for code in made if not codes.is_valid(code)] == []
    assert len(set(made)) == 400
    assert {len(code) for code in made} == {12}
    # Every place uses the whole alphabet: 400 draws miss a given symbol once in 490,000.
    assert all(len({code[place] for code in made}) > 25 for place in range(11))


def test_a_new_code_is_never_the_one_of_zeros(monkeypatch):
    drawn = iter("0" * 11 + "7Q2K9A3BC4D")
    monkeypatch.setattr(codes.secrets, "choice", lambda _: next(drawn))

    assert codes.new_code() == "7Q2K9A3BC4DH"


@pytest.mark.parametrize(
    "text", ["7Q2K9A3BC4DH", "7q2k-9a3b-c4dh", " 7Q2K 9A3B C4DH ", "7Q2K\u00a09A3B\tC4DH\n"]
)
def test_a_code_is_read_in_any_case_with_blanks_and_hyphens(text):
    assert codes.normalise(text) == "7Q2K9A3BC4DH"


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("7Q2K-9A3B-C4D1", "1"),
        ("7Q2K-9A3B-C4DI", "I"),
        ("7q2k-9a3b-c4dl", "L"),
        ("OQ2K-9A3B-C4DH", "O"),
        ("7Q2U-9A3B-C4DH", "U"),
        ("O1LI-UUUU-0000", "1, I, L, O, U"),
    ],
)
def test_a_character_that_no_code_has_is_refused_and_not_read_as_another(text, named):
    with pytest.raises(ValueError, match=f"A case code never holds {named}. Look at the paper"):
        codes.normalise(text)


def test_a_code_is_spoken_in_three_groups_of_four():
    assert codes.spoken("7Q2K9A3BC4DH") == "7Q2K-9A3B-C4DH"
    assert codes.grouped("7Q2K9A3BC4DH") == "7Q2K-9A3B-C4DH"
    assert codes.normalise(codes.spoken("7Q2K9A3BC4DH")) == "7Q2K9A3BC4DH"


@pytest.mark.parametrize(
    ("revision", "kind", "text"),
    [
        (3, "LS", "7Q2K9A3BC4DH-R03-LS"),
        (0, "BC", "7Q2K9A3BC4DH-R00-BC"),
        (99, "PH", "7Q2K9A3BC4DH-R99-PH"),
        (100, "PH", "7Q2K9A3BC4DH-R100-PH"),
    ],
)
def test_a_paper_carries_case_revision_and_kind(revision, kind, text):
    assert codes.paper_code("7Q2K9A3BC4DH", revision, kind) == text
    assert codes.parse_paper_code(text) == ("7Q2K9A3BC4DH", revision, kind)


def test_a_scanned_paper_may_come_in_small_letters_with_an_end_of_line():
    assert codes.parse_paper_code("7q2k9a3bc4dh-r03-ls\r\n") == ("7Q2K9A3BC4DH", 3, "LS")


def test_a_paper_may_be_typed_with_its_case_code_in_groups_as_printed():
    assert codes.parse_paper_code("7Q2K-9A3B-C4DH-R03-LS") == ("7Q2K9A3BC4DH", 3, "LS")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "7Q2K9A3BC4DH",
        "7-Q2K9A3BC4DH-R03-LS",
        "7Q2K9A3BC4DH-R3-LS",
        "7Q2K9A3BC4DH-03-LS",
        "7Q2K9A3BC4DH-R03-L",
        "7Q2K9A3BC4DH-R03-LS-X",
        "7Q2K9A3BC4D7-R03-LS",
        "000000000000-R03-LS",
        "OQ2K9A3BC4DH-R03-LS",
    ],
)
def test_what_is_no_papers_code_is_refused(text):
    with pytest.raises(ValueError, match=r"That is not a paper's code. Scan it again"):
        codes.parse_paper_code(text)
