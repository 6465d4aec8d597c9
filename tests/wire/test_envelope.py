"""The part that all answers share."""

from ohmstead import working
from ohmstead.wire import base


def test_records_that_are_written_as_they_are_have_the_fields_of_their_shapes():
    assert base.Citation.__struct_fields__ == working.Citation.__struct_fields__
    assert base.Finding.__struct_fields__ == working.Finding.__struct_fields__
