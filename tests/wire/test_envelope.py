"""Answers hold some records of the calculation as they are; their shapes in the published document must say the same."""

import pytest

from ohmstead import working
from ohmstead.installation import model as graph
from ohmstead.wire import base
from ohmstead.wire.v1 import installation

WRITTEN_AS_THEY_ARE = [
    (base.Citation, working.Citation),
    (base.Finding, working.Finding),
    (installation.PathAnswer, graph.Path),
    (installation.ProtectionAnswer, graph.Protection),
    (installation.BondAnswer, graph.Bond),
]


@pytest.mark.parametrize(("shape", "record"), WRITTEN_AS_THEY_ARE, ids=[shape.__name__ for shape, _ in WRITTEN_AS_THEY_ARE])
def test_a_record_that_is_written_as_it_is_has_the_fields_of_its_shape(shape, record):
    assert shape.__struct_encode_fields__ == record.__struct_encode_fields__
