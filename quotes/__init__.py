"""From what was measured to what is offered: visits, takeoff, layout, quotes."""
