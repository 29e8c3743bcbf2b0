"""Acts on jobs: open them, list their needs and their usage, trace their lots."""
