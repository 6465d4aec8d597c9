"""What is checked of a circuit's conductors, each rule with the clause of the document that is asked."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.citations import cite
from ...reference.practices import Clauses
from ...working import Citation, Rule
from ..protection.sizing import PROTECTS

TERMINALS = Rule("ampacity-at-terminals", TERMS["thermal_current_a"], "at most", TERMS["ampacity_terminals_a"], cite("nec-110-14"))
CONDITIONS = Rule("ampacity-under-conditions", TERMS["ripple_current_a"], "at most", TERMS["ampacity_conditions_a"], cite("nec-310-15"))
DROP = Rule("voltage-drop", TERMS["drop_fraction"], "at most", TERMS["drop_limit"], cite("nec-chapters-1-4", "210.19(A), 215.2(A) informational notes"))
DROP_HOT = Rule("voltage-drop-at-temperature", TERMS["drop_fraction"], "at most", TERMS["drop_limit"], cite("nec-chapter-9", "Table 8 note 2"))

SCOPE = Rule("within-scope", TERMS["nominal_voltage_v"], "at most", TERMS["nominal_voltage_v"], cite("nec-chapters-1-4", "90.2"))
RETURN = Rule("return-path", TERMS["current_a"], "at most", TERMS["return_limit_a"], cite("nec-552-10", "552.10(B)(1)"))


class Rules(Struct, frozen=True):
    """The rules of a circuit with the clauses of its document."""

    terminals: Rule
    conditions: Rule
    drop: Rule
    drop_hot: Rule
    protects: Rule
    scope: Rule


@cache
def rules_of(clauses: Clauses) -> Rules:
    """The rules above in the words of one document; made once for each."""
    return Rules(*[
        Rule(rule.name, rule.actual, rule.relation, rule.limit, clause)
        for rule, clause in (
            (TERMINALS, clauses.terminals), (CONDITIONS, clauses.conditions), (DROP, clauses.drop), (DROP_HOT, clauses.drop_hot),
            (PROTECTS, clauses.protects), (SCOPE, clauses.scope),
        )
    ])


@cache
def return_rule_of(clause: Citation) -> Rule:
    """How much may return otherwise than by a conductor, in the words of one document."""
    return Rule(RETURN.name, RETURN.actual, RETURN.relation, RETURN.limit, clause)
