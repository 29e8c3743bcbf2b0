"""What to do now: for the wall, a phone and a bell."""
