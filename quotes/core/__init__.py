"""Pure quotes core: surfaces, build-ups, takeoff, layout, labour, pricing."""
