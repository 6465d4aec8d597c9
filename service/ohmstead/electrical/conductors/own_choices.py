"""Which of a circuit's answers rest on a choice of this service and on no document."""

from __future__ import annotations

from .model import Circuit, Run


def own_choices_used(circuit: Circuit, run: Run) -> frozenset[str]:
    """Names of the choices that a circuit may rest on, as rule sources list them under `own`; whether one is ours the source says.

    The largest conductor counts where it set the number of conductors or stood in the way of any.
    """
    row, source = circuit.conductor, run.source
    used = set()
    told = all(end.largest_conductor or run.largest_conductor for end in run.ends) if run.ends else run.largest_conductor
    if not told and (row is None or row.sets > 1):
        used.add("largest-conductor")
    if row is not None and row.sets > 1:
        used.add("parallel-from")
    if row is not None and row.sets == 1 and row.size == source.smallest and circuit.choice.governed_by != "smallest-for-terminals":
        used.add("smallest-conductor")
    if circuit.grounding_size is not None:
        used.add("grounding-size")
    if circuit.device is not None:
        used.add("device-family")
        if source.source_distance_m is not None:
            used.add("source-distance")
    return frozenset(used)
