"""A laboratory's own material: a name once a laboratory."""

import pytest
from django.db import IntegrityError, transaction

from labcases.models import OwnMaterial
from tests.factories import world


@pytest.mark.django_db
@pytest.mark.both_databases
def test_a_name_stands_once_a_laboratory_and_again_at_another():
    here = world()
    told = {"called": "soft liner", "kind": "liner", "monomer": "no"}
    OwnMaterial.objects.create(laboratory=here.laboratory, **told)
    OwnMaterial.objects.create(laboratory=here.other_laboratory, **told)

    with pytest.raises(IntegrityError), transaction.atomic():
        OwnMaterial.objects.create(laboratory=here.laboratory, **told)
