"""What lies in a bundle, and what is left out of it and why."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import zipfile
from datetime import UTC, datetime

from labcases.domain import files as attached
from labcases.enums import Stage
from labcases.outputs import bundle_file, papers
from labcases.outputs.pdf import PdfOff
from tests.factories import world
from tests.labcases.sent_files import BLUE, jpeg, sent

AT = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)


def bundle_of(case, by, **more) -> dict[str, bytes]:
    file = io.BytesIO()
    asked = {"notation": "ISO 3950", "size": "A4", "at": AT, "papers": False, **more}
    bundle_file.write(file, case=case, by=by, **asked)
    with zipfile.ZipFile(file) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def left_out(files: dict[str, bytes]) -> dict[str, str]:
    return {one["what"]: one["why"] for one in json.loads(files["manifest.json"])["left_out"]}


def test_every_file_stands_in_the_manifest_with_its_length_and_digest(db):
    cast = world()
    case = cast.walk().to(Stage.SET_UP)

    files = bundle_of(case, cast.mona)

    manifest = json.loads(files.pop("manifest.json"))
    assert (manifest["case"], manifest["made_by"]) == (case.code, "Mona Ridley")
    assert manifest["made_at"] == "2027-03-01T09:30:00+00:00"
    assert {one["name"]: (one["bytes"], one["sha256"]) for one in manifest["files"]} == {
        name: (len(content), hashlib.sha256(content).hexdigest()) for name, content in files.items()
    }


def test_the_name_goes_with_it_only_where_it_is_asked_for(db):
    cast = world()
    case = cast.walk(patient_name="Ada Quill").case

    without, named = bundle_of(case, cast.dora), bundle_of(case, cast.dora, identity=True)

    assert left_out(without)["name"] == "no name of a patient is exported"
    assert not [name for name, content in without.items() if b"Quill" in content]
    assert json.loads(named["case.json"])["patient"]["name"] == "Ada Quill"
    assert "name" not in left_out(named)


def test_pictures_lie_in_it_as_stored_and_others_are_named_with_the_reason(db):
    cast = world()
    case = cast.walk().case
    kept = attached.add(
        case=case, kind="photograph", view="cast", upload=sent(jpeg()), by=cast.dora
    )
    face = attached.add(
        case=case, kind="photograph", view="face", upload=sent(jpeg(colour=BLUE)), by=cast.dora
    )
    lost = attached.add(
        case=case,
        kind="photograph",
        view="intraoral front",
        upload=sent(jpeg((90, 90))),
        by=cast.dora,
    )
    out = attached.add(
        case=case,
        kind="photograph",
        view="intraoral front",
        upload=sent(jpeg((80, 90))),
        by=cast.dora,
    )
    attached.take_out(attachment=out, reason="twice", by=cast.dora)
    attached.erase([lost.file.name])

    of_laboratory, of_office = bundle_of(case, cast.mona), bundle_of(case, cast.dora)

    name = f"photographs/{kept.pk:06d}.jpg"
    assert hashlib.sha256(of_laboratory[name]).hexdigest() == kept.sha256
    assert f"photographs/{face.pk:06d}.jpg" in of_office
    told = left_out(of_laboratory)
    assert told[f"picture {face.pk} ({face.words})"].startswith("a face that the patient has not")
    assert told[f"picture {lost.pk} ({lost.words})"].startswith("its file is lost")
    assert told[f"picture {out.pk} ({out.words})"] == "taken out of view"
    rows = json.loads(of_laboratory["case.json"])["rows"]["Attachment"]
    assert [row["in_bundle"] for row in rows] == [name, "", "", ""]


def test_a_machine_without_pdfs_says_which_papers_are_missing(db, monkeypatch):
    cast = world()
    case = cast.walk().case
    monkeypatch.setattr(bundle_file, "pdf_problem", lambda: "The library is missing.")

    files = bundle_of(case, cast.dora, papers=True)

    assert not [name for name in files if name.startswith("papers/")]
    told = left_out(files)
    assert len([what for what in told if what.startswith("paper: ")]) == len(papers.PAPERS)
    assert told["paper: Lab slip"] == ("this machine makes no PDFs: The library is missing.")


def test_a_paper_that_fails_is_left_out_and_the_others_lie_in_it(db, monkeypatch):
    cast = world()
    case = cast.walk().case

    def pdf(paper, case, *, by, notation, size):
        if paper.slug == "set-up":
            raise PdfOff("It was switched off meanwhile.")
        return f"{paper.slug} {size}".encode()

    monkeypatch.setattr(bundle_file, "pdf_problem", lambda: "")
    monkeypatch.setattr(papers.Paper, "pdf", pdf)

    files = bundle_of(case, cast.dora, papers=True, size="Letter")

    assert files["papers/lab-slip.pdf"] == b"lab-slip Letter"
    assert "papers/set-up.pdf" not in files
    assert "It was switched off meanwhile." in left_out(files).values()


def test_no_cell_of_a_table_runs_as_a_formula(db):
    cast = world()
    case = cast.walk().case
    row = case.prescriptions.get()
    row.instructions = "=1+1"
    row.save()

    files = bundle_of(case, cast.dora)

    table = list(csv.DictReader(io.StringIO(files["tables/Prescription.csv"].decode())))
    assert table[0]["instructions"] == "'=1+1"
    assert json.loads(files["case.json"])["rows"]["Prescription"][0]["instructions"] == "=1+1"


def test_the_file_is_named_by_the_code_alone(db):
    case = world().walk(patient_name="Ada Quill").case

    assert bundle_file.file_name(case) == (
        f"{case.code[:4]}-{case.code[4:8]}-{case.code[8:]}-bundle.zip"
    )
