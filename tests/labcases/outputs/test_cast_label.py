"""Cast labels: a page each at the size of the laboratory, whole, or refused in words."""

import io

import pytest
from django.utils import timezone
from pypdf import PdfReader

from labcases.enums import Stage
from labcases.models import Cast
from labcases.outputs import cast_label
from labcases.outputs.papers import LABEL, NotPrinted
from tests import needs
from tests.factories import world
from tests.labcases.outputs.printed import render, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk(patient_name="Agnes Dunmore")
    walk.to(Stage.SENT)
    return walk


def add(walk, arch, kind, **more):
    return Cast.objects.create(
        case=walk.case, arch=arch, kind=kind, by=walk.hands.technician, **more
    )


def sized(walk, width_mm, height_mm):
    house = walk.case.laboratory
    house.label_width_mm, house.label_height_mm = width_mm, height_mm
    house.save()
    return walk.reload()


def printed(walk, slug="cast-label"):
    return render(slug, walk.case, walk.hands.technician, size=LABEL)


def pages_mm(document):
    return [
        [round(float(edge) * 25.4 / 72) for edge in page.mediabox[2:]]
        for page in PdfReader(io.BytesIO(document)).pages
    ]


def test_each_cast_in_use_has_a_label_and_the_prescribed_arch_before_there_is_one(walk):
    def labels():
        context = cast_label.build_context(
            walk.reload(), by=walk.hands.technician, notation="ISO 3950"
        )
        return [(one.what, bool(one.poured_at)) for one in context["labels"]]

    assert labels() == [("Upper cast", False)]
    add(walk, "upper", "master", lot="7", poured_at=timezone.now())
    add(walk, "lower", "opposing")
    add(walk, "lower", "study", struck_at=timezone.now())
    broken = add(walk, "upper", "working")
    broken.looks.create(case=walk.case, state="broken", by=walk.hands.technician)

    assert labels() == [("Upper master cast, 7", True), ("Lower opposing cast", False)]


@needs.pango
@pytest.mark.parametrize("size", [(30, 30), (38, 25), (150, 150), (25, 150), (50, 30)])
def test_at_every_size_a_label_is_one_page_that_says_it_all(walk, size):
    add(walk, "upper", "master", lot="7")
    add(walk, "lower", "opposing")

    document = printed(sized(walk, *size) and walk)

    assert pages_mm(document) == [list(size)] * 2
    first = text_of(document)
    code = walk.case.code
    for said in (
        f"{code[:4]}-{code[4:8]}-{code[8:]}",
        "Upper master cast, 7",
        "Patient P-100",
        "R01",
        "Lower opposing cast",
        f"{timezone.localdate():%d-%b-%Y}",
    ):
        assert said in first
    assert "Dunmore" not in first


@needs.pango
def test_what_does_not_go_on_the_label_is_refused_and_says_who_chooses_another(walk):
    for slug, size in (("cast-label", (25, 25)), ("box-label", (50, 30)), ("box-label", (70, 70))):
        sized(walk, *size)
        words = rf"A label of {size[0]} x {size[1]} mm is too small .* on a sheet, .* manager of"
        with pytest.raises(NotPrinted, match=words):
            printed(walk, slug)


@needs.pango
def test_a_box_is_labelled_at_the_chosen_size(walk):
    assert pages_mm(printed(walk, "box-label")) == [[100, 150]]

    document = printed(sized(walk, 100, 140) and walk, "box-label")

    assert pages_mm(document) == [[100, 140]]
    assert "Impression 1 hypochlorite spray" in text_of(document)


def test_without_a_box_nothing_is_printed_on_labels(walk):
    walk.take_in("to the laboratory", by=walk.hands.lab_desk)

    with pytest.raises(NotPrinted, match="nothing to label"):
        render("box-label", walk.reload(), walk.hands.lab_desk, size=LABEL)
