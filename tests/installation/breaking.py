"""Ways to break a sound installation in one place. Each returns a new installation; the sound one is left alone."""

from __future__ import annotations

from msgspec.structs import replace

from ohmstead.installation.model import Conductor, Installation, Path


def equipment(installation: Installation, id: str, **changes) -> Installation:
    """Change one piece of equipment."""
    assert any(item.id == id for item in installation.equipment), id
    return replace(installation, equipment=tuple(replace(item, **changes) if item.id == id else item for item in installation.equipment))


def ratings(installation: Installation, id: str, **changes) -> Installation:
    """Change ratings of one piece of equipment."""
    return equipment(installation, id, ratings=replace(found(installation, id).ratings, **changes))


def path(installation: Installation, id: str, between: tuple[str, str], closed_in: tuple[str, ...] | None) -> Installation:
    """Close an inner path in these modes, a new one where there is none; None takes it away."""
    item = found(installation, id)
    kept = tuple(known for known in item.paths if known.between != between)
    return equipment(installation, id, paths=kept if closed_in is None else (*kept, Path(between, closed_in)))


def without(installation: Installation, *ids: str) -> Installation:
    """Take equipment away, and the conductors that end on it."""
    prefixes = tuple(f"{id}." for id in ids)
    gone = {wire.id for wire in installation.conductors if wire.start.startswith(prefixes) or wire.end.startswith(prefixes)}
    return replace(
        installation,
        equipment=tuple(item for item in installation.equipment if item.id not in ids),
        conductors=tuple(wire for wire in installation.conductors if wire.id not in gone),
        circuits=tuple(replace(circuit, conductors=tuple(id for id in circuit.conductors if id not in gone)) for circuit in installation.circuits),
    )


def circuit(installation: Installation, id: str, **changes) -> Installation:
    """Change one circuit."""
    assert any(item.id == id for item in installation.circuits), id
    return replace(installation, circuits=tuple(replace(item, **changes) if item.id == id else item for item in installation.circuits))


def moved(installation: Installation, at: str, to: str) -> Installation:
    """Move the one conductor that ends at a terminal to another terminal."""
    ends = [wire for wire in installation.conductors if at in (wire.start, wire.end)]
    assert len(ends) == 1, f"{len(ends)} conductors end at {at}"
    assert any(f"{item.id}.{end.id}" == to for item in installation.equipment for end in item.terminals), to
    changed = replace(ends[0], start=to if ends[0].start == at else ends[0].start, end=to if ends[0].end == at else ends[0].end)
    return replace(installation, conductors=tuple(changed if wire is ends[0] else wire for wire in installation.conductors))


def wired(installation: Installation, start: str, end: str, like: str, of: str = "") -> Installation:
    """Draw one more conductor, of the size of the one that ends at `like`, as part of a circuit or of none."""
    model = next(wire for wire in installation.conductors if like in (wire.start, wire.end))
    extra = Conductor(f"extra-{len(installation.conductors)}", start, end, model.function, model.size)
    drawn = replace(installation, conductors=(*installation.conductors, extra))
    if not of:
        return drawn
    (known,) = [item for item in drawn.circuits if item.id == of]
    return circuit(drawn, of, conductors=(*known.conductors, extra.id))


def ended(installation: Installation, id: str, at: str, **changes) -> Installation:
    """Make up one end of a conductor in another way."""
    (wire,) = [wire for wire in installation.conductors if wire.id == id]
    changed = replace(wire, ends=tuple(replace(end, **changes) if end.at == at else end for end in wire.ends))
    return replace(installation, conductors=tuple(changed if known is wire else known for known in installation.conductors))


def without_lead(installation: Installation, target: str) -> Installation:
    """Cut the lock-out lead that acts on a charger."""
    kept = tuple(lead for lead in installation.control_leads if target not in lead.acts_on or lead.purpose != "charge-lock-out")
    assert len(kept) == len(installation.control_leads) - 1
    return replace(installation, control_leads=kept)


def found(installation: Installation, id: str):
    """A piece of equipment by its id."""
    return next(item for item in installation.equipment if item.id == id)


def at(installation: Installation, id: str, among: str = "equipment") -> str:
    """Pointer to a piece of equipment, or to a circuit, conductor or lead, as findings give it."""
    (position,) = [position for position, item in enumerate(getattr(installation, among)) if item.id == id]
    return f"/installation/{among}/{position}"
