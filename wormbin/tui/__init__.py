"""Floor 6: the full-screen program: screens, widgets and styles over the farm's frozen views. No sums are done here."""
