"""Reading a request, whatever bytes come in."""

import pytest

from occlusion import door, requests
from occlusion.errors import BadRequest


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b" \n", "is empty"),
        (b'{"a": 1', "is not JSON: line 1, column 8"),
        (b'{"a"\xe9}', "is not UTF-8 text"),
        (b'{"a":' * 100_000, "nested too deeply"),
        (b'{"a": ' + b"9" * 5000 + b"}", "too many digits"),
        (b'{"a": {"b": 1, "b": 2}}', "'b' is given twice"),
        (b" " * (requests.LARGEST_BYTES + 1), "larger than 10 MB"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(raw, said):
    with pytest.raises(BadRequest, match=said):
        requests.read_json(raw)


def test_deep_values_that_parse_are_refused_without_following_them():
    deep = requests.read_json(b'{"articulator": ' + b"[" * 900 + b"]" * 900 + b"}")

    with pytest.raises(BadRequest) as caught:
        door.answer("motion", deep)

    assert caught.value.as_dict()["value"] is None


def test_a_byte_order_mark_is_read_over():
    assert requests.read_json(b"\xef\xbb\xbf{}") == {}


def test_defaults_stand_in_for_keys_that_are_missing_only():
    keys = {"a": requests.REQUIRED, "b": 2}

    assert requests.take({"a": None}, field="", keys=keys) == {"a": None, "b": 2}
    with pytest.raises(BadRequest, match=r"Key x\.a is missing"):
        requests.take({"b": 1}, field="x", keys=keys)


def test_a_list_that_is_too_long_is_refused():
    with pytest.raises(BadRequest, match="at most 10000 at a time"):
        requests.take_list([0] * 10_001, field="points")
