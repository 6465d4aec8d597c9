"""Numbers that can show how they were reached, and verdicts that carry their demand, limit and clause."""

from .finding import Finding, FindingCode, Kind, Severity
from .formula import Formula, cited, declare
from .number import Assumed, Chosen, Derived, Given, Read, Traced, Unexplained
from .term import BASES, Basis, Citation, Term
from .verdict import TOLERANCE, Check, Choice, Rule, at_least, at_most

__all__ = [
    "BASES", "TOLERANCE", "Assumed", "Basis", "Check", "Choice", "Chosen", "Citation", "Derived", "Finding",
    "FindingCode", "Formula", "Given", "Kind", "Read", "Rule", "Severity", "Term", "Traced", "Unexplained",
    "at_least", "at_most", "cited", "declare",
]
