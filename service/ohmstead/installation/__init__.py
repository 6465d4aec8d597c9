"""The wiring graph: equipment with terminals and inner paths, conductors between terminals, circuits that group them."""
