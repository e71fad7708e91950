"""One athlete's or coach's turn: what was said or is due, and what follows from it."""
