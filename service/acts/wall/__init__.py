"""Acts for the wall, a phone and a bell: what to do now."""
