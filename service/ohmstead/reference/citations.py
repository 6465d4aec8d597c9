"""Sources by id, so that formulas and rules can name theirs where they are declared."""

from __future__ import annotations

from importlib.resources import files

import msgspec

from ..working import Basis, Citation
from .tables import load_citations

CITATIONS: dict[str, Citation] = load_citations(files("ohmstead.reference") / "tables")


def cite(source: str, clause: str = "", basis: Basis | None = None) -> Citation:
    """The citation with this id, narrowed to a clause. Raises KeyError: nothing stands without a source."""
    known = CITATIONS[source]
    return msgspec.structs.replace(known, clause=clause or known.clause, basis=basis or known.basis)
