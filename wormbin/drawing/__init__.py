"""Floor 2: pictures as lines of text: cutaway, band chart, gauge."""
