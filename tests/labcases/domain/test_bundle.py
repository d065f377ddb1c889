"""Reading a bundle: whole or not, safe or refused, and the same figures without any database."""

from __future__ import annotations

import io
import json
import zipfile
from datetime import UTC, datetime

import pytest

from labcases.domain import bundle
from labcases.enums import Stage
from labcases.outputs import bundle_file
from tests.factories import world

AT = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)


def made(case, by) -> bytes:
    file = io.BytesIO()
    bundle_file.write(file, case=case, by=by, notation="ISO 3950", size="A4", at=AT, papers=False)
    return file.getvalue()


def unpacked(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def packed(tmp_path, files: dict[str, bytes]):
    path = tmp_path / "case.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in files.items():
            file.writestr(name, content)
    return path


@pytest.fixture
def small(db):
    """The files of a case that was only just opened: quick to make and to read."""
    cast = world()
    return unpacked(made(cast.walk().case, cast.dora))


def test_the_bundle_of_a_case_read_back_on_an_empty_machine_shows_the_same_figures(
    db, tmp_path, django_db_blocker
):
    cast = world()
    case = cast.case_at(Stage.RELEASED)
    path = tmp_path / "case.zip"
    path.write_bytes(made(case, cast.mona))
    entries = case.history.count()

    with django_db_blocker.block():
        found = bundle.read(path)

    assert found.whole
    assert found.case == case.code
    assert (found.entries, found.history) == (entries, [])
    assert [name.split(" of ")[0] for name in found.same] == [
        *("clearance check", "height budget"),
        *("height budget", "vertical ledger", "after processing"),
    ]


def test_what_was_changed_taken_out_or_put_in_is_named(small, tmp_path):
    files = dict(small)
    files["keys.json"] = files["keys.json"].replace(b"mm", b"cm", 1)
    del files["tables/teeth.csv"]
    files["tables/more.csv"] = b"1"

    found = bundle.read(packed(tmp_path, files))

    assert found.changed == ["keys.json"]
    assert found.missing == ["tables/teeth.csv"]
    assert found.extra == ["tables/more.csv"]
    assert not found.whole


def again(files: dict[str, bytes], name: str, change) -> dict[str, bytes]:
    """The files with one of them changed by somebody who also mends the manifest."""
    told = json.loads(files[name])
    change(told)
    content = bundle_file.as_json(told)
    manifest = json.loads(files["manifest.json"])
    for one in manifest["files"]:
        if one["name"] == name:
            one["bytes"], one["sha256"] = len(content), bundle.hashlib.sha256(content).hexdigest()
    return {**files, name: content, "manifest.json": bundle_file.as_json(manifest)}


def test_an_entry_of_the_history_that_says_something_else_is_named(small, tmp_path):
    files = again(small, "history.json", lambda told: told["entries"][0].update(act="closed"))

    found = bundle.read(packed(tmp_path, files))

    assert found.changed == []
    assert found.history == ["entry 1 does not say what its digest was made from"]


def test_a_figure_that_was_changed_does_not_come_out_again(small, tmp_path):
    files = again(
        small, "figures.json", lambda told: told["vertical_ledger"].update(reading_mm="0.5")
    )

    found = bundle.read(packed(tmp_path, files))

    assert found.other == [
        "vertical ledger: comes out otherwise (reading_mm 0.5, now None)",
    ]


def test_the_same_case_at_the_same_time_gives_the_same_bytes(db):
    cast = world()
    case = cast.walk().case

    first, second = made(case, cast.dora), made(case, cast.dora)

    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as file:
        assert {one.date_time for one in file.infolist()} == {(1980, 1, 1, 0, 0, 0)}


# Files that are not opened


def entry(name: str, **more) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.file_size = info.compress_size = 10
    for key, value in more.items():
        setattr(info, key, value)
    return info


@pytest.mark.parametrize(
    ("listed", "told"),
    [
        ([entry("../case.json")], "no name"),
        ([entry("/etc/passwd")], "no name"),
        ([entry("papers/../../x.pdf")], "no name"),
        ([entry("C:x.json")], "no name"),
        ([entry("papers/a/b.pdf")], "no name"),
        ([entry("photographs/a.jpg\n.exe")], "no name"),
        ([entry("papers/")], "no name"),
        ([entry("a.json"), entry("A.JSON"[:2] + "json")], "twice"),
        ([entry("a.json", external_attr=0o120777 << 16)], "no plain file"),
        ([entry("a.json", flag_bits=1)], "locked"),
        ([entry("a.json", compress_type=zipfile.ZIP_LZMA)], "locked"),
        ([entry("a.csv", file_size=100_000_000, compress_size=97_000)], "times its length"),
        ([entry("a.json", file_size=33 * 1024**2, compress_size=30 * 1024**2)], "longer than"),
        ([entry(f"{n}.csv") for n in range(2_001)], "2000 at most"),
        ([entry(f"{n}.jpg", file_size=2**31, compress_size=2**31) for n in range(3)], "more than"),
    ],
)
def test_what_no_bundle_holds_is_refused_before_a_byte_is_unpacked(listed, told):
    with pytest.raises(bundle.NoBundle, match=told):
        bundle.refuse_unsafe(listed)


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "cannot be opened"),
        (b"PK\x03\x04 and nothing more", "cannot be opened"),
        (None, "No manifest.json"),
    ],
)
def test_what_is_no_bundle_is_refused_in_words(content, told, tmp_path):
    path = packed(tmp_path, {"case.json": b"{}"})
    if content is not None:
        path.write_bytes(content)

    with pytest.raises(bundle.NoBundle, match=told):
        bundle.read(path)


@pytest.mark.parametrize(
    ("manifest", "told"),
    [
        (b"[]", "does not say"),
        (b"{", "no JSON"),
        (b"[" * 60_000, "no JSON"),
        (b'{"format": "something", "format_version": 1, "files": []}', "It is a something"),
        (b'{"format": "bundle of a case", "format_version": 2, "files": []}', "version 2"),
        (b'{"format": "bundle of a case", "format_version": 1, "files": [{}]}', "does not say"),
    ],
)
def test_a_manifest_that_says_nothing_is_refused(manifest, told, tmp_path):
    with pytest.raises(bundle.NoBundle, match=told):
        bundle.read(packed(tmp_path, {"manifest.json": manifest}))


@pytest.mark.parametrize(
    ("kept", "now", "differs"),
    [
        ({"a": [1.0, {"b": 2}]}, {"a": [1.0 + 1e-12, {"b": 2}]}, ""),
        ({"a": 0.5}, {"a": 0.51}, "a 0.5, now 0.51"),
        ({"a": 1}, {"b": 1}, "a stands in one of them alone"),
        ([1], [1, 2], "1 lines, now 2"),
        (["x"], ["y"], "1 x, now y"),
        (True, 1.0, ""),
        (True, 0.0, "True, now 0.0"),
    ],
)
def test_two_values_are_told_apart_by_the_first_place(kept, now, differs):
    assert bundle.differs(kept, now) == differs


def test_teeth_are_asked_in_the_order_of_the_mouth():
    told = {"sites": {"24": {}, "14": {"space_mm": 7.0}}, "material": "resin"}

    assert list(bundle.in_mouth_order(told)["sites"]) == ["14", "24"]
