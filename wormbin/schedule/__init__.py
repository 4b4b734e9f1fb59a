"""Floor 4: feeding and check days, absences, and harvest steps laid backwards on the calendar."""
